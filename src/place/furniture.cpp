#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "geometry/framed_box.h"
#include "place/context.h"
#include "place/place.h"
#include "types/hollow.h"

// Ends in furniture: by a point in it, or by its name.

namespace roomloom::place {
namespace {

Role role_of(const Context& context, int part) {
  const auto at = static_cast<std::size_t>(part);
  return at < context.room.roles.size() ? context.room.roles[at].role : Role::automatic;
}

/// Grommets and other holes of the furniture round the zone.
std::string holes_of(const Context& context, const Zone& zone) {
  std::string names;
  for (std::size_t i = 0; i < context.scene.parts.size(); ++i) {
    if (role_of(context, static_cast<int>(i)) != Role::hole) continue;
    const Box3 box = box_of(context.scene, context.scene.parts[i]);
    if (!box.empty() && in_framed_box(zone.frame, zone.size, box.centre(), 0.01))
      names += (names.empty() ? "\"" : ", \"") + context.scene.parts[i].name + "\"";
  }
  return names;
}

/// Where a body is open is told by a hole in it, else nothing tells: that cable gets into it is
/// taken for granted, and told once.
void guess_way_in(Context& context, const Zone& zone) {
  if (zone.part < 0 || !is_hollow(role_of(context, zone.part))) return;
  const std::string what = "Way into \"" + zone.name.substr(zone.name.find(' ') + 1) + "\"";
  for (const Guess& told : context.ends.guesses)
    if (told.what == what) return;
  if (const std::string holes = holes_of(context, zone); !holes.empty()) {
    context.ends.guesses.push_back(
        {what, "through " + holes, "it is a hole in it",
         "{ \"match\": its name, \"is\": \"ignore\" } where it is none"});
    return;
  }
  context.ends.guesses.push_back(
      {what, "through its back, its side or a grommet, where the drawings show cable go in",
       zone.why + "; nothing says where it is open, so see that it is there",
       "a place of the end outside it, or a part \"Grommet\" in the model where it is open"});
}

/// The part, or an assembly that it belongs to, is called so.
bool is_called(const Context& context, int part, const std::string& name) {
  const Part& own = context.scene.parts[static_cast<std::size_t>(part)];
  if (same_name(own.name, name) || same_name(own.path, name)) return true;
  for (int group = own.parent; group >= 0;
       group = context.scene.groups[static_cast<std::size_t>(group)].parent)
    if (same_name(context.scene.groups[static_cast<std::size_t>(group)].name, name)) return true;
  return false;
}

int zone_called(const Context& context, const std::string& name) {
  for (std::size_t i = 0; i < context.room.zones.size(); ++i) {
    const int part = context.room.zones[i].part;
    if (part >= 0 && is_hollow(role_of(context, part)) && is_called(context, part, name))
      return static_cast<int>(i);
  }
  return -1;
}

/// The way that furniture faces: away from the wall that is nearest to its back.
Vec3 front_of(const Context& context, const Zone& zone) {
  const Vec3 middle = zone.frame.to_world(0.5 * zone.size);
  Vec3 front = zone.frame.v;
  double least = 1e30;
  for (const Sheet& sheet : context.room.sheets) {
    const double square = std::max(std::abs(dot(sheet.frame.n, zone.frame.u)),
                                   std::abs(dot(sheet.frame.n, zone.frame.v)));
    if (sheet.role != SheetRole::wall || square < 0.99) continue;
    const double away = sheet.frame.height(middle);
    if (away < 0 || away >= least || !contains(sheet.region.outline, sheet.frame.to_plane(middle)))
      continue;
    least = away;
    front = sheet.frame.n;
  }
  return front;
}

struct Along {
  std::optional<double> from_low_m, from_high_m;
};

/// A coordinate from 0 to `size`, the middle unless said; nothing if it lies outside.
std::optional<double> coordinate(const Along& said, double size) {
  const double at = said.from_low_m    ? *said.from_low_m
                    : said.from_high_m ? size - *said.from_high_m
                                       : 0.5 * size;
  if (at < 0 || at > size) return std::nullopt;
  return at;
}

}  // namespace

std::string furniture_at(const Context& context, const Vec3& p) {
  for (std::size_t i = 0; i < context.scene.parts.size(); ++i) {
    if (!is_hollow(role_of(context, static_cast<int>(i)))) continue;
    if (box_of(context.scene, context.scene.parts[i]).grown(0.01).contains(p))
      return context.scene.parts[i].name;
  }
  return "";
}

std::optional<Found> in_furniture(Context& context, const Vec3& p, const std::string& pointer,
                                  const std::string& how) {
  if (const int zone = context.surfaces.zone_at(p); zone >= 0) {
    const Zone& z = context.room.zones[static_cast<std::size_t>(zone)];
    guess_way_in(context, z);
    return Found{
        {p, {PlaceKind::zone, zone}, {0, 0, 1}}, Mount::in_furniture, how + ", in " + z.name};
  }
  const NearSheet near = context.surfaces.nearest(p);
  if (near.sheet >= 0 && near.distance_m <= kReachOfSurface_m) {
    const Sheet& sheet = context.surfaces.sheet(near.sheet);
    if (sheet.role == SheetRole::furniture || sheet.role == SheetRole::cupboard)
      return Found{{p, {PlaceKind::sheet, near.sheet}, sheet.frame.n},
                   Mount::in_furniture,
                   how + ", on " + sheet.name};
  }
  if (const std::string part = furniture_at(context, p); !part.empty()) {
    context.problem(pointer, "place.surface",
                    "\"" + part + "\" stands here, but nothing says that cables may lie in it.",
                    "Say \"parts\": [{ \"match\": \"" + part + "\", \"hides\": true }].");
    return std::nullopt;
  }
  std::vector<std::string> zones;
  for (const Zone& zone : context.room.zones) zones.push_back(zone.name);
  context.problem(pointer, "place.surface", "There is no furniture at this point.",
                  zones.empty() ? "The room has none that can hold an end."
                                : "There is " + quoted_list(zones) + ".");
  return std::nullopt;
}

std::optional<Found> place_in_furniture(Context& context, const OnPart& place,
                                        const std::string& pointer, bool& is_furniture) {
  const int index = zone_called(context, place.part);
  is_furniture = index >= 0;
  if (!is_furniture) return std::nullopt;
  const Zone& zone = context.room.zones[static_cast<std::size_t>(index)];
  const Vec3 front = front_of(context, zone);
  const Vec3 right = cross(zone.frame.n, front);
  const bool along_u = std::abs(dot(right, zone.frame.u)) > 0.5;
  const double width = along_u ? zone.size.x : zone.size.y;
  const double lift = zone.frame.origin.z - context.room.floor_z_m;
  Along up;
  if (place.up_m) up.from_low_m = *place.up_m - lift;
  const auto across = coordinate({place.from_left_m, place.from_right_m}, width);
  const auto height = coordinate(up, zone.size.z);
  if (!across || !height) {
    context.problem(pointer, "place.outside", "This place lies outside \"" + place.part + "\".",
                    "It is " + context.length(width) + " wide and reaches from " +
                        context.length(lift) + " to " + context.length(lift + zone.size.z) +
                        " above the floor.");
    return std::nullopt;
  }
  const Vec3 p = zone.frame.to_world(0.5 * zone.size) + (*across - 0.5 * width) * right +
                 (*height - 0.5 * zone.size.z) * zone.frame.n;
  const std::string left = context.length(*across) + " from its left side";
  if (!place.up_m || (!place.from_left_m && !place.from_right_m))
    context.ends.guesses.push_back({"Place of " + pointer + " in " + place.part,
                                    left + " and " + context.length(lift + *height) + " up",
                                    "its middle is taken where the job says no measure",
                                    "\"from_left\" and \"up\", or \"xyz\""});
  guess_way_in(context, zone);
  return Found{{p, {PlaceKind::zone, index}, {0, 0, 1}},
               Mount::in_furniture,
               left + ", " + context.length(lift + *height) + " up, " + zone.name};
}

}  // namespace roomloom::place
