#pragma once

#include <cstdint>
#include <vector>

#include "base/vec.h"
#include "types/scene.h"

namespace roomloom {

/// Triangles of one part that lie in one plane.
struct PlanarFace {
  int part = -1;
  Vec3 normal;
  double offset = 0;  ///< dot(normal, point)
  double area_m2 = 0;
  double residual_m = 0;
  std::vector<std::uint32_t> triangles;  ///< into Scene::triangles
};

/// Faces of a clean mesh: triangles within a millimetre of the plane of their largest one.
std::vector<PlanarFace> exact_faces(const Scene& scene, int part);
/// Planes fitted to a noisy mesh: the largest first, each to what is left over by the earlier ones.
std::vector<PlanarFace> fitted_faces(const Scene& scene, int part);

}  // namespace roomloom
