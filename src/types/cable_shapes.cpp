#include "types/cable_shapes.h"

#include <algorithm>

namespace roomloom {

Vec3 nearest_on(const CableShape& cable, const Vec3& p) {
  Vec3 nearest = p;
  double least = Box3::kInf;
  for (const Piece& piece : cable.pieces) {
    const auto* line = std::get_if<Line3>(&piece);
    if (line == nullptr) continue;
    const Vec3 way = line->to - line->from;
    const double share = std::clamp(dot(p - line->from, way) / dot(way, way), 0.0, 1.0);
    const Vec3 foot = line->from + share * way;
    if (distance(foot, p) >= least) continue;
    least = distance(foot, p);
    nearest = foot;
  }
  return nearest;
}

}  // namespace roomloom
