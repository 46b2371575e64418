#include <algorithm>
#include <array>
#include <span>

#include "geometry/inside.h"
#include "place/context.h"

// Whether something solid stands where gear is to stand.

namespace roomloom::place {
namespace {

/// So deep into its side gear may reach as boxes are measured; of thin gear a quarter.
constexpr double kTouches_m = 0.02;

/// What is left of a convex ring on the side of a plane square to an axis; `keep_below`: where the
/// coordinate is at most `at`.
std::vector<Vec3> cut(const std::vector<Vec3>& ring, int axis, double at, bool keep_below) {
  std::vector<Vec3> left;
  const auto beyond = [&](const Vec3& p) { return keep_below ? p[axis] - at : at - p[axis]; };
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec3 &a = ring[i], &b = ring[(i + 1) % ring.size()];
    const double from = beyond(a), to = beyond(b);
    if (from <= 0) left.push_back(a);
    if ((from < 0 && to > 0) || (from > 0 && to < 0))
      left.push_back(a + (from / (from - to)) * (b - a));
  }
  return left;
}

/// Whether a face of the part lies within the gear's box, more than it may touch it.
bool reaches_into(const Scene& scene, const Part& part, const GearBox& box) {
  for (std::uint32_t k = 0; k < part.triangle_count; ++k) {
    std::vector<Vec3> ring;
    for (const std::uint32_t p : scene.triangles[part.first_triangle + k])
      ring.push_back(box.frame.to_local(scene.points[p]));
    for (int axis = 0; axis < 3 && !ring.empty(); ++axis) {
      const double touches = std::min(kTouches_m, box.size[axis] / 4);
      ring = cut(ring, axis, box.size[axis] - touches, true);
      ring = cut(ring, axis, touches, false);
    }
    if (!ring.empty()) return true;
  }
  return false;
}

/// Whether the middle of the gear's box is in the solid part. Of gear that is all inside no face
/// of the part tells.
bool holds_middle(const Scene& scene, const Part& part, const GearBox& box) {
  if (part.closure == Closure::open) return false;
  Box3 whole;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    whole.add(scene.points[part.first_point + i]);
  const Vec3 middle = box.frame.to_world(0.5 * box.size);
  if (whole.empty() || !whole.contains(middle)) return false;
  const TriangleTree tree(
      scene.points, std::span(scene.triangles).subspan(part.first_triangle, part.triangle_count));
  return is_inside(tree, middle, whole.high.z);
}

/// "It takes 2.90 m to 3.50 m of "Wall back", measured from its left."
std::string where_it_stands(const Context& context, const Part& part, int wall) {
  if (wall < 0) return "";
  const Sheet& sheet = context.surfaces.sheet(wall);
  double low = 1e9, high = -1e9;
  for (std::uint32_t i = 0; i < part.point_count; ++i) {
    const double u = sheet.frame.to_plane(context.scene.points[part.first_point + i]).x;
    low = std::min(low, u);
    high = std::max(high, u);
  }
  const double left = edges_at(sheet, 0).first;
  return "It takes " + context.length(low - left) + " to " + context.length(high - left) +
         " of \"" + sheet.name + "\", measured from its left. ";
}

}  // namespace

void check_gear_space(Context& context, const GearSpec& gear, const GearBox& box, int wall) {
  for (std::size_t i = 0; i < context.scene.parts.size() && i < context.room.roles.size(); ++i) {
    const Part& part = context.scene.parts[i];
    if (context.room.roles[i].role != Role::obstacle) continue;
    if (!reaches_into(context.scene, part, box) && !holds_middle(context.scene, part, box))
      continue;
    context.problem(
        gear.pointer, "place.gear", "The gear \"" + gear.id + "\" stands in \"" + part.name + "\".",
        where_it_stands(context, part, wall) + "Move the gear, or say \"parts\": [{ \"match\": \"" +
            part.name + "\", \"is\": \"ignore\" }] if that is the gear itself.");
  }
}

}  // namespace roomloom::place
