#include <algorithm>
#include <cmath>

#include "tracks/layout.h"

// Stud bays: one upright each, entered through plates in the wall's board and left through holes
// in the head plate. Room says which bays may be fished; here they are only used.

namespace roomloom::tracks {
namespace {

constexpr double kPlateEdge_m = 0.02;  ///< least from a plate's middle to what bounds the bay

bool in_region(const Crossing& crossing, const Vec3& p) {
  const Vec2 at = crossing.frame.to_plane(p);
  if (!contains(crossing.region, at) || border_distance(crossing.region, at) < kPlateEdge_m)
    return false;
  return std::none_of(crossing.keep_outs.begin(), crossing.keep_outs.end(),
                      [&](const SheetKeepOut& keep_out) { return contains(keep_out.ring, at); });
}

void set_upright(Layout& layout, int bay, const Vec3& at) {
  if (layout.bay_upright.contains(bay)) return;
  const Void& v = layout.room.voids[static_cast<std::size_t>(bay)];
  const Vec2 middle = interior_point(v.plan);
  Vec2 wanted = v.frame.to_plane(at);
  // Along the wall where the end is, across it in the middle of the bay's depth.
  const Vec2 along = main_direction(v.plan.outline);
  const Vec2 across{-along.y, along.x};
  const bool along_is_wide = [&] {
    double wide = 0, deep = 0;
    for (const Vec2& p : v.plan.outline) {
      wide = std::max(wide, std::abs(dot(p - middle, along)));
      deep = std::max(deep, std::abs(dot(p - middle, across)));
    }
    return wide >= deep;
  }();
  const Vec2 way = along_is_wide ? along : across;
  wanted = middle + dot(wanted - middle, way) * way;
  layout.bay_upright[bay] =
      contains(v.plan, wanted) && border_distance(v.plan, wanted) > kPlateEdge_m ? wanted : middle;
}

void plates_at_ends(Layout& layout, int index) {
  const Crossing& plate = layout.room.crossings[static_cast<std::size_t>(index)];
  for (std::size_t i = 0; i < layout.anchors.size(); ++i) {
    const Anchor& anchor = layout.anchors[i];
    if (anchor.end < 0 || anchor.home != plate.from || !in_region(plate, anchor.position)) continue;
    if (anchor.alternative >= 0 && layout.coarseness > 0) continue;
    set_upright(layout, plate.to.index, anchor.position);
    ChosenHole hole = hole_at(layout, index, anchor.position);
    hole.end_anchor = static_cast<int>(i);
    layout.holes.push_back(hole);
  }
}

/// A plate behind gear or in a hidden place, where the bay's upright passes it.
void plates_at_zones(Layout& layout, int index) {
  const Crossing& plate = layout.room.crossings[static_cast<std::size_t>(index)];
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    if (is_floor_zone(layout, static_cast<int>(z))) continue;
    const Zone& zone = layout.ends.zones[z];
    const Vec3 centre = zone.frame.to_world(0.5 * zone.size);
    const Vec3 on_wall = plate.frame.to_world(plate.frame.to_plane(centre));
    const Vec3 local = zone.frame.to_local(on_wall);
    const bool touches = local.x > -0.001 && local.y > -0.001 && local.z > -0.001 &&
                         local.x < zone.size.x + 0.001 && local.y < zone.size.y + 0.001 &&
                         local.z < zone.size.z + 0.001;
    if (!touches) continue;
    const Void& bay = layout.room.voids[static_cast<std::size_t>(plate.to.index)];
    set_upright(layout, plate.to.index, bay.frame.to_world(interior_point(bay.plan)));
    const Vec3 foot = bay_foot(layout, plate.to.index, on_wall);
    const Vec3 at = plate.frame.to_world(plate.frame.to_plane(foot));
    if (in_region(plate, at)) layout.holes.push_back(hole_at(layout, index, at));
  }
}

/// A plate where the wall's skirting raceway passes the bay.
void plate_at_skirting(Layout& layout, int index) {
  const Crossing& plate = layout.room.crossings[static_cast<std::size_t>(index)];
  const auto found = layout.plane_of_sheet.find(plate.from.index);
  if (plate.from.kind != PlaceKind::sheet || found == layout.plane_of_sheet.end()) return;
  const TrackPlane& plane = layout.planes[static_cast<std::size_t>(found->second)];
  const Void& bay = layout.room.voids[static_cast<std::size_t>(plate.to.index)];
  set_upright(layout, plate.to.index, bay.frame.to_world(interior_point(bay.plan)));
  const auto [low, high] = extent(plane.region.outline);
  const double lowest = low.y + layout.nominal.stand_off_m() + 0.06;
  const Vec3 foot = bay_foot(layout, plate.to.index, bay.frame.origin);
  const Vec2 at = plane.frame.to_plane(foot);
  const Vec3 wanted = plane.frame.to_world(Vec2{at.x, lowest});
  if (in_region(plate, wanted)) layout.holes.push_back(hole_at(layout, index, wanted));
}

/// A hole in the head plate over the upright, or at the nearest place allowed.
void head_hole(Layout& layout, int index) {
  const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(index)];
  const bool from_bay = crossing.from.kind == PlaceKind::void_space &&
                        layout.bay_upright.contains(crossing.from.index);
  const bool to_bay =
      crossing.to.kind == PlaceKind::void_space && layout.bay_upright.contains(crossing.to.index);
  if (!from_bay && !to_bay) return;
  const int bay = from_bay ? crossing.from.index : crossing.to.index;
  const Vec3 over = bay_foot(layout, bay, crossing.frame.origin);
  const Vec3 middle = crossing.frame.to_world(interior_point(crossing.region));
  layout.holes.push_back(hole_at(layout, index, in_region(crossing, over) ? over : middle));
}

}  // namespace

Vec3 bay_foot(const Layout& layout, int index, const Vec3& at) {
  const Void& v = layout.room.voids[static_cast<std::size_t>(index)];
  const auto found = layout.bay_upright.find(index);
  const Vec2 plan = found == layout.bay_upright.end() ? interior_point(v.plan) : found->second;
  return v.frame.to_world(plan, v.frame.height(at));
}

void choose_bay_holes(Layout& layout) {
  const auto each = [&](CrossingKind kind, auto&& act) {
    for (std::size_t i = 0; i < layout.room.crossings.size(); ++i)
      if (layout.room.crossings[i].kind == kind) act(layout, static_cast<int>(i));
  };
  each(CrossingKind::wall_plate, plates_at_ends);
  each(CrossingKind::wall_plate, plates_at_zones);
  each(CrossingKind::wall_plate, plate_at_skirting);
  each(CrossingKind::plate_hole, head_hole);
}

}  // namespace roomloom::tracks
