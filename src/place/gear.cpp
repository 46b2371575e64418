#include <algorithm>
#include <cmath>

#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

constexpr double kZoneMargin_m = 0.10;  ///< beside the gear, for cables that leave sideways
constexpr double kZoneOverlap_m = 0.005;
constexpr double kLongFreeWay_m = 1.0;
constexpr double kPortPitch_m = 0.03;   ///< ports nearer than this go in several rows
constexpr double kFreeGap_m = 0.10;     ///< behind gear that stands away from every wall
constexpr double kHangingGap_m = 0.20;  ///< behind gear that hangs: room for a hole beside a tee
constexpr double kHangsAbove_m = 1.2;   ///< from the floor; what is lower stands on something
constexpr double kLongestDrop_m = 1.2;  ///< from the ceiling to gear that hangs from it

/// Where the gear's back stands: middle of its lower back edge, and outward from its wall.
struct Stand {
  Vec3 back_middle;
  Vec3 front{0, 1, 0};  ///< level, unit: from the back to the front
  int wall = -1;        ///< sheet behind it
  double gap_m = 0;     ///< from its back to the wall
  int ceiling = -1;     ///< sheet that it hangs from
  double drop_m = 0;    ///< from there to its top
  std::string how;
};

Vec3 level(const Vec3& v) { return normalized(Vec3{v.x, v.y, 0}); }

/// Away from every wall: its back the way that the nearest one would have it, a little free space
/// behind, and from there over the floor.
Stand standing_free(Context& context, const GearSpec& gear, const Vec3& p, const Vec3& front,
                    const std::string& how) {
  Stand stand;
  stand.front = front;
  stand.back_middle = p - 0.5 * gear.box.y * front;
  stand.gap_m = kFreeGap_m;
  stand.how = how + ", standing free";
  context.ends.guesses.push_back({"Cable of gear \"" + gear.id + "\"", "over the floor",
                                  "it stands more than " + context.length(kFarthestWall_m) +
                                      " from every wall: cable there wants a ramp over it",
                                  "\"at\": a wall, with \"from_left\" and \"off_wall\"; or allow "
                                  "raceway there: \"floor\": { \"cross\": \"in raceway\" }"});
  return stand;
}

std::optional<Stand> against_wall(Context& context, const GearSpec& gear, const OnPart& place) {
  const auto found = measure(context, place, gear.pointer, gear.box.x);
  if (!found) return std::nullopt;
  const Sheet& wall = context.surfaces.sheet(found->sheet);
  if (is_level(wall)) {
    context.problem(gear.pointer + "/at", "place.gear", "Gear stands with its back to a wall.",
                    "Name a wall, or give \"xyz\" of the middle of its footprint.");
    return std::nullopt;
  }
  const auto [left, right] = edges_at(wall, found->at.y);
  if (found->at.x - 0.5 * gear.box.x < left - 1e-6 || found->at.x + 0.5 * gear.box.x > right + 1e-6)
    context.problem(gear.pointer, "place.outside",
                    "The gear \"" + gear.id + "\" reaches past the edge of \"" + wall.name + "\".",
                    "The wall is " + context.length(right - left) + " wide there.");
  Stand stand;
  stand.front = level(wall.frame.n);
  stand.wall = found->sheet;
  stand.gap_m = gear.off_wall_m;
  stand.back_middle = wall.frame.to_world(found->at) + gear.off_wall_m * stand.front;
  stand.back_middle.z = context.room.floor_z_m + place.up_m.value_or(0);
  stand.how = found->how;
  if (stand.gap_m > kFarthestWall_m) {
    const Vec3 middle = stand.back_middle + 0.5 * gear.box.y * stand.front;
    return standing_free(context, gear, middle, stand.front, found->how);
  }
  return stand;
}

