#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "page/parts.h"
#include "page/text.h"

namespace roomloom::page {
namespace {

using Key = std::array<long, 3>;

Key key_of(const Vec3& p, double cell_m) {
  const double cell = std::max(cell_m, 0.0001);
  return {std::lround(p.x / cell), std::lround(p.y / cell), std::lround(p.z / cell)};
}

}  // namespace

SentMesh sent_mesh(const Scene& scene, const Part& part, double cell_m) {
  SentMesh mesh;
  std::map<Key, int> numbers;
  std::set<std::array<int, 3>> had;
  for (std::uint32_t t = part.first_triangle; t < part.first_triangle + part.triangle_count; ++t) {
    std::array<int, 3> corners{};
    for (std::size_t k = 0; k < 3; ++k) {
      const Vec3& p = scene.points[scene.triangles[t][k]];
      const auto [found, fresh] =
          numbers.try_emplace(key_of(p, cell_m), static_cast<int>(mesh.points.size()));
      if (fresh) mesh.points.push_back(p);
      corners[k] = found->second;
    }
    if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) continue;
    std::array<int, 3> sorted = corners;
    std::sort(sorted.begin(), sorted.end());
    if (!had.insert(sorted).second) continue;
    mesh.corners.insert(mesh.corners.end(), corners.begin(), corners.end());
  }
  return mesh;
}

}  // namespace roomloom::page
