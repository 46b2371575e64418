#include <algorithm>
#include <cmath>

#include "place/context.h"

// From where people look: each seat, each door, and what the job lists.

namespace roomloom::place {
namespace {

// Seated eyes lie as high as the reference ear, 1.2 m over the floor; standing ones 1.6 m. Common
// practice, no source.
constexpr double kSeatedEye_m = 1.2;
constexpr double kStandingEye_m = 1.6;
constexpr double kOverSeat_m = 0.05;     ///< a high back does not blind who sits before it
constexpr double kSeatWidth_m = 0.6;     ///< of one person on a bench or sofa
constexpr double kSmallestSeat_m = 0.3;  ///< smaller parts are legs and cushions
constexpr double kInDoorway_m = 0.1;     ///< before the wall's face, as one comes in

/// Parts that lie in one another, of one name, are one seat.
struct Seat {
  std::string name;
  Box3 box;
};

std::string name_of_thing(const std::string& name) {
  const std::size_t end = name.find_last_not_of("0123456789");
  const bool numbered = end != std::string::npos && end > 0 && end + 1 < name.size() &&
                        (name[end] == '#' || name[end] == '.');
  return numbered ? name.substr(0, end) : name;
}

std::vector<Seat> seats_of(const Context& context) {
  std::vector<Seat> seats;
  for (std::size_t i = 0; i < context.scene.parts.size() && i < context.room.roles.size(); ++i) {
    const Part& part = context.scene.parts[i];
    if (context.room.roles[i].role != Role::seat || part.kind != PartKind::mesh) continue;
    const Box3 box = box_of(context.scene, part);
    if (box.empty() || !context.room.box.grown(0.2).contains(box.centre())) continue;
    const std::string name = part.name.empty() ? "seat" : name_of_thing(part.name);
    const auto same = std::find_if(seats.begin(), seats.end(), [&](const Seat& seat) {
      return seat.name == name && seat.box.grown(0.02).overlaps(box);
    });
    if (same == seats.end())
      seats.push_back({name, box});
    else
      same->box.add(box);
  }
  std::erase_if(seats, [](const Seat& seat) {
    const Vec3 size = seat.box.size();
    return std::min({size.x, size.y, size.z}) < kSmallestSeat_m;
  });
  return seats;
}

/// One place a person, side by side along the longer side.
EyePoint eye_on(const Seat& seat) {
  EyePoint eye{seat.name, {}, "over the seat"};
  const Vec3 size = seat.box.size(), middle = seat.box.centre();
  const int axis = size.x >= size.y ? 0 : 1;
  const int people = std::max(1, static_cast<int>(std::floor(size[axis] / kSeatWidth_m + 1e-6)));
  for (int i = 0; i < people; ++i) {
    Vec3 at = middle;
    at[axis] = seat.box.low[axis] + size[axis] * (i + 0.5) / people;
    at.z = std::max(seat.box.low.z + kSeatedEye_m, seat.box.high.z + kOverSeat_m);
    eye.at.push_back(at);
  }
  return eye;
}

void add_seats(Context& context) {
  for (const Seat& seat : seats_of(context)) context.ends.eyes.push_back(eye_on(seat));
}

/// Doors and bare doorways, once each.
void add_doors(Context& context) {
  std::vector<std::pair<int, std::string>> known;
  for (const Sheet& sheet : context.room.sheets) {
    if (sheet.role != SheetRole::wall || sheet.front_air != context.room.main_air) continue;
    for (const SheetKeepOut& keep_out : sheet.keep_outs) {
      if (keep_out.what != Role::door || keep_out.ring.size() < 3) continue;
      Box3 box;
      for (const Vec2& p : keep_out.ring) box.add(sheet.frame.to_world(p));
      const bool at_floor = box.low.z < context.room.floor_z_m + 0.2;
      if (!at_floor || box.high.z < context.room.floor_z_m + kStandingEye_m) continue;
      const std::pair key(keep_out.part, keep_out.name);
      if (std::find(known.begin(), known.end(), key) != known.end()) continue;
      known.push_back(key);
      Vec3 at = box.centre() + kInDoorway_m * sheet.frame.n;
      at.z = context.room.floor_z_m + kStandingEye_m;
      context.ends.eyes.push_back({keep_out.name, {at}, "standing in the doorway"});
    }
  }
}

std::optional<Vec3> point_of(Context& context, const EyeSpec& spec) {
  if (const auto* at = std::get_if<AtPoint>(&spec.place)) return at->point;
  if (const auto* marker = std::get_if<AtMarker>(&spec.place))
    return marker_point(context, marker->name, spec.pointer);
  if (const auto* part = std::get_if<OnPart>(&spec.place)) {
    if (const auto p = context.surfaces.marker(part->part)) return p;
    if (const auto found = place_on_part(context, *part, spec.pointer))
      return found->place.position;
  }
  return std::nullopt;
}

}  // namespace

void place_eyes(Context& context) {
  const SightSpec& sight = context.job.sight;
  if (sight.seats) add_seats(context);
  if (sight.doors) add_doors(context);
  for (const EyeSpec& spec : sight.eyes)
    if (const auto at = point_of(context, spec))
      context.ends.eyes.push_back({spec.name, {*at}, "given by the job"});
  std::map<std::string, int> counts;
  for (EyePoint& eye : context.ends.eyes) {
    const int number = ++counts[eye.name];
    if (number > 1) eye.name += " (" + std::to_string(number) + ")";
  }
}

}  // namespace roomloom::place