/// High up and nearer to the ceiling over it than to a wall, as a projector hangs: its cables come
/// down behind it.
std::optional<Stand> hanging(Context& context, const GearSpec& gear, const Vec3& p,
                             const std::string& how) {
  const Vec3 top = p + Vec3{0, 0, gear.box.z};
  const int ceiling = context.surfaces.ceiling_over(top);
  if (ceiling < 0 || p.z < context.room.floor_z_m + kHangsAbove_m) return std::nullopt;
  const Sheet& over = context.surfaces.sheet(ceiling);
  Stand stand;
  stand.ceiling = ceiling;
  stand.drop_m = over.frame.height(top);
  stand.gap_m = kHangingGap_m;
  double to_wall = Box3::kInf;
  if (const int wall = context.surfaces.nearest_wall(p); wall >= 0) {
    const Sheet& sheet = context.surfaces.sheet(wall);
    stand.front = level(sheet.frame.n);
    to_wall = sheet.frame.height(p) - 0.5 * gear.box.y;
  }
  stand.back_middle = p - 0.5 * gear.box.y * stand.front;
  if (stand.drop_m > kLongestDrop_m || to_wall < std::max(stand.drop_m, kHangingGap_m))
    return std::nullopt;
  stand.how = how + ", hanging from " + over.name;
  context.ends.guesses.push_back({"Cable of gear \"" + gear.id + "\"", "down from " + over.name,
                                  "it hangs nearer to it than to a wall",
                                  "\"at\": a wall, with \"from_left\", \"up\" and \"off_wall\""});
  return stand;
}

std::optional<Stand> at_point(Context& context, const GearSpec& gear, const Vec3& p,
                              const std::string& how) {
  if (!context.surfaces.inside_room(p)) {
    context.problem(gear.pointer, "place.outside",
                    "The gear \"" + gear.id + "\" stands outside the room.",
                    room_reach(context) + " \"xyz\" is the middle of its footprint.");
    return std::nullopt;
  }
  if (auto hung = hanging(context, gear, p, how)) return hung;
  const int wall = context.surfaces.nearest_wall(p);
  if (wall < 0) return standing_free(context, gear, p, {0, 1, 0}, how);
  const Sheet& sheet = context.surfaces.sheet(wall);
  Stand stand;
  stand.front = level(sheet.frame.n);
  stand.wall = wall;
  stand.back_middle = p - 0.5 * gear.box.y * stand.front;
  stand.gap_m = sheet.frame.height(stand.back_middle);
  if (stand.gap_m > kFarthestWall_m) return standing_free(context, gear, p, stand.front, how);
  stand.how = how + ", its back to " + sheet.name;
  context.ends.guesses.push_back({"Back of gear \"" + gear.id + "\"", "toward " + sheet.name,
                                  "it is the nearest wall",
                                  "\"at\": \"" + sheet.name + "\", \"from_left\": ..."});
  if (stand.gap_m < -0.001) {
    const Vec3 clear = p - stand.gap_m * stand.front;
    context.problem(gear.pointer, "place.gear",
                    "The gear \"" + gear.id + "\" reaches " + context.length(-stand.gap_m) +
                        " into \"" + sheet.name + "\".",
                    "\"xyz\" is the middle of its footprint, " + context.length(gear.box.y) +
                        " deep: x " + context.length(clear.x) + ", y " + context.length(clear.y) +
                        " would stand it against the wall.");
    return std::nullopt;
  }
  return stand;
}

std::optional<Stand> stand_of(Context& context, const GearSpec& gear) {
  if (const auto* at = std::get_if<AtPoint>(&gear.place))
    return at_point(context, gear, at->point, "at a point");
  if (const auto* marker = std::get_if<AtMarker>(&gear.place)) {
    const auto p = marker_point(context, marker->name, gear.pointer + "/marker");
    return p ? at_point(context, gear, *p, "at marker " + marker->name) : std::nullopt;
  }
  if (const auto* part = std::get_if<OnPart>(&gear.place)) {
    const bool bare = !part->from_left_m && !part->from_right_m;
    if (const auto p = context.surfaces.marker(part->part); p && bare)
      return at_point(context, gear, *p, "at marker " + part->part);
    return against_wall(context, gear, *part);
  }
  return std::nullopt;  // the reader has reported that it has no place
}

GearBox box_of(const GearSpec& gear, const Stand& stand) {
  GearBox box;
  box.id = gear.id;
  box.size = gear.box;
  box.frame.v = stand.front;
  box.frame.n = {0, 0, 1};
  box.frame.u = cross(box.frame.v, box.frame.n);  // to the right as one looks out from the wall
  box.frame.origin = stand.back_middle - 0.5 * gear.box.x * box.frame.u;
  return box;
}

