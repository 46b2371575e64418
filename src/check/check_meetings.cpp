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

// Where two segments come nearest, on the first of them.
Vec3 nearest_point(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  Vec3 low = a0;
  Vec3 high = a1;
  for (int i = 0; i < 50; ++i) {  // the distance is convex along the segment
    const Vec3 third = low + (1.0 / 3) * (high - low);
    const Vec3 two_thirds = low + (2.0 / 3) * (high - low);
    if (point_segment_distance(third, b0, b1) < point_segment_distance(two_thirds, b0, b1)) {
      high = two_thirds;
    } else {
      low = third;
    }
  }
  return 0.5 * (low + high);
}

bool near_any(const std::vector<Vec3>& points, const Vec3& p, double reach) {
  return std::any_of(points.begin(), points.end(),
                     [&](const Vec3& q) { return distance(p, q) <= reach; });
}

}  // namespace

void check_meetings(const Written& written, const std::vector<DrawnRun>& runs, Findings& findings) {
  std::vector<std::vector<Vec3>> turns;
  for (const DrawnRun& run : runs) turns.push_back(turning_points(run.line));
  const auto grid = grid_of(runs);
  std::set<std::pair<int, int>> told;
  const std::size_t before = findings.items.size();
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
      const Vec3 where = nearest_point(a0, a1, b0, b1);
      if (in_zone(written.plan, where, 0.01)) continue;
      // Within a fitting, four diameters either side of a bend, drawn cables may lie in each other.
      const double reach = 4 * std::max(a.cable->diameter_m, b.cable->diameter_m);
      if (near_any(turns[static_cast<std::size_t>(s.run)], where, reach) ||
          near_any(turns[static_cast<std::size_t>(t.run)], where, reach)) {
        continue;
      }
      told.insert({s.run, t.run});
      findings.items.push_back(
          {"runs-meet", Level::should,
           "Runs " + a.id + " and " + b.id + " are drawn " + length_text(apart, written.units) +
               " apart; their cables need " + length_text(needed, written.units) + ".",
           a.id, where, "Give one of them another way, or a larger raceway.", "geometry"});
    }
  }
  if (findings.items.size() == before) ++findings.quiet;
}

}  // namespace roomloom::check
