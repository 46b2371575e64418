#include "sketch/under_slopes.h"

#include <algorithm>

namespace roomloom {
namespace {

constexpr double kFlat = 1e-9;

std::vector<Vec3> on_plane(const Ring& ring, const CeilingPlane& plane) {
  std::vector<Vec3> points;
  for (const Vec2& p : ring) points.push_back({p.x, p.y, plane.z(p)});
  return points;
}

/// Where along a -> b two planes are of one height.
void add_breaks(const std::vector<CeilingPlane>& planes, const Vec2& a, const Vec2& b,
                std::vector<double>& at) {
  for (std::size_t i = 0; i < planes.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      const double da = planes[i].z(a) - planes[j].z(a), db = planes[i].z(b) - planes[j].z(b);
      if (da * db >= 0) continue;
      const double t = da / (da - db);
      const Vec2 p = a + t * (b - a);
      if (planes[i].z(p) < lowest_z(planes, p) + kFlat) at.push_back(t);
    }
}

/// The upright faces over a ring, from the height `low` to the lowest plane; none where they have
/// no height.
void add_sides(const Ring& ring, double low, const std::vector<CeilingPlane>& planes,
               Faces& faces) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
    std::vector<double> at{0, 1};
    add_breaks(planes, a, b, at);
    std::sort(at.begin(), at.end(), std::greater<>());
    std::vector<Vec3> face{{a.x, a.y, low}, {b.x, b.y, low}};
    for (const double t : at) {
      const Vec2 p = a + t * (b - a);
      const double z = lowest_z(planes, p);
      if (z > low + kFlat) face.push_back({p.x, p.y, z});
    }
    if (face.size() > 2) faces.push_back({face, {}});
  }
}

}  // namespace

std::vector<Ring> under_slopes(const std::vector<Ring>& rings,
                               const std::vector<CeilingPlane>& planes, double height_m) {
  std::vector<Ring> kept = rings;
  for (const CeilingPlane& plane : planes) {
    std::vector<Ring> left;
    for (const Ring& ring : kept) {
      const auto pieces =
          cut(ring, {-plane.gradient.x, -plane.gradient.y}, plane.at_origin_m - height_m);
      left.insert(left.end(), pieces.begin(), pieces.end());
    }
    kept = std::move(left);
  }
  std::erase_if(kept, [](const Ring& ring) { return signed_area(ring) < kLeastPiece_m2; });
  return kept;
}

Faces slab_under(const Polygon& plan, double low_m, double high_m,
                 const std::vector<CeilingPlane>& planes) {
  const bool level = std::all_of(plan.outline.begin(), plan.outline.end(), [&](const Vec2& p) {
    return lowest_z(planes, p) > high_m - kFlat;
  });
  if (level) return prism(plan, low_m, high_m);
  std::vector<CeilingPlane> tops{{"", {0, 0}, high_m}};
  tops.insert(tops.end(), planes.begin(), planes.end());
  SolidFace bottom{lifted(plan.outline, low_m), {}};
  for (const Ring& hole : plan.holes) bottom.holes.push_back(lifted(hole, low_m));
  Faces faces = inverted({bottom});
  const auto regions = lowest_regions(plan.outline, tops);
  for (std::size_t k = 0; k < regions.size(); ++k)
    for (const Ring& ring : regions[k]) {
      if (signed_area(ring) < kFlat) continue;
      SolidFace top{on_plane(ring, tops[k]), {}};
      for (const Ring& hole : plan.holes)
        if (k == 0 && contains(ring, hole.front())) top.holes.push_back(lifted(hole, high_m));
      faces.push_back(top);
    }
  add_sides(plan.outline, low_m, tops, faces);
  for (const Ring& hole : plan.holes) add_sides(hole, low_m, {tops.front()}, faces);
  return faces;
}

}  // namespace roomloom
