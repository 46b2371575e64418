#include <algorithm>
#include <numeric>

#include "base/units.h"
#include "geometry/triangulate.h"
#include "room/region.h"
#include "room/room.h"

namespace roomloom {
namespace {

constexpr const char* kGroup = "stated in the job/";
constexpr double kBeyond_m = 0.01;  ///< planes reach out of the model by this, to close the room

/// A frame in the plane of some points that do not lie on one line.
Frame frame_of(const std::vector<Vec3>& points) {
  Vec3 normal;
  for (std::size_t i = 0; i < points.size(); ++i)
    normal += cross(points[i] - points.front(), points[(i + 1) % points.size()] - points.front());
  Frame frame;
  frame.origin = points.front();
  frame.n = normalized(normal);
  frame.u = normalized(cross(std::abs(frame.n.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0}, frame.n));
  frame.v = cross(frame.n, frame.u);
  return frame;
}

/// Where a plane cuts a box: the convex ring of its points on the box's edges; empty where it
/// misses the box.
Ring cut_of(const Frame& plane, const Box3& box) {
  std::vector<Vec2> points;
  for (int axis = 0; axis < 3; ++axis) {
    for (int corner = 0; corner < 4; ++corner) {
      Vec3 from = box.low;
      const int next = (axis + 1) % 3, last = (axis + 2) % 3;
      if ((corner & 1) != 0) from[next] = box.high[next];
      if ((corner & 2) != 0) from[last] = box.high[last];
      Vec3 to = from;
      to[axis] = box.high[axis];
      const double a = plane.height(from), b = plane.height(to);
      if ((a > 0) == (b > 0)) continue;
      points.push_back(plane.to_plane(from + (a / (a - b)) * (to - from)));
    }
  }
  return points.size() < 3 ? Ring{} : convex_hull(std::move(points));
}

Box3 box_of(const Scene& scene) {
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  return box;
}

void add_part(const StatedFace& face, const Frame& frame, Ring ring, DisplayUnits units,
              Scene& scene) {
  if (signed_area(ring) < 0) std::reverse(ring.begin(), ring.end());
  Part part;
  part.name = face.name;
  part.path = kGroup + face.name;
  part.extras["is"] = to_string(face.role);
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.point_count = static_cast<std::uint32_t>(ring.size());
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  CornerLoop loop(ring.size());
  std::iota(loop.begin(), loop.end(), 0U);
  const auto triangles = triangulate(ring, {loop});
  part.triangle_count = static_cast<std::uint32_t>(triangles.size());
  for (const Vec2& p : ring) scene.points.push_back(frame.to_world(p));
  for (const auto& t : triangles) {
    scene.triangles.push_back(
        {part.first_point + t[0], part.first_point + t[1], part.first_point + t[2]});
    scene.face.push_back(-1);
  }
  scene.notes.push_back({"job.stated-face",
                         "\"" + face.name + "\", a " + to_string(face.role) + " of " +
                             format_area(std::abs(signed_area(ring)), units) +
                             ", is stated by the job, not by the model.",
                         face.pointer});
  scene.parts.push_back(std::move(part));
}

}  // namespace

bool is_stated(const Part& part) { return part.path.starts_with(kGroup); }

void add_stated_faces(const Job& job, Scene& scene) {
  // Bounds of planes: the model and the faces whose corners are given.
  Box3 box = box_of(scene);
  for (const StatedFace& face : job.model.faces)
    if (!face.whole_plane)
      for (const Vec3& p : face.points) box.add(p);
  box = box.grown(kBeyond_m);
  for (const StatedFace& face : job.model.faces) {
    const Frame frame = frame_of(face.points);
    Ring ring;
    if (face.whole_plane && !box.empty()) ring = cut_of(frame, box);
    if (!face.whole_plane)
      for (const Vec3& p : face.points) ring.push_back(frame.to_plane(p));
    if (ring.size() >= 3) {
      add_part(face, frame, std::move(ring), job.units, scene);
    } else {
      scene.notes.push_back({"job.stated-face",
                             "The plane of \"" + face.name +
                                 "\" misses the model, so it is left out: check its points "
                                 "(metres, Z up).",
                             face.pointer});
    }
  }
}

}  // namespace roomloom
