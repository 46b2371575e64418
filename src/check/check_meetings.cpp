#include <algorithm>
#include <cmath>
#include <cstdint>
#include <set>

#include "check/drawn_runs.h"
#include "geometry/arc.h"

namespace roomloom::check {
namespace {

constexpr double kCell = 0.1;          // metres, of the grid that finds neighbours
constexpr double kTolerance = 0.0005;  // tessellation of both centrelines
constexpr double kTurn = 0.002;        // radians: what counts as a bend of a centreline

using Cell = std::array<long, 3>;

struct Segment {
  int run;
  std::size_t at;
  Box3 box;
  Cell low;  // of the cells that it may touch
};

long cell_of(double x) { return static_cast<long>(std::floor(x / kCell)); }

bool near_any(const std::vector<Vec3>& points, const Vec3& p, double reach) {
  return std::any_of(points.begin(), points.end(),
                     [&](const Vec3& q) { return distance(p, q) <= reach; });
}

/// Within a fitting, so far either side of a bend, drawn cables may lie in each other.
double fitting_reach(const DrawnRun& run) { return 4 * run.cable->diameter_m; }

std::vector<Vec3> turning_points(const std::vector<Vec3>& line) {
  std::vector<Vec3> points{line.front(), line.back()};
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    if (angle_between(line[i] - line[i - 1], line[i + 1] - line[i]) > kTurn) {
      points.push_back(line[i]);
    }
  }
  return points;
}

/// All but those well within a fitting of their own run: around each bend is a ball, a ball that
/// holds both ends holds what is between them, and what another cable has too near lies within the
/// larger diameter of it.
std::vector<Segment> segments_of(const std::vector<DrawnRun>& runs,
                                 const std::vector<std::vector<Vec3>>& turns) {
  std::vector<Segment> segments;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    const double reach = fitting_reach(runs[r]) - runs[r].cable->diameter_m;
    for (std::size_t i = 0; i + 1 < runs[r].line.size(); ++i) {
      const Vec3 &a = runs[r].line[i], &b = runs[r].line[i + 1];
      const bool in_fitting = std::any_of(turns[r].begin(), turns[r].end(), [&](const Vec3& turn) {
        return distance(a, turn) <= reach && distance(b, turn) <= reach;
      });
      if (in_fitting) continue;
      Box3 box;
      box.add(a);
      box.add(b);
      const Vec3 low = box.grown(0.02).low;
      segments.push_back(
          {static_cast<int>(r), i, box, {cell_of(low.x), cell_of(low.y), cell_of(low.z)}});
    }
  }
  return segments;
}

/// Segments, as their places in the list, by the cells that they may touch.
std::vector<std::pair<Cell, std::uint32_t>> grid_of(const std::vector<Segment>& segments) {
  std::vector<std::pair<Cell, std::uint32_t>> grid;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const Cell& low = segments[i].low;
    const Vec3 high = segments[i].box.grown(0.02).high;
    for (long x = low[0]; x <= cell_of(high.x); ++x)
      for (long y = low[1]; y <= cell_of(high.y); ++y)
        for (long z = low[2]; z <= cell_of(high.z); ++z)
          grid.push_back({{x, y, z}, static_cast<std::uint32_t>(i)});
  }
  std::sort(grid.begin(), grid.end());
  return grid;
}

// Whether this is the first of the cells that both may touch: long segments share many.
bool first_shared(const Cell& cell, const Segment& s, const Segment& t) {
  for (std::size_t axis = 0; axis < 3; ++axis)
    if (cell[axis] != std::max(s.low[axis], t.low[axis])) return false;
  return true;
}

// Where the first segment is nearer to the second than `limit`: where it is nearest, and places all
// along where it is so for longer than `lasting_m`, as of two that lie beside each other.
std::vector<Vec3> places_nearer(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1,
                                double limit, double lasting_m) {
  constexpr int kPlaces = 8;
  const auto at = [&](double t) { return a0 + t * (a1 - a0); };
  const auto near = [&](double t) { return point_segment_distance(at(t), b0, b1) < limit; };
  const double nearest = nearest_shares(a0, a1, b0, b1).on_a;
  const auto edge = [&](double end) {  // of the stretch that is near, from the nearest toward there
    double in = nearest, out = end;
    if (near(end)) return end;
    for (int i = 0; i < 40; ++i) (near(0.5 * (in + out)) ? in : out) = 0.5 * (in + out);
    return in;
  };
  const double from = edge(0), to = edge(1);
  std::vector<Vec3> places{at(nearest)};
  if ((to - from) * distance(a0, a1) <= lasting_m) return places;
  for (int i = 0; i <= kPlaces; ++i) places.push_back(at(from + (to - from) * i / kPlaces));
  return places;
}

