#include "sketch/triangulate.h"

#include <utility>

#include "geometry/triangulate.h"
#include "sketch/polyhedra.h"

namespace roomloom {
namespace {

/// A face's corners in its own plane.
std::vector<Vec2> flattened(const SolidFace& face, const std::vector<Vec3>& corners) {
  const Vec3 n = face_normal(face);
  const Vec3 helper = std::abs(n.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0};
  const Vec3 u = normalized(cross(helper, n));
  const Vec3 v = cross(n, u);
  std::vector<Vec2> plane;
  for (const Vec3& p : corners) plane.push_back({dot(p - corners[0], u), dot(p - corners[0], v)});
  return plane;
}

}  // namespace

std::vector<Vec3> face_corners(const SolidFace& face) {
  std::vector<Vec3> corners = face.outline;
  for (const auto& hole : face.holes) corners.insert(corners.end(), hole.begin(), hole.end());
  return corners;
}

std::vector<std::array<std::uint32_t, 3>> triangulate(const SolidFace& face) {
  const std::vector<Vec2> points = flattened(face, face_corners(face));
  std::vector<CornerLoop> loops(1 + face.holes.size());
  std::uint32_t next = 0;
  for (std::size_t k = 0; k < loops.size(); ++k) {
    loops[k].resize(k == 0 ? face.outline.size() : face.holes[k - 1].size());
    for (std::uint32_t& corner : loops[k]) corner = next++;
  }
  return triangulate(points, std::move(loops));
}

}  // namespace roomloom
