#pragma once

#include <algorithm>
#include <vector>

#include "geometry/arc.h"
#include "types/cable_shapes.h"

namespace roomloom::testing {

inline std::vector<Vec3> centreline(const CableShape& shape) {
  std::vector<Vec3> line;
  for (const Piece& piece : shape.pieces) {
    std::vector<Vec3> points;
    if (const auto* straight = std::get_if<Line3>(&piece))
      points = {straight->from, straight->to};
    else
      points = arc_points(std::get<Arc>(piece), 1e-6);
    if (!line.empty()) points.erase(points.begin());
    line.insert(line.end(), points.begin(), points.end());
  }
  return line;
}

/// The line's points at which it turns, and its ends.
inline std::vector<Vec3> turns(const std::vector<Vec3>& line) {
  std::vector<Vec3> points{line.front(), line.back()};
  for (std::size_t i = 1; i + 1 < line.size(); ++i)
    if (angle_between(line[i] - line[i - 1], line[i + 1] - line[i]) > 0.002)
      points.push_back(line[i]);
  return points;
}

/// Least distance between two drawn runs, leaving out what lies within `reach` of a turn or an end
/// of either. Sampled every 2 mm along the first; exact only below `reach`.
inline double straight_distance(const CableShape& a, const CableShape& b, double reach) {
  const std::vector<Vec3> la = centreline(a);
  const std::vector<Vec3> lb = centreline(b);
  std::vector<Vec3> left_out = turns(la);
  for (const Vec3& p : turns(lb)) left_out.push_back(p);
  double least = reach;
  for (std::size_t i = 0; i + 1 < la.size(); ++i) {
    for (std::size_t j = 0; j + 1 < lb.size(); ++j) {
      if (segment_distance(la[i], la[i + 1], lb[j], lb[j + 1]) >= least) continue;
      const int steps = 1 + static_cast<int>(distance(la[i], la[i + 1]) / 0.002);
      for (int k = 0; k <= steps; ++k) {
        const Vec3 p = la[i] + (static_cast<double>(k) / steps) * (la[i + 1] - la[i]);
        const double apart = point_segment_distance(p, lb[j], lb[j + 1]);
        if (apart >= least) continue;
        if (std::none_of(left_out.begin(), left_out.end(),
                         [&](const Vec3& q) { return distance(p, q) < reach; }))
          least = apart;
      }
    }
  }
  return least;
}

}  // namespace roomloom::testing
