#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "base/steps.h"
#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

constexpr double kOnFace_m = 0.02;
constexpr double kBesideSheet_m = 0.05;  ///< as far past a sheet's edge a point may be meant on it
constexpr double kOutletHeight_m =
    0.30;  ///< taken where `up` is missing; common practice, no source

/// The coordinate along v of a height above the floor, or from the near edge of a level sheet.
double v_of(const Context& context, const Sheet& sheet, double up_m) {
  if (is_level(sheet)) {
    const double ahead = way_ahead(sheet);
    double near = 1e30;
    for (const Vec2& corner : sheet.region.outline) near = std::min(near, ahead * corner.y);
    return ahead * (near + up_m);
  }
  return (context.room.floor_z_m + up_m - sheet.frame.origin.z) / sheet.frame.v.z;
}

double up_or_guess(Context& context, const OnPart& place, const Sheet& sheet,
                   const std::string& pointer) {
  if (place.up_m) return *place.up_m;
  if (is_level(sheet)) {  // nothing is usual there: the middle
    const auto [near, far] =
        std::minmax_element(sheet.region.outline.begin(), sheet.region.outline.end(),
                            [](const Vec2& a, const Vec2& b) { return a.y < b.y; });
    const double middle = 0.5 * (far->y - near->y);
    context.ends.guesses.push_back(
        {"Distance of " + pointer + " from the near edge", context.length(middle),
         "no \"up\" is given: the middle of " + sheet.name + " is taken", "\"up\": \"1.2 m\""});
    return middle;
  }
  context.ends.guesses.push_back({"Height of " + pointer, context.length(kOutletHeight_m),
                                  "no \"up\" is given; sockets are often put there",
                                  "\"up\": \"1.2 m\""});
  return kOutletHeight_m;
}

bool is_clear(const Context& context, int index, const Vec2& at, double margin_m) {
  const Sheet& sheet = context.surfaces.sheet(index);
  return contains(sheet.region.outline, at) &&
         border_distance({sheet.region.outline, {}}, at) > margin_m - 1e-6 &&
         context.surfaces.obstruction(index, at, margin_m, false).empty();
}

/// The first clear coordinate along u to either side, said from the edge that the job measures
/// from.
std::string nearest_clear(const Context& context, const OnSheet& at) {
  const Sheet& sheet = context.surfaces.sheet(at.sheet);
  const auto [left, right] = edges_at(sheet, at.at.y);
  for (const double off : steps_below(0.01, right - left, 0.01)) {
    for (const double side : {-off, off}) {
      const Vec2 tried{at.at.x + side, at.at.y};
      if (tried.x < left || tried.x > right || !is_clear(context, at.sheet, tried, 0.05)) continue;
      return "The nearest clear place at that " +
             std::string(is_level(sheet) ? "depth" : "height") + " is at " +
             (at.from_right ? "from_right " + context.length(right - tried.x)
                            : "from_left " + context.length(tried.x - left)) +
             ".";
    }
  }
  return is_level(sheet) ? "Choose another \"up\"." : "Choose another height.";
}

/// What takes a piece out of a sheet's edge, such as a door that reaches the floor.
std::string notch_at(const Context& context, const Vec3& p) {
  constexpr double kReach_m = 0.1;
  const Scene& scene = context.scene;
  for (std::size_t i = 0; i < scene.parts.size() && i < context.room.roles.size(); ++i) {
    if (!takes_no_end(context.room.roles[i].role)) continue;
    const Part& part = scene.parts[i];
    if (box_of(scene, part).grown(kReach_m).contains(p)) return part.name;
  }
  return "";
}

/// Why a place beside the outline is not on the sheet: how wide it is at that height, or, where it
/// has no width there, from where to where it reaches; nothing if it lies in a notch of the
/// outline.
std::string reach_at(const Context& context, const Sheet& sheet, const Vec2& at) {
  constexpr double kNothing_m = 0.001;
  const auto [left, right] = edges_at(sheet, at.y);
  const Ring& outline = sheet.region.outline;
  const auto [low, high] = std::minmax_element(
      outline.begin(), outline.end(), [](const Vec2& a, const Vec2& b) { return a.y < b.y; });
  if (right - left > kNothing_m && at.y >= low->y && at.y <= high->y)
    return at.x < left || at.x > right
               ? (is_level(sheet) ? "At that depth it is " : "At that height it is ") +
                     context.length(right - left) + " wide."
               : std::string();
  const double zero = v_of(context, sheet, 0);
  const double scale = is_level(sheet) ? way_ahead(sheet) : sheet.frame.v.z;
  const double one = (low->y - zero) * scale, other = (high->y - zero) * scale;
  return "It reaches from " + context.length(std::min(one, other)) + " to " +
         context.length(std::max(one, other)) +
         (is_level(sheet) ? " from its near edge." : " above the floor.");
}