/// "S1 and S2; S3 and S4; and 5 more pairs".
std::string in_pairs(const std::vector<std::string>& pairs) {
  constexpr std::size_t kShown = 4;
  std::string text;
  for (std::size_t i = 0; i < std::min(kShown, pairs.size()); ++i)
    text += (i == 0 ? "" : "; ") + pairs[i];
  if (pairs.size() > kShown)
    text += "; and " + std::to_string(pairs.size() - kShown) + " more pairs";
  return text;
}

/// Two runs that are drawn too near to each other.
struct Meeting {
  const DrawnRun *a, *b;
  double apart_m, needed_m;
  Vec3 where;

  double lacks_m() const { return needed_m - apart_m; }
};

/// All as one, with the pair that lacks most: where many lie together, each meets many.
void tell_meetings(const std::vector<Meeting>& met, DisplayUnits units, Findings& findings) {
  if (met.empty()) return;
  const Meeting& worst = *std::max_element(
      met.begin(), met.end(),
      [](const Meeting& a, const Meeting& b) { return a.lacks_m() < b.lacks_m(); });
  const std::string figure = length_text(worst.apart_m, units) + " apart";
  const std::string limit = length_text(worst.needed_m, units);
  std::vector<std::string> others;
  for (const Meeting& one : met)
    if (&one != &worst) others.push_back(one.a->id + " and " + one.b->id);
  std::string text = "Runs " + worst.a->id + " and " + worst.b->id + " are drawn " + figure +
                     "; their cables need " + limit + ".";
  if (!others.empty()) text += " So are, less so, " + in_pairs(others) + ".";
  findings.items.push_back(
      {"runs-meet", Level::should, text, worst.a->id, worst.where,
       "Lay them beside each other there; or give one of them another way, or a larger raceway.",
       "geometry", figure, limit});
}

}  // namespace

void check_meetings(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  std::vector<std::vector<Vec3>> turns;
  turns.reserve(runs.size());
  for (const DrawnRun& run : runs) turns.push_back(turning_points(run.line));
  const auto segments = segments_of(runs, turns);
  const auto grid = grid_of(segments);
  std::set<std::pair<int, int>> told;
  std::vector<Meeting> met;
  for (std::size_t i = 0; i < grid.size(); ++i) {
    for (std::size_t j = i + 1; j < grid.size() && grid[j].first == grid[i].first; ++j) {
      const Segment &s = segments[grid[i].second], &t = segments[grid[j].second];
      if (s.run == t.run || !first_shared(grid[i].first, s, t)) continue;
      const DrawnRun &a = runs[static_cast<std::size_t>(s.run)],
                     &b = runs[static_cast<std::size_t>(t.run)];
      const double needed = 0.5 * (a.cable->diameter_m + b.cable->diameter_m);
      if (!s.box.grown(needed - kTolerance).overlaps(t.box) || told.count({s.run, t.run}) != 0)
        continue;
      const Vec3 &a0 = a.line[s.at], &a1 = a.line[s.at + 1], &b0 = b.line[t.at],
                 &b1 = b.line[t.at + 1];
      if (segment_distance(a0, a1, b0, b1) >= needed - kTolerance) continue;
      const double reach = std::max(fitting_reach(a), fitting_reach(b));
      const auto places = places_nearer(a0, a1, b0, b1, needed - kTolerance, 4 * reach);
      const auto where = std::find_if(places.begin(), places.end(), [&](const Vec3& p) {
        return !in_zone(written.plan, p, 0.01) &&
               !near_any(turns[static_cast<std::size_t>(s.run)], p, reach) &&
               !near_any(turns[static_cast<std::size_t>(t.run)], p, reach);
      });
      if (where == places.end()) continue;
      told.insert({s.run, t.run});
      met.push_back({&a, &b, point_segment_distance(*where, b0, b1), needed, *where});
    }
  }
  tell_meetings(met, written.units, findings);
  if (met.empty()) ++findings.quiet;
}

}  // namespace roomloom::check
