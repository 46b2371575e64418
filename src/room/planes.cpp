#include "room/planes.h"

#include <algorithm>
#include <cmath>

#include "room/faces.h"

namespace roomloom {
namespace {

constexpr double kSmallestPlane = 0.02;  // square metres
constexpr double kSamePlane = 0.002;
constexpr double kFlattestScan = 0.004;  // no scan is claimed to be flatter

Region projected(const Scene& scene, const PlanarFace& face, const Frame& frame) {
  Region triangles;
  triangles.reserve(face.triangles.size());
  for (const std::uint32_t t : face.triangles) {
    Ring ring;
    for (const std::uint32_t p : scene.triangles[t])
      ring.push_back(frame.to_plane(scene.points[p]));
    triangles.push_back(std::move(ring));
  }
  return united(triangles);
}

// The same for tens of thousands of small triangles: rows of cells that they cover.
Region rastered(const Scene& scene, const PlanarFace& face, const Frame& frame) {
  constexpr double kCell = 0.03;
  std::vector<Ring> rings;
  Box2 box;
  for (const std::uint32_t t : face.triangles) {
    Ring ring;
    for (const std::uint32_t p : scene.triangles[t])
      ring.push_back(frame.to_plane(scene.points[p]));
    for (const Vec2& p : ring) box.add(p);
    rings.push_back(std::move(ring));
  }
  const auto cells = [](double metres) { return static_cast<int>(std::floor(metres / kCell)); };
  const int columns = cells(box.high.x - box.low.x) + 2, rows = cells(box.high.y - box.low.y) + 2;
  std::vector<bool> covered(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
  const auto at = [&](int x, int y) {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(columns) +
           static_cast<std::size_t>(x);
  };
  for (const Ring& ring : rings) {
    const Box2 own = box_of(ring);
    for (int y = cells(own.low.y - box.low.y); y <= cells(own.high.y - box.low.y); ++y) {
      for (int x = cells(own.low.x - box.low.x); x <= cells(own.high.x - box.low.x); ++x) {
        const Vec2 middle = box.low + kCell * Vec2{x + 0.5, y + 0.5};
        const bool small = own.high.x - own.low.x < 3 * kCell && own.high.y - own.low.y < 3 * kCell;
        if (small || contains(ring, middle)) covered[at(x, y)] = true;
      }
    }
  }
  Region runs;
  for (int y = 0; y < rows; ++y) {
    for (int x = 0; x < columns; ++x) {
      if (!covered[at(x, y)]) continue;
      const int first = x;
      while (x < columns && covered[at(x, y)]) ++x;
      runs.push_back(rectangle_ring(box.low + kCell * Vec2{1.0 * first, 1.0 * y},
                                    box.low + kCell * Vec2{1.0 * x, y + 1.0}));
    }
  }
  return united(runs);
}

// Small holes in a scan are missing measurements, not openings: they are filled, and told.
Region bridged(const Region& region, Region& filled) {
  Region whole = closed(region, kWidestGap_m / 2);
  std::erase_if(whole, [](const Ring& ring) {
    const double size = signed_area(ring);
    return size < 0 && size > -kLargestGap_m2;
  });
  for (const Polygon& hole : polygons(without(whole, region))) filled.push_back(hole.outline);
  return whole;
}

bool fits(const Scene& scene, const PlanarFace& face, const Plane& plane) {
  if (std::abs(dot(face.normal, plane.frame.n)) < 0.9995) return false;
  const double within = kSamePlane + std::min(0.03, face.residual_m + plane.residual_m);
  const bool noisy = face.triangles.size() > 2000;
  const std::size_t step = noisy ? face.triangles.size() / 500 : 1;
  double away = 0, count = 0;
  for (std::size_t i = 0; i < face.triangles.size(); i += step) {
    for (const std::uint32_t p : scene.triangles[face.triangles[i]]) {
      const double height = std::abs(plane.frame.height(scene.points[p]));
      if (!noisy && height > within) return false;
      away += height;
      count += 1;
    }
  }
  return !noisy || away / count < within;
}

void add_member(const Scene& scene, const PlanarFace& face, Plane& plane, bool noisy) {
  const bool many = noisy && face.triangles.size() > 300;
  PlaneMember member{
      face.part, many ? rastered(scene, face, plane.frame) : projected(scene, face, plane.frame),
      face.residual_m};
  if (noisy) {
    member.region = simplified(bridged(member.region, plane.bridged), face.residual_m + 0.005);
    member.residual_m = std::max(member.residual_m, kFlattestScan);
    plane.fitted = true;
  }
  plane.residual_m = std::max(plane.residual_m, member.residual_m);
  for (const std::uint32_t t : face.triangles)
    for (const std::uint32_t p : scene.triangles[t]) plane.box.add(scene.points[p]);
  for (PlaneMember& other : plane.members) {
    if (other.part != face.part) continue;
    other.region = united(other.region, member.region);
    other.residual_m = std::max(other.residual_m, member.residual_m);
    return;
  }
  plane.members.push_back(std::move(member));
}

}  // namespace

bool is_noisy(const Scene& scene, const Part& part) {
  if (part.triangle_count < 400) return false;
  const int index = static_cast<int>(&part - scene.parts.data());
  double total = 0, flat = 0;
  std::size_t count = 0;
  for (const PlanarFace& face : exact_faces(scene, index)) {
    total += face.area_m2;
    if (face.area_m2 >= 0.05) flat += face.area_m2;
    ++count;
  }
  return flat < 0.85 * total && count > 300;
}

Frame sheet_frame(const Vec3& origin, const Vec3& n, const Vec3& ahead) {
  const Vec3 up{0, 0, 1};
  Frame frame;
  frame.origin = origin;
  frame.n = n;
  if (std::abs(n.z) > 0.985) {
    frame.u = normalized(ahead - dot(ahead, n) * n);
    frame.v = cross(n, frame.u);
  } else {
    frame.v = normalized(up - dot(up, n) * n);
    frame.u = cross(frame.v, n);
  }
  return frame;
}

Region moved(const Region& region, const Frame& from, const Frame& to) {
  Region result;
  for (const Ring& ring : region) {
    Ring turned;
    for (const Vec2& p : ring) turned.push_back(to.to_plane(from.to_world(p)));
    if (dot(from.n, to.n) < 0) std::reverse(turned.begin(), turned.end());
    result.push_back(std::move(turned));
  }
  return result;
}

std::vector<Plane> planes_of(const Scene& scene, const std::vector<int>& parts) {
  std::vector<PlanarFace> faces;
  std::vector<bool> noisy(scene.parts.size(), false);
  for (const int part : parts) {
    const auto index = static_cast<std::size_t>(part);
    noisy[index] = is_noisy(scene, scene.parts[index]);
    auto found = noisy[index] ? fitted_faces(scene, part) : exact_faces(scene, part);
    for (PlanarFace& face : found)
      if (face.area_m2 >= 1e-4) faces.push_back(std::move(face));
  }
  std::stable_sort(faces.begin(), faces.end(),
                   [](const PlanarFace& a, const PlanarFace& b) { return a.area_m2 > b.area_m2; });
  std::vector<Plane> planes;
  for (const PlanarFace& face : faces) {
    auto home = std::find_if(planes.begin(), planes.end(),
                             [&](const Plane& p) { return fits(scene, face, p); });
    if (home == planes.end()) {
      if (face.area_m2 < kSmallestPlane) continue;  // slivers join larger faces or are left out
      Plane plane;
      plane.frame = sheet_frame(face.offset * face.normal, face.normal);
      planes.push_back(std::move(plane));
      home = planes.end() - 1;
    }
    add_member(scene, face, *home, noisy[static_cast<std::size_t>(face.part)]);
  }
  for (Plane& plane : planes) {
    for (const PlaneMember& member : plane.members)
      plane.region = plane.region.empty() ? member.region : united(plane.region, member.region);
  }
  return planes;
}

}  // namespace roomloom
