#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

constexpr double kOnFace_m = 0.02;
constexpr double kOutletHeight_m =
    0.30;  ///< taken where `up` is missing; common practice, no source

/// The coordinate along v of a height above the floor, or above the near edge of a level sheet.
double v_of(const Context& context, const Sheet& sheet, double up_m) {
  if (is_level(sheet)) {
    double near = 1e30;
    for (const Vec2& corner : sheet.region.outline) near = std::min(near, corner.y);
    return near + up_m;
  }
  return (context.room.floor_z_m + up_m - sheet.frame.origin.z) / sheet.frame.v.z;
}

double up_or_guess(Context& context, const OnPart& place, const std::string& pointer) {
  if (place.up_m) return *place.up_m;
  context.ends.guesses.push_back({"Height of " + pointer, context.length(kOutletHeight_m),
                                  "no \"up\" is given; sockets are often put there",
                                  "\"up\": \"1.2 m\""});
  return kOutletHeight_m;
}

/// The first clear coordinate along u to either side, said as from_left.
std::string nearest_clear(const Context& context, const OnSheet& at) {
  const Sheet& sheet = context.surfaces.sheet(at.sheet);
  const auto [left, right] = edges_at(sheet, at.at.y);
  for (double off = 0.01; off < right - left; off += 0.01) {
    for (const double side : {-off, off}) {
      const Vec2 tried{at.at.x + side, at.at.y};
      if (tried.x < left || tried.x > right) continue;
      if (!context.surfaces.obstruction(at.sheet, tried, 0.05, false).empty()) continue;
      return "The nearest clear place at that height is at from_left " +
             context.length(tried.x - left) + ".";
    }
  }
  return "Choose another height.";
}

bool fits(Context& context, const OnSheet& found, const std::string& pointer) {
  const Sheet& sheet = context.surfaces.sheet(found.sheet);
  const Ring& outline = sheet.region.outline;
  if (!contains(outline, found.at) && border_distance({outline, {}}, found.at) > 1e-6) {
    const auto [left, right] = edges_at(sheet, found.at.y);
    context.problem(pointer, "place.outside", "This place lies outside \"" + sheet.name + "\".",
                    "At that height it is " + context.length(right - left) + " wide.");
    return false;
  }
  const std::string opening = context.surfaces.obstruction(found.sheet, found.at, 0, false);
  if (opening.empty()) return true;
  context.problem(pointer, "place.opening", "This place lies in " + opening + ".",
                  nearest_clear(context, found));
  return false;
}

std::optional<Found> in_furniture(Context& context, const Vec3& p, const std::string& pointer,
                                  const std::string& how) {
  if (const int zone = context.surfaces.zone_at(p); zone >= 0) {
    const Zone& z = context.room.zones[static_cast<std::size_t>(zone)];
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
  std::vector<std::string> zones;
  for (const Zone& zone : context.room.zones) zones.push_back(zone.name);
  context.problem(pointer, "place.surface", "There is no furniture at this point.",
                  zones.empty() ? "The room has none that can hold an end."
                                : "There is " + quoted_list(zones) + ".");
  return std::nullopt;
}

std::optional<Found> on_floor(Context& context, const Vec3& p, const std::string& pointer,
                              const std::string& how) {
  const int floor = context.surfaces.floor_under(p);
  if (floor >= 0)
    return Found{{p, {PlaceKind::sheet, floor}, context.surfaces.sheet(floor).frame.n},
                 Mount::on_floor,
                 how + ", standing on " + context.surfaces.sheet(floor).name};
  context.problem(pointer, "place.surface", "There is no floor under this point.", "");
  return std::nullopt;
}

Found on_sheet(const Context& context, const Vec3& p, int index, const std::string& how) {
  const Sheet& sheet = context.surfaces.sheet(index);
  const double height = sheet.frame.height(p);
  // A box let into the wall: its cable comes out of the face.
  const Vec3 position = height < 0 ? p - height * sheet.frame.n : p;
  return {{position, {PlaceKind::sheet, index}, sheet.frame.n},
          sheet.role == SheetRole::floor ? Mount::on_floor : Mount::on_sheet,
          how + ", on " + sheet.name};
}

}  // namespace