bool fits(Context& context, const OnSheet& found, const std::string& pointer) {
  const Sheet& sheet = context.surfaces.sheet(found.sheet);
  const Ring& outline = sheet.region.outline;
  if (!contains(outline, found.at) && border_distance({outline, {}}, found.at) > 1e-6) {
    // A door at the wall's end takes the piece from its edge: the wall is narrower there, and why
    // is worth more than how much.
    const auto [leftmost, rightmost] = std::minmax_element(
        outline.begin(), outline.end(), [](const Vec2& a, const Vec2& b) { return a.x < b.x; });
    const bool within = found.at.x >= leftmost->x && found.at.x <= rightmost->x;
    const std::string notch =
        within ? notch_at(context, sheet.frame.to_world(found.at)) : std::string();
    if (!notch.empty()) {
      context.problem(pointer, "place.opening", "This place lies in " + notch + ".",
                      nearest_clear(context, found));
    } else {
      const std::string reach = reach_at(context, sheet, found.at);
      context.problem(pointer, "place.outside", "This place lies outside \"" + sheet.name + "\".",
                      reach.empty() ? nearest_clear(context, found) : reach);
    }
    return false;
  }
  const std::string opening = context.surfaces.obstruction(found.sheet, found.at, 0, false);
  if (opening.empty()) return true;
  context.problem(pointer, "place.opening", "This place lies in " + opening + ".",
                  nearest_clear(context, found));
  return false;
}

std::optional<Found> on_floor(Context& context, const Vec3& p, const std::string& pointer,
                              const std::string& how) {
  const int floor = context.surfaces.floor_under(p);
  if (floor < 0) {
    context.problem(pointer, "place.surface", "There is no floor under this point.",
                    "Is it inside the room? " + room_reach(context));
    return std::nullopt;
  }
  const Sheet& sheet = context.surfaces.sheet(floor);
  const double height = sheet.frame.height(p);
  if (height > kTallestStand_m) {
    context.problem(pointer, "place.surface",
                    "This point is " + context.length(height) + " above " + sheet.name +
                        ": too high for what stands on the floor.",
                    "Nothing higher than " + context.length(kTallestStand_m) +
                        " is taken to stand; give it a place on a wall or ceiling.");
    return std::nullopt;
  }
  return Found{{p, {PlaceKind::sheet, floor}, sheet.frame.n},
               Mount::on_floor,
               how + ", standing on " + sheet.name};
}

std::optional<Found> on_sheet(Context& context, const Vec3& p, int index,
                              const std::string& pointer, const std::string& how) {
  const Sheet& sheet = context.surfaces.sheet(index);
  const double height = sheet.frame.height(p);
  // A box let into the wall: its cable comes out of the face.
  const Vec3 position = height < 0 ? p - height * sheet.frame.n : p;
  if (height < -kOnFace_m) {
    context.ends.guesses.push_back(
        {"Place of " + pointer, "at the face of " + sheet.name,
         "the point lies " + context.length(-height) + " behind it, as a box let into it does",
         "\"xyz\" of a point on the face or before it"});
  }
  const OnSheet at{index, sheet.frame.to_plane(position), how, false};
  const Polygon whole{sheet.region.outline, {}};
  if (!contains(whole, at.at) &&
      border_distance(whole, at.at) > kBesideSheet_m + sheet.residual_m) {
    context.problem(pointer, "place.outside",
                    "This point lies " + context.length(border_distance(whole, at.at)) +
                        " beside \"" + sheet.name + "\", the surface nearest to it.",
                    "Is it inside the room? " + room_reach(context));
    return std::nullopt;
  }
  if (const std::string opening = context.surfaces.obstruction(index, at.at, 0, false);
      !opening.empty()) {
    context.problem(pointer, "place.opening", "This place lies in " + opening + ".",
                    nearest_clear(context, at));
    return std::nullopt;
  }
  return Found{{position, {PlaceKind::sheet, index}, sheet.frame.n},
               sheet.role == SheetRole::floor ? Mount::on_floor : Mount::on_sheet,
               how + ", on " + sheet.name};
}

}  // namespace

