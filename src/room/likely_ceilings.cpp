#include <algorithm>
#include <cmath>
#include <set>

#include "base/units.h"
#include "room/ceilings.h"
#include "room/roles.h"

// Low air over the room, with no more than a layer between, is a ceiling's void more often than
// not. Where the layer is part of a body that is walls and slab as well, or has no telling name,
// only the job can say so.

namespace roomloom {
namespace {

constexpr double kHighestVoid_m = 1.2, kThickestLayer_m = 0.2, kThinPart_m = 0.1;
constexpr double kMuch = 0.5;  ///< of what lies overhead, and of the layer

double area_overhead(const Room& room) {
  double sum = 0;
  for (const Sheet& sheet : room.sheets)
    if (sheet.frame.n.z < -0.5) sum += area(Polygon{sheet.region.outline, {}});
  return sum;
}

bool has_low_air_over_it(const Room& room, const Sheet& sheet, double overhead_m2) {
  if (sheet.role != SheetRole::ceiling || sheet.back_air < 0 || sheet.back_air == room.main_air)
    return false;
  const Air& air = room.airs[static_cast<std::size_t>(sheet.back_air)];
  if (air.kind == AirKind::outdoors || air.kind == AirKind::room) return false;
  const double size = area(Polygon{sheet.region.outline, {}}), height = air.box.size().z;
  const double over = air.box.low.z - sheet.frame.origin.z;
  return size >= kMuch * overhead_m2 && height <= kHighestVoid_m && over <= kThickestLayer_m &&
         air.volume_m3 >= kMuch * size * height;
}

/// A name that no part bears yet.
std::string free_name(const Scene& scene) {
  std::set<std::string> taken;
  for (const Part& part : scene.parts) taken.insert(part.name);
  std::string name = "Ceiling tiles";
  for (int number = 2; taken.contains(name); ++number)
    name = "Ceiling tiles (" + std::to_string(number) + ")";
  return name;
}

bool is_thin(const Scene& scene, int part) {
  return box_of(scene, scene.parts[static_cast<std::size_t>(part)]).size().z <= kThinPart_m;
}

std::string corners_text(const std::vector<Vec3>& corners) {
  std::string text;
  for (const Vec3& p : corners)
    text += (text.empty() ? "[" : ", [") + format_number(p.x, 4) + ", " + format_number(p.y, 4) +
            ", " + format_number(p.z, 4) + "]";
  return "[" + text + "]";
}

std::string statement_of(const Scene& scene, const LikelyCeiling& likely) {
  if (!likely.corners.empty())
    return "\"model\": { \"faces\": [ { \"name\": \"" + likely.name +
           "\", \"is\": \"suspended ceiling\", \"corners\": " + corners_text(likely.corners) +
           " } ] }";
  return "\"parts\": [{ \"match\": \"" + pattern_for(scene, likely.parts) +
         "\", \"is\": \"suspended ceiling\" }]";
}

}  // namespace

void find_likely_ceilings(const Scene& scene, const Job& job, Room& room) {
  const double overhead_m2 = area_overhead(room);
  for (const Sheet& sheet : room.sheets) {
    if (!has_low_air_over_it(room, sheet, overhead_m2)) continue;
    const PartRole& role = room.roles[static_cast<std::size_t>(sheet.parts.front())];
    LikelyCeiling likely;
    // What has a name of its own, or the job's word, is what they say.
    const bool body = role.role == Role::wall;
    if (!body && (!role.by_shape || !std::all_of(sheet.parts.begin(), sheet.parts.end(),
                                                 [&](int part) { return is_thin(scene, part); })))
      continue;
    if (body) {
      likely.name = free_name(scene);
      for (const Vec2& p : sheet.region.outline) likely.corners.push_back(sheet.frame.to_world(p));
    } else {
      likely.parts = sheet.parts;
    }
    const Air& air = room.airs[static_cast<std::size_t>(sheet.back_air)];
    room.guesses.push_back(
        {"Is \"" + sheet.name + "\" a suspended ceiling?", "no: no cable runs above it",
         air.name + ", " + format_length(air.box.size().z, job.units, 2) +
             " high, lies over it and looks like a ceiling's void, but nothing names its tiles",
         statement_of(scene, likely)});
    room.likely_ceilings.push_back(std::move(likely));
  }
}

}  // namespace roomloom