std::optional<OnSheet> measure(Context& context, const OnPart& place, const std::string& pointer,
                               double width_m) {
  const auto index = context.surfaces.sheet_named(place.part);
  if (!index) {
    const bool known = context.surfaces.has_part(place.part);
    context.problem(pointer + "/at", "place.part",
                    known ? "\"" + place.part + "\" has no face toward the room."
                          : "The model has no part \"" + place.part + "\".",
                    known ? "Check what it is in \"parts\"."
                          : suggestion(place.part, context.surfaces.surface_names()));
    return std::nullopt;
  }
  const Sheet& sheet = context.surfaces.sheet(*index);
  OnSheet found{*index, {}, ""};
  const double up = width_m > 0 ? place.up_m.value_or(0) : up_or_guess(context, place, pointer);
  found.at.y = v_of(context, sheet, up);
  const auto [left, right] = edges_at(sheet, found.at.y);
  if (place.from_left_m) {
    found.at.x = left + *place.from_left_m + 0.5 * width_m;
    found.how = context.length(*place.from_left_m) + " from the left edge of ";
  } else if (place.from_right_m) {
    found.at.x = right - *place.from_right_m - 0.5 * width_m;
    found.how = context.length(*place.from_right_m) + " from the right edge of ";
  } else {
    found.at.x = 0.5 * (left + right);
    found.how = "in the middle of ";
  }
  found.how += sheet.name;
  if (width_m <= 0)
    found.how += ", " + context.length(up) + (is_level(sheet) ? " from its near edge" : " up");
  return found;
}

std::optional<Found> place_on_part(Context& context, const OnPart& place,
                                   const std::string& pointer) {
  const auto found = measure(context, place, pointer);
  if (!found || !fits(context, *found, pointer)) return std::nullopt;
  const Sheet& sheet = context.surfaces.sheet(found->sheet);
  Found result;
  result.place = {sheet.frame.to_world(found->at, place.out_m),
                  {PlaceKind::sheet, found->sheet},
                  sheet.frame.n};
  result.mount = sheet.role == SheetRole::floor ? Mount::on_floor : Mount::on_sheet;
  result.how = found->how;
  return result;
}

std::optional<Found> mount_point(Context& context, const Vec3& p, Mount mount,
                                 const std::string& pointer, const std::string& how) {
  if (mount == Mount::in_furniture) return in_furniture(context, p, pointer, how);
  if (mount == Mount::on_floor) return on_floor(context, p, pointer, how);
  const NearSheet near = context.surfaces.nearest(p);
  const bool touches = near.sheet >= 0 && near.distance_m <= kOnFace_m;
  if (mount == Mount::automatic && !touches && context.surfaces.zone_at(p) >= 0)
    return in_furniture(context, p, pointer, how);
  if (near.sheet >= 0 && near.distance_m <= kReachOfSurface_m)
    return on_sheet(context, p, near.sheet, how);
  std::string remedy = "Say \"mount\": \"on floor\" if it stands on the floor, or move it.";
  if (near.sheet >= 0)
    remedy = "The nearest is \"" + context.surfaces.sheet(near.sheet).name + "\", " +
             context.length(near.distance_m) + " away. " + remedy;
  context.problem(pointer, "place.surface",
                  "No surface lies within " + context.length(kReachOfSurface_m) + " of this point.",
                  remedy);
  return std::nullopt;
}

std::optional<Vec3> marker_point(Context& context, const std::string& name,
                                 const std::string& pointer) {
  const auto p = context.surfaces.marker(name);
  if (p) return p;
  const auto names = context.surfaces.marker_names();
  context.problem(pointer, "place.marker", "The model has no marker \"" + name + "\".",
                  names.empty() ? "It has no markers at all." : suggestion(name, names));
  return std::nullopt;
}

}  // namespace roomloom::place
