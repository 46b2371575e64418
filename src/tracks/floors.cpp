#include <algorithm>
#include <cmath>

#include "geometry/framed_box.h"
#include "tracks/layout.h"

// Ends that stand on the floor. Nothing may hang across the room to them.

namespace roomloom::tracks {
namespace {

constexpr double kHugs_m = 0.08;  ///< this near a wall, cable goes straight to the end
constexpr double kFarthestStraight_m = 2.0;
constexpr double kBehind_m = 0.0005;
constexpr double kZoneSlack_m = 0.002;

bool in_zone(const Zone& zone, const Vec3& p) {
  return in_framed_box(zone.frame, zone.size, p, kZoneSlack_m);
}

bool zone_holds_both(const Layout& layout, const Vec3& a, const Vec3& b) {
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z)
    if (!is_floor_zone(layout, static_cast<int>(z)) && in_zone(layout.ends.zones[z], a) &&
        in_zone(layout.ends.zones[z], b))
      return true;
  return false;
}

/// Level and square to the wall, from `p` onto its tracks' plane.
Vec2 level_foot(const TrackPlane& wall, const Frame& floor, const Vec3& p) {
  const Vec3 level = normalized(wall.frame.n - dot(wall.frame.n, floor.n) * floor.n);
  return wall.frame.to_plane(p - wall.frame.height(p) / dot(level, wall.frame.n) * level);
}

Stretch lead_stretch(int a, int b, const PlaceId& home, Medium medium) {
  Stretch way;
  way.kind = medium == Medium::free ? EdgeKind::lead_in : EdgeKind::along;
  way.medium = medium;
  way.home = home;
  way.visible_weight = 1;
  way.a = a;
  way.b = b;
  return way;
}

bool attach_straight(Layout& layout, const Anchor& anchor, const Frame& floor) {
  bool joined = false;
  for (const TrackPlane& plane : layout.planes) {
    if (sheet_index(plane) < 0 || std::abs(plane.frame.n.z) > 0.5) continue;
    const double away = plane.frame.height(anchor.position);
    if (away < -kBehind_m || away > kFarthestStraight_m) continue;
    Vec2 at = level_foot(plane, floor, anchor.position);
    if (!contains(plane.region, at)) continue;
    const Vec3 met = plane.frame.to_world(at);
    if (away > kHugs_m && !zone_holds_both(layout, anchor.position, met)) continue;
    if (!lead_in(layout, plane, at, EdgeKind::lead_in)) continue;
    const int point = layout.draft.point(plane.layer, plane.frame.to_world(at));
    Stretch way = lead_stretch(anchor.point, point, anchor.home, Medium::free);
    way.free_direction = true;
    way.visible_weight = 0;
    layout.draft.add(way);
    joined = true;
  }
  return joined;
}

bool attach_over_floor(Layout& layout, const Anchor& anchor, const FloorWay& way) {
  const auto found = layout.plane_of_sheet.find(way.wall);
  if (found == layout.plane_of_sheet.end()) return false;
  const TrackPlane& wall = layout.planes[static_cast<std::size_t>(found->second)];
  const Frame& floor = layout.ends.zones[static_cast<std::size_t>(way.up_zone)].frame;
  const double height = layout.nominal.stand_off_m();
  Vec2 at = level_foot(wall, floor, way.foot + height * floor.n);
  if (!lead_in(layout, wall, at, EdgeKind::lead_in)) return false;
  const Vec3 start = wall.frame.to_world(at);
  const int from = layout.draft.point(wall.layer, start);
  const int foot = layout.draft.point(layout.draft.new_layer(), way.foot + height * floor.n);
  // Held down, not free: a loose cable would be pulled straight through the air to its end.
  layout.draft.add(lead_stretch(from, foot, {PlaceKind::zone, way.along_zone}, Medium::bare));
  Stretch rise = lead_stretch(foot, anchor.point, {PlaceKind::zone, way.up_zone}, Medium::bare);
  rise.free_direction = true;
  layout.draft.add(rise);
  return true;
}

/// From the raceway on the floor up to the end's tip.
bool attach_to_floor(Layout& layout, const Anchor& anchor, const FloorWay& way) {
  const auto found = layout.plane_of_sheet.find(anchor.home.index);
  if (found == layout.plane_of_sheet.end()) return false;
  const TrackPlane& plane = layout.planes[static_cast<std::size_t>(found->second)];
  Vec2 at = plane.frame.to_plane(way.foot);
  if (!lead_in(layout, plane, at, EdgeKind::lead_in)) return false;
  const int foot = layout.draft.point(plane.layer, plane.frame.to_world(at));
  Stretch up = lead_stretch(foot, anchor.point, {PlaceKind::zone, way.up_zone}, Medium::bare);
  up.free_direction = true;
  layout.draft.add(up);
  return true;
}

constexpr const char* kAllowFloor =
    "; \"floor\": { \"cross\": \"in raceway\" } lets raceway lie on the floor";

std::string what_is_in_the_way(const Layout& layout, const Vec3& end, const Sheet& floor,
                               bool declared) {
  for (const Swept& swept : layout.room.swept)
    if (contains(swept.space, end)) return "the space " + swept.name;
  if (layout.job.prefer.over_floor)
    return floor.name + " (no track on it reaches the end: something stands or moves there)";
  if (declared) return floor.name + " (no track reaches the foot of the wall beside it)";
  const std::string reason = layout.room.swept.empty()
                                 ? "no wall from whose foot it can be reached"
                                 : "its way to every wall is blocked or lies where something moves";
  return floor.name + " (" + reason + kAllowFloor + ")";
}

}  // namespace

bool is_floor_zone(const Layout& layout, int index) {
  return std::any_of(
      layout.ends.floor_ways.begin(), layout.ends.floor_ways.end(),
      [&](const FloorWay& way) { return way.along_zone == index || way.up_zone == index; });
}

bool join_over_floor(Layout& layout, Anchor& anchor) {
  bool joined = false;
  for (const FloorWay& way : layout.ends.floor_ways) {
    if (way.end != anchor.end || way.alternative != anchor.alternative) continue;
    if (way.wall < 0 ? attach_to_floor(layout, anchor, way)
                     : attach_over_floor(layout, anchor, way))
      joined = true;
  }
  if (joined) return true;
  for (const RefusedFloorWay& refused : layout.ends.refused_floor_ways)
    if (refused.end == anchor.end && refused.alternative == anchor.alternative)
      anchor.blocked_by = refused.why;
  return false;
}

void attach_on_floor(Layout& layout, Anchor& anchor) {
  const Sheet& floor = sheet_of(layout, anchor.home.index);
  const bool straight = attach_straight(layout, anchor, floor.frame);
  if (join_over_floor(layout, anchor) || straight || !anchor.blocked_by.empty()) return;
  const bool declared = std::any_of(
      layout.ends.floor_ways.begin(), layout.ends.floor_ways.end(), [&](const FloorWay& way) {
        return way.end == anchor.end && way.alternative == anchor.alternative;
      });
  anchor.blocked_by = what_is_in_the_way(layout, anchor.position, floor, declared);
}

}  // namespace roomloom::tracks
