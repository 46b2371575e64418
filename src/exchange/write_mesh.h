#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "types/annotation.h"

namespace roomloom {

/// What GLB and OBJ show of an item. Room frame, metres.
struct DrawnItem {
  std::vector<Vec3> points;
  std::vector<Vec3> normals;                            ///< one a point
  std::vector<std::array<std::uint32_t, 3>> triangles;  ///< counter-clockwise seen from outside
  std::vector<Vec3> centreline;                         ///< of a tube; else empty
  bool flat = false;  ///< strokes without thickness, to be seen from both sides
};

/// Tubes have twelve sides with their corners on the true circle, bends within 0.2 mm of the arc,
/// and a centreline at most 0.05 mm too short. Rings have 32 sides with corners on the true
/// circles.
DrawnItem drawn(const AnnotationShape& shape);

}  // namespace roomloom
