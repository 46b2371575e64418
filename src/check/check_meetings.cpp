#include <algorithm>
#include <set>
#include <tuple>

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
  Cell low;  // of the cells that it may touch
};

long cell_of(double x) { return static_cast<long>(std::floor(x / kCell)); }

std::vector<std::pair<Cell, Segment>> grid_of(const std::vector<DrawnRun>& runs) {
  std::vector<std::pair<Cell, Segment>> grid;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    for (std::size_t i = 0; i + 1 < runs[r].line.size(); ++i) {
      Box3 box;
      box.add(runs[r].line[i]);
      box.add(runs[r].line[i + 1]);
      box = box.grown(0.02);
      const Cell low{cell_of(box.low.x), cell_of(box.low.y), cell_of(box.low.z)};
      for (long x = low[0]; x <= cell_of(box.high.x); ++x)
        for (long y = low[1]; y <= cell_of(box.high.y); ++y)
          for (long z = low[2]; z <= cell_of(box.high.z); ++z)
            grid.push_back({{x, y, z}, {static_cast<int>(r), i, low}});
    }
  }
  std::sort(grid.begin(), grid.end(), [](const auto& l, const auto& r) {
    return std::tie(l.first, l.second.run, l.second.at) <
           std::tie(r.first, r.second.run, r.second.at);
  });
  return grid;
}

// Whether this is the first of the cells that both may touch: long segments share many.
bool first_shared(const Cell& cell, const Segment& s, const Segment& t) {
  for (std::size_t axis = 0; axis < 3; ++axis)
    if (cell[axis] != std::max(s.low[axis], t.low[axis])) return false;
  return true;
}

std::vector<Vec3> turning_points(const std::vector<Vec3>& line) {
  std::vector<Vec3> points{line.front(), line.back()};
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    if (angle_between(line[i] - line[i - 1], line[i + 1] - line[i]) > kTurn) {
      points.push_back(line[i]);
    }
  }
  return points;
}

// Where two segments come nearest, as a share of the first of them.
double nearest_share(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  double low = 0, high = 1;
  const auto away = [&](double t) { return point_segment_distance(a0 + t * (a1 - a0), b0, b1); };
  for (int i = 0; i < 50; ++i) {  // the distance is convex along the segment
    const double third = low + (high - low) / 3, two_thirds = high - (high - low) / 3;
    if (away(third) < away(two_thirds)) {
      high = two_thirds;
    } else {
      low = third;
    }
  }
  return 0.5 * (low + high);
}

// Where the first segment is nearer to the second than `limit`: where it is nearest, and places all
// along where it is so for longer than `lasting_m`, as of two that lie beside each other.
std::vector<Vec3> places_nearer(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1,
                                double limit, double lasting_m) {
  constexpr int kPlaces = 8;
  const auto at = [&](double t) { return a0 + t * (a1 - a0); };
  const auto near = [&](double t) { return point_segment_distance(at(t), b0, b1) < limit; };
  const double nearest = nearest_share(a0, a1, b0, b1);
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

bool near_any(const std::vector<Vec3>& points, const Vec3& p, double reach) {
  return std::any_of(points.begin(), points.end(),
                     [&](const Vec3& q) { return distance(p, q) <= reach; });
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
  for (const DrawnRun& run : runs) turns.push_back(turning_points(run.line));
  const auto grid = grid_of(runs);
  std::set<std::pair<int, int>> told;
  std::vector<Meeting> met;
  for (std::size_t i = 0; i < grid.size(); ++i) {
    for (std::size_t j = i + 1; j < grid.size() && grid[j].first == grid[i].first; ++j) {
      const Segment &s = grid[i].second, &t = grid[j].second;
      if (s.run == t.run || !first_shared(grid[i].first, s, t) || told.count({s.run, t.run}) != 0)
        continue;
      const DrawnRun &a = runs[static_cast<std::size_t>(s.run)],
                     &b = runs[static_cast<std::size_t>(t.run)];
      const Vec3 &a0 = a.line[s.at], &a1 = a.line[s.at + 1], &b0 = b.line[t.at],
                 &b1 = b.line[t.at + 1];
      const double apart = segment_distance(a0, a1, b0, b1);
      const double needed = 0.5 * (a.cable->diameter_m + b.cable->diameter_m);
      if (apart >= needed - kTolerance) continue;
      // Within a fitting, four diameters either side of a bend, drawn cables may lie in each other.
      const double reach = 4 * std::max(a.cable->diameter_m, b.cable->diameter_m);
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