std::optional<OnSheet> measure(Context& context, const OnPart& place, const std::string& pointer,
                               double width_m) {
  const auto index = context.surfaces.sheet_named(place.part);
  if (!index) {
    const auto role = context.surfaces.role_of_part(place.part);
    if (!role)
      context.problem(pointer + "/at", "place.part",
                      "The model has no part \"" + place.part + "\".",
                      suggestion(place.part, context.surfaces.surface_names()));
    else if (takes_no_end(*role) || *role == Role::outlet)
      context.problem(pointer + "/at", "place.part",
                      "\"" + place.part + "\" is taken for the role " + to_string(*role) +
                          ": nothing is measured on it.",
                      "Name the wall, floor or ceiling that it is in, with from_left and up there; "
                      "or say in \"parts\" what it is.");
    else
      context.problem(pointer + "/at", "place.part",
                      "\"" + place.part + "\" has no face toward the room.",
                      "Check what it is in \"parts\".");
    return std::nullopt;
  }
  const Sheet& sheet = context.surfaces.sheet(*index);
  OnSheet found{*index, {}, ""};
  const double up =
      width_m > 0 ? place.up_m.value_or(0) : up_or_guess(context, place, sheet, pointer);
  found.at.y = v_of(context, sheet, up);
  const auto [left, right] = edges_at(sheet, found.at.y);
  if (place.from_left_m) {
    found.at.x = left + *place.from_left_m + 0.5 * width_m;
    found.how = context.length(*place.from_left_m) + " from the left edge of ";
  } else if (place.from_right_m) {
    found.at.x = right - *place.from_right_m - 0.5 * width_m;
    found.from_right = true;
    found.how = context.length(*place.from_right_m) + " from the right edge of ";
  } else {
    found.at.x = 0.5 * (left + right);
    found.how = "in the middle of ";
    context.ends.guesses.push_back(
        {"Place of " + pointer + " along " + sheet.name,
         "in its middle, " + context.length(found.at.x - left) + " from its left edge",
         "neither \"from_left\" nor \"from_right\" is given", "\"from_left\": \"1.2 m\""});
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
  if (place.out_m > kReachOfSurface_m || place.out_m < 0) {
    context.problem(pointer + "/out", "place.surface",
                    "This place is " + context.length(place.out_m) + " off " + sheet.name +
                        ": cable would hang in the air.",
                    "Nothing more than " + context.length(kReachOfSurface_m) +
                        " off is held by a surface; let it stand on the floor (\"xyz\" and "
                        "\"mount\": \"on floor\").");
    return std::nullopt;
  }
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
    return on_sheet(context, p, near.sheet, pointer, how);
  if (!context.room.box.grown(kReachOfSurface_m).contains(p)) {
    context.problem(pointer, "place.outside", "This point lies outside the room.",
                    room_reach(context));
    return std::nullopt;
  }
  std::string remedy = "Say \"mount\": \"on floor\" if it stands on the floor, or move it.";
  if (const std::string part = furniture_at(context, p); !part.empty())
    remedy = "It lies in \"" + part + "\": say \"parts\": [{ \"match\": \"" + part +
             "\", \"hides\": true }] if cables may lie in it. " + remedy;
  else if (near.sheet >= 0)
    remedy = "The nearest is \"" + context.surfaces.sheet(near.sheet).name + "\", " +
             context.length(near.distance_m) + " away. " + remedy;
  context.problem(pointer, "place.surface",
                  "No surface lies within " + context.length(kReachOfSurface_m) + " of this point.",
                  remedy);
  return std::nullopt;
}

void add_way_off_sheet(Context& context, const std::string& id, const EndPlace& place) {
  constexpr double kHalf_m = 0.05;
  if (place.home.kind != PlaceKind::sheet) return;
  const Sheet& sheet = context.surfaces.sheet(place.home.index);
  const double height = sheet.frame.height(place.position);
  if (sheet.role == SheetRole::floor || height <= kHeldBySheet_m) return;
  Zone zone;
  zone.name = "off " + sheet.name + " to " + id;
  zone.frame = sheet.frame;
  zone.frame.origin =
      place.position - height * sheet.frame.n - kHalf_m * sheet.frame.u - kHalf_m * sheet.frame.v;
  zone.size = {2 * kHalf_m, 2 * kHalf_m, height + 0.005};
  zone.visible = 1;
  zone.why = "cable goes straight from " + sheet.name + " to the end that stands off it";
  context.ends.zones.push_back(std::move(zone));
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
