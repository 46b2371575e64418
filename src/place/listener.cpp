#include <algorithm>
#include <cmath>

#include "base/nearest.h"
#include "place/context.h"
#include "place/place.h"

namespace roomloom::place {
namespace {

constexpr double kStandsBelow_rad = radians(15);  ///< above it nothing stands on the floor

std::optional<Vec3> listener_point(Context& context, const LayoutSpec& layout) {
  const std::string pointer = layout.pointer + "/listener";
  if (const auto* at = std::get_if<AtPoint>(&layout.listener)) return at->point;
  if (const auto* marker = std::get_if<AtMarker>(&layout.listener))
    return marker_point(context, marker->name, pointer);
  if (const auto* part = std::get_if<OnPart>(&layout.listener)) {
    if (const auto p = context.surfaces.marker(part->part)) return p;
    if (const auto found = place_on_part(context, *part, pointer)) return found->place.position;
  }
  return std::nullopt;
}

double facing(Context& context, const LayoutSpec& layout) {
  if (!layout.facing_part) {
    if (!layout.facing_given)
      context.ends.guesses.push_back({"Direction the listener looks", "along +y",
                                      "the job does not say", "\"facing\": \"Wall front\""});
    return layout.facing_rad;
  }
  const auto sheet = context.surfaces.sheet_named(*layout.facing_part);
  if (!sheet) {
    context.problem(layout.pointer + "/facing", "place.part",
                    "The room has no face \"" + *layout.facing_part + "\" to look at.",
                    suggestion(*layout.facing_part, context.surfaces.surface_names()));
    return layout.facing_rad;
  }
  const Vec3 look = -context.surfaces.sheet(*sheet).frame.n;
  if (std::hypot(look.x, look.y) < 1e-6) {
    context.problem(layout.pointer + "/facing", "place.facing",
                    "A listener cannot look square at a floor or ceiling.", "Name a wall.");
    return layout.facing_rad;
  }
  return std::atan2(-look.x, look.y);
}

std::string bearing_text(double azimuth_rad, double elevation_rad) {
  return "azimuth " + format_number(degrees(azimuth_rad), 1) + " deg, elevation " +
         format_number(degrees(elevation_rad), 1) + " deg";
}

bool needs_listener(Context& context, const std::string& pointer) {
  if (context.listener) return false;
  context.problem(pointer, "place.listener", "This place needs a listener, and there is none.",
                  context.job.layout ? "See what is said of /layout/listener."
                                     : "Add \"layout\": { \"listener\": { \"xyz\": [...] } }.");
  return true;
}

Found landed(const Context& context, const Landing& landing, const std::string& how) {
  const Sheet& sheet = context.surfaces.sheet(landing.sheet);
  return {{landing.position, {PlaceKind::sheet, landing.sheet}, sheet.frame.n},
          sheet.role == SheetRole::floor ? Mount::on_floor : Mount::on_sheet,
          how + ", on " + sheet.name};
}

/// At a given distance: on the surface there, or standing on the floor.
std::optional<Found> at_distance(Context& context, double azimuth_rad, double elevation_rad,
                                 double distance_m, Mount mount, const std::string& pointer,
                                 const std::string& how) {
  const Vec3 direction = direction_of(*context.listener, azimuth_rad, elevation_rad);
  const Landing landing =
      cast(context.surfaces, context.listener->ear, direction, context.ends.gear);
  if (landing.sheet >= 0 && landing.distance_m < distance_m) {
    context.problem(pointer, "place.outside",
                    how + ": the distance " + context.length(distance_m) + " lies beyond " +
                        context.surfaces.sheet(landing.sheet).name + ", " +
                        context.length(landing.distance_m) + " away.",
                    "Leave \"distance\" out to take the surface.");
    return std::nullopt;
  }
  const Vec3 p = context.listener->ear + distance_m * direction;
  const NearSheet near = context.surfaces.nearest(p);
  const bool free = near.sheet < 0 || near.distance_m > kReachOfSurface_m;
  if (mount == Mount::automatic && free && elevation_rad <= kStandsBelow_rad)
    return mount_point(context, p, Mount::on_floor, pointer, how);
  return mount_point(context, p, mount, pointer, how);
}

void report_label_failure(Context& context, const std::string& label, const LabelRange& range,
                          const Aimed& aimed, const std::string& pointer) {
  const bool fixed =
      range.azimuth_low == range.azimuth_high && range.elevation_low == range.elevation_high;
  const auto span = [](double low, double high) {
    return format_number(low, 1) + (low == high ? "" : " to " + format_number(high, 1)) + " deg";
  };
  context.problem(pointer, "place.range",
                  "\"" + label + "\" meets " + aimed.nominal_fault + " at " +
                      bearing_text(radians(range.azimuth), radians(range.elevation)) +
                      (fixed ? ", and its label allows no other direction."
                             : ", and no direction its label allows is free (azimuth " +
                                   span(range.azimuth_low, range.azimuth_high) + ", elevation " +
                                   span(range.elevation_low, range.elevation_high) + ")."),
                  "Give it a place of its own in \"ends\", or move the listener.");
}

bool has_label(const LoudspeakerSystem& system, const std::string& label) {
  return std::any_of(system.labels.begin(), system.labels.end(),
                     [&](const LabelRange& range) { return range.label == label; });
}

/// A label that the layout's own system lacks is placed as another system has it: told.
void tell_other_system(Context& context, const std::string& label, const LabelRange& range) {
  const LayoutSpec& layout = *context.job.layout;
  const LoudspeakerSystem* own = loudspeaker_system(layout.system);
  if (own == nullptr || has_label(*own, label)) return;
  std::string other;
  for (const LoudspeakerSystem& system : loudspeaker_systems())
    for (const LabelRange& one : system.labels)
      if (&one == &range) other = system.name;
  context.ends.guesses.push_back(
      {"Direction of " + label,
       "as system " + other + " has it, " +
           bearing_text(radians(range.azimuth), radians(range.elevation)),
       "the layout's own system " + layout.system + " has no " + label,
       "\"system\": \"" + other + "\" under \"layout\", or a place of its own in \"ends\""});
}

}  // namespace

void place_listener(Context& context) {
  if (!context.job.layout) return;
  const LayoutSpec& layout = *context.job.layout;
  const auto ear = listener_point(context, layout);
  const double turn = facing(context, layout);
  if (!ear) return;
  if (!context.surfaces.inside_room(*ear)) {
    context.problem(layout.pointer + "/listener", "place.listener",
                    "The listener is outside the room.", room_reach(context));
    return;
  }
  context.listener = Listener{*ear, turn};
  context.ends.listener = *ear;
  context.ends.facing_rad = turn;
}

std::optional<Found> place_by_direction(Context& context, const FromListener& direction,
                                        Mount mount, const std::string& pointer) {
  if (needs_listener(context, pointer)) return std::nullopt;
  const std::string how =
      "seen from the listener at " + bearing_text(direction.azimuth_rad, direction.elevation_rad);
  if (direction.distance_m)
    return at_distance(context, direction.azimuth_rad, direction.elevation_rad,
                       *direction.distance_m, mount, pointer, how);
  const Landing landing =
      cast(context.surfaces, context.listener->ear,
           direction_of(*context.listener, direction.azimuth_rad, direction.elevation_rad),
           context.ends.gear);
  if (landing.blocked_by.empty()) return landed(context, landing, how);
  context.problem(pointer, "place.opening", "This direction meets " + landing.blocked_by + ".",
                  "Change the azimuth or elevation, or give a \"distance\".");
  return std::nullopt;
}

std::optional<Found> place_by_label(Context& context, const std::string& label, Mount mount,
                                    const std::string& pointer) {
  if (needs_listener(context, pointer)) return std::nullopt;
  const LayoutSpec& layout = *context.job.layout;
  const LabelRange* range = find_label(layout.system, label);
  if (range == nullptr) {
    context.problem(pointer, "place.label", "No system of BS.2051 has a \"" + label + "\".");
    return std::nullopt;
  }
  if (!range->positioned) {
    context.problem(pointer, "place.label",
                    "BS.2051 gives \"" + label + "\" no position in this system.",
                    "Give it a place in \"ends\", such as \"at\" a wall and from_left.");
    return std::nullopt;
  }
  tell_other_system(context, label, *range);
  const std::string nominal =
      "BS.2051 " + label + ", " + bearing_text(radians(range->azimuth), radians(range->elevation));
  if (layout.distance_m > 0)
    return at_distance(context, radians(range->azimuth), radians(range->elevation),
                       layout.distance_m, mount, pointer, nominal);
  const Aimed aimed = aim(context.surfaces, *context.listener, *range, context.ends.gear);
  if (!aimed.landing.blocked_by.empty()) {
    report_label_failure(context, label, *range, aimed, pointer);
    return std::nullopt;
  }
  if (!aimed.moved) return landed(context, aimed.landing, nominal);
  Found moved = landed(context, aimed.landing,
                       nominal + " meets " + aimed.nominal_fault + "; moved within its range to " +
                           bearing_text(aimed.azimuth_rad, aimed.elevation_rad));
  moved.moved_within_range = true;
  return moved;
}

}  // namespace roomloom::place