/// Whether something that stands below the gear carries it, or it is within it.
bool stands_on_furniture(const Context& context, const GearBox& box) {
  constexpr double kRests_m = 0.1;
  const Vec3 foot = box.frame.to_world(Vec3{0.5 * box.size.x, 0.5 * box.size.y, 0});
  for (std::size_t i = 0; i < context.scene.parts.size() && i < context.room.roles.size(); ++i) {
    const Role role = context.room.roles[i].role;
    if (role != Role::furniture && role != Role::cupboard) continue;
    const Box3 body = place::box_of(context.scene, context.scene.parts[i]);
    if (!body.empty() && foot.x > body.low.x && foot.x < body.high.x && foot.y > body.low.y &&
        foot.y < body.high.y && foot.z > body.low.z + kRests_m && foot.z < body.high.z + kRests_m)
      return true;
  }
  return false;
}

/// How far below the gear's underside the space behind it reaches: to the floor, which gear stands
/// on or what carries it; below gear that hangs on its wall there is open wall.
double reach_below(const Context& context, const GearBox& box) {
  constexpr double kHangs_m = 0.3;
  const double down = box.frame.origin.z - context.room.floor_z_m;
  return down <= kHangs_m || stands_on_furniture(context, box) ? std::max(0.0, down) : 0;
}

/// From the floor, or from its own underside where it hangs on a wall, to the gear's top, from its
/// wall to its back, and a little to either side. Behind gear that hangs from a ceiling, up to it.
Zone zone_behind(const Context& context, const GearSpec& gear, const GearBox& box,
                 const Stand& stand) {
  double left = -kZoneMargin_m, right = gear.box.x + kZoneMargin_m;
  std::string toward = "the free space there";
  if (stand.wall >= 0) {
    const Sheet& wall = context.surfaces.sheet(stand.wall);
    const auto [wall_left, wall_right] = edges_at(wall, wall.frame.to_plane(box.frame.origin).y);
    // The gear's u runs against the wall's: one looks out, the other at it.
    const double origin_u = wall.frame.to_plane(box.frame.origin).x;
    left = std::min(0.0, std::max(left, origin_u - wall_right));
    right = std::max(gear.box.x, std::min(right, origin_u - wall_left));
    toward = wall.name;
  }
  if (stand.ceiling >= 0) toward = context.surfaces.sheet(stand.ceiling).name;
  const double foot = stand.ceiling >= 0 ? 0 : -reach_below(context, box);
  Zone zone;
  zone.name = "behind " + gear.id;
  zone.frame = box.frame;
  zone.frame.origin = box.frame.to_world(Vec3{left, -stand.gap_m, foot});
  zone.size = {right - left, stand.gap_m + kZoneOverlap_m, gear.box.z + stand.drop_m - foot};
  zone.visible = 0;
  zone.why = "cable lies free between the gear's back and " + toward;
  return zone;
}

std::vector<Port> spread_ports(const GearBox& box, const Component& component, std::size_t shelf,
                               std::size_t shelves) {
  const double low = box.size.z * static_cast<double>(shelf) / static_cast<double>(shelves);
  const double band = box.size.z / static_cast<double>(shelves);
  const double inset = 0.1 * box.size.x;
  const double width = box.size.x - 2 * inset;
  const std::size_t count = std::max<std::size_t>(1, component.ports.size());
  const auto fitting = static_cast<std::size_t>(std::max(1.0, std::floor(width / kPortPitch_m)));
  const std::size_t rows = (count + fitting - 1) / fitting;
  const std::size_t in_row = (count + rows - 1) / rows;
  std::vector<Port> ports;
  for (std::size_t i = 0; i < component.ports.size(); ++i) {
    const std::size_t row = i / in_row, in_its_row = i % in_row;
    const double u =
        inset + width * (static_cast<double>(in_its_row) + 0.5) / static_cast<double>(in_row);
    const double n = low + band * (static_cast<double>(row) + 0.5) / static_cast<double>(rows);
    ports.push_back({component.ports[i], box.frame.to_world(Vec3{u, 0, n}), false});
  }
  return ports;
}

void add_components(Context& context, const GearSpec& gear, int index) {
  const GearBox& box = context.ends.gear[static_cast<std::size_t>(index)];
  if (gear.holds.empty()) {
    context.components.push_back({gear.id, index, {}, true, 0.5 * gear.box.z});
    return;
  }
  for (std::size_t i = 0; i < gear.holds.size(); ++i) {
    const Component& component = gear.holds[i];
    PlacedComponent placed;
    placed.id = component.id;
    placed.gear = index;
    placed.ports = spread_ports(box, component, i, gear.holds.size());
    placed.open_ended = component.ports.empty();
    placed.middle_m =
        gear.box.z * (static_cast<double>(i) + 0.5) / static_cast<double>(gear.holds.size());
    context.components.push_back(std::move(placed));
  }
}

bool overlap(const GearBox& a, const GearBox& b) {
  // Separating axes of two upright boxes: their level sides, and up.
  const auto reach = [](const GearBox& box, const Vec3& axis) {
    return 0.5 * (std::abs(dot(box.frame.u, axis)) * box.size.x +
                  std::abs(dot(box.frame.v, axis)) * box.size.y +
                  std::abs(dot(box.frame.n, axis)) * box.size.z);
  };
  const Vec3 between = a.frame.to_world(0.5 * a.size) - b.frame.to_world(0.5 * b.size);
  for (const Vec3& axis : {a.frame.u, a.frame.v, a.frame.n, b.frame.u, b.frame.v})
    if (std::abs(dot(between, axis)) > reach(a, axis) + reach(b, axis) - 1e-6) return false;
  return true;
}

void check_box(Context& context, const GearSpec& gear, const GearBox& box) {
  for (int corner = 0; corner < 4; ++corner) {
    const Vec3 p = box.frame.to_world(
        Vec3{(corner & 1) != 0 ? box.size.x : 0, (corner & 2) != 0 ? box.size.y : 0, 0.01});
    // A corner flush with a wall is in; look a little inside of it.
    const Vec3 middle = box.frame.to_world(Vec3{0.5 * box.size.x, 0.5 * box.size.y, 0.01});
    if (context.surfaces.inside_room(p + 0.005 * normalized(middle - p))) continue;
    context.problem(gear.pointer, "place.gear",
                    "The gear \"" + gear.id + "\" reaches out of the room.",
                    "Check its box (width, depth, height) and its place.");
    break;
  }
  const double top = box.frame.origin.z + box.size.z;
  if (!context.room.box.empty() && top > context.room.box.high.z + 0.001)
    context.problem(gear.pointer, "place.gear",
                    "The gear \"" + gear.id + "\" is higher than the room: its top is at " +
                        context.length(top) + ".",
                    "");
  for (const GearBox& other : context.ends.gear)
    if (overlap(box, other))
      context.problem(gear.pointer, "place.gear",
                      "The gear \"" + gear.id + "\" stands in \"" + other.id + "\".",
                      "Move one of them.");
}

}  // namespace

void place_gear(Context& context) {
  for (const GearSpec& gear : context.job.gear) {
    const auto stand = stand_of(context, gear);
    if (!stand) {
      context.unplaced.insert(gear.id);
      for (const Component& held : gear.holds) context.unplaced.insert(held.id);
      continue;
    }
    GearBox box = box_of(gear, *stand);
    check_box(context, gear, box);
    check_gear_space(context, gear, box, stand->wall);
    box.zone = static_cast<int>(context.ends.zones.size());
    context.ends.zones.push_back(zone_behind(context, gear, box, *stand));
    if (stand->wall >= 0 && stand->gap_m > kLongFreeWay_m)
      context.ends.guesses.push_back(
          {"Free cable behind \"" + gear.id + "\"", context.length(stand->gap_m),
           "it stands that far off " + context.surfaces.sheet(stand->wall).name,
           "\"off_wall\", or another place"});
    context.ends.gear.push_back(std::move(box));
    add_components(context, gear, static_cast<int>(context.ends.gear.size()) - 1);
  }
}

PlacedComponent* find_component(Context& context, const std::string& name) {
  for (PlacedComponent& component : context.components)
    if (component.id == name) return &component;
  PlacedComponent* only = nullptr;
  int found = 0;
  for (PlacedComponent& component : context.components)
    if (context.ends.gear[static_cast<std::size_t>(component.gear)].id == name)
      only = &component, ++found;
  return found == 1 ? only : nullptr;
}

Found port_place(const Context& context, const PlacedComponent& component, const Port& port) {
  const GearBox& box = context.ends.gear[static_cast<std::size_t>(component.gear)];
  Found found;
  found.place = {port.position, {PlaceKind::zone, box.zone}, -box.frame.v};
  found.mount = Mount::in_furniture;
  found.how = "port " + port.name + " on the back of " + component.id +
              (component.id == box.id ? "" : " in " + box.id);
  return found;
}

}  // namespace roomloom::place
