#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "room/ceilings.h"
#include "room/features.h"
#include "room/roles.h"

namespace roomloom {
namespace {

// A door's or window's architrave: common practice, no source.
constexpr double kFrameClearance = 0.05;

struct Reach {
  double behind, before;  // the sheet's plane
};

std::optional<Reach> reach_of(Role role) {
  switch (role) {
    case Role::door:
    case Role::window:
      return Reach{0.35, 0.12};
    case Role::vent:
    case Role::luminaire:
    case Role::outlet:
      return Reach{0.12, 0.06};
    case Role::furniture:
    case Role::cupboard:
    case Role::seat:
    case Role::obstacle:
      return Reach{0.02, 0.08};
    case Role::suspended_ceiling:  // over a part of the room: where its tiles touch the wall
      return Reach{0.02, 0.025};
    case Role::power:  // in the wall it may be crossed, on the wall it is in the way
      return Reach{-0.001, 0.06};
    default:
      return std::nullopt;
  }
}

Box3 box_in(const Scene& scene, const Part& part, const Frame& frame) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    box.add(frame.to_local(scene.points[part.first_point + i]));
  return box;
}

// A door belongs to the wall it lies in, not to the next one round the corner.
bool lies_flat(const Box3& box) {
  const Vec3 size = box.size();
  return size.z < 0.35 && std::min(size.x, size.y) > 0.25;
}

struct Print {
  Region region;
  double clearance = 0;
  std::vector<std::pair<int, Region>> parts;  ///< Scene part, and what it takes of the sheet

  /// The first part that lies in a piece of it.
  int part_in(const Polygon& piece) const {
    for (const auto& [part, own] : parts)
      if (area(common(own, region_of(piece))) > 1e-6) return part;
    return parts.front().first;
  }
};
// Doors and windows count as one where nothing passes between them, whatever they are called; else
// parts of one name and role count as one thing: the steps of a stair, or the boards of a cabinet
// that a converter wrote as bodies numbered "#404", "#405".
std::string name_of_thing(const std::string& name) {
  const auto mark = name.rfind('#');
  if (mark == std::string::npos || mark == 0 || mark + 1 == name.size()) return name;
  const bool number = std::all_of(name.begin() + static_cast<std::ptrdiff_t>(mark) + 1, name.end(),
                                  [](char c) { return c >= '0' && c <= '9'; });
  return number ? name.substr(0, mark) : name;
}

using Prints = std::map<std::pair<int, std::string>, Print>;

void add_print(const Scene& scene, const Job& job, const Room& room, int index, const Sheet& sheet,
               Prints& prints) {
  const auto at = static_cast<std::size_t>(index);
  const Role role = room.roles[at].role;
  auto reach = reach_of(role);
  reach->before += sheet.residual_m;
  const Box3 box = box_in(scene, scene.parts[at], sheet.frame);
  const Box2 outline = box_of(sheet.region.outline);
  const Box2 flat{{box.low.x, box.low.y}, {box.high.x, box.high.y}};
  if (box.empty() || box.low.z > reach->before || box.high.z < -reach->behind ||
      !flat.overlaps(outline))
    return;
  const bool opening = role == Role::door || role == Role::window;
  if (opening && !lies_flat(box)) return;
  const PartRule* rule = rule_of(job, room.roles[at]);
  const double usual = opening ? kFrameClearance : job.prefer.obstacle_clearance_m;
  const bool tiles = role == Role::suspended_ceiling;
  if (tiles && sheet.role != SheetRole::wall) return;
  Region region = footprint_on(scene, scene.parts[at], sheet.frame, reach->behind, reach->before);
  // Most ceilings end a wall, which has a part above them only where that is of the same air.
  if (tiles) region = common(region, region_of(sheet.region));
  if (region.empty()) return;
  const double clearance = tiles ? 0 : rule && rule->clearance_m ? *rule->clearance_m : usual;
  const std::string key =
      opening ? format_number(clearance, 4) : name_of_thing(display_name(scene, index));
  Print& print = prints[{static_cast<int>(role), key}];
  print.region.insert(print.region.end(), region.begin(), region.end());
  print.clearance = std::max(print.clearance, clearance);
  print.parts.push_back({index, region});
}

void add_prints(const Scene& scene, const Prints& prints, Sheet& sheet) {
  constexpr double kJoin = 0.08;  // legs of one chair, steps of one stair
  constexpr double kSmallest = 2e-4;
  const Box2 wide = box_of(sheet.region.outline).grown(0.02);
  const Region window{rectangle_ring(wide.low, wide.high)};
  for (const auto& [key, print] : prints) {
    const Region joined = closed(united(Region{}, print.region), kJoin);
    for (const Polygon& polygon : polygons(common(joined, window))) {
      if (area(polygon) < kSmallest || opened(region_of(polygon), 0.0015).empty()) continue;
      const int part = print.part_in(polygon);
      sheet.keep_outs.push_back({simplified(polygon.outline, 0.002), print.clearance,
                                 static_cast<Role>(key.first), part,
                                 name_of_thing(display_name(scene, part))});
    }
  }
}

// Holes and doorways that no part fills.
void add_bare_openings(const std::vector<Plane>& planes, const std::vector<Opening>& openings,
                       Sheet& sheet) {
  int number = 0;
  for (const Opening& opening : openings) {
    const Frame& frame = planes[static_cast<std::size_t>(opening.plane)].frame;
    if (std::abs(dot(frame.n, sheet.frame.n)) < 0.9999 ||
        std::abs(sheet.frame.height(frame.origin)) > 0.003)
      continue;
    if (sheet.role == SheetRole::suspended_ceiling) continue;
    const Region here = moved(opening.region, frame, sheet.frame);
    if (!box_of(here).overlaps(box_of(sheet.region.outline))) continue;
    Region covered;
    for (const SheetKeepOut& keep : sheet.keep_outs) covered.push_back(keep.ring);
    if (!covered.empty() && area(common(here, united(covered))) > 0.5 * area(here)) continue;
    for (const Polygon& polygon : polygons(here)) {
      if (opening.to_floor && area(polygon) < 0.05) continue;
      const std::string count = ++number == 1 ? "" : " (" + std::to_string(number) + ")";
      sheet.keep_outs.push_back({polygon.outline, kFrameClearance,
                                 opening.to_floor ? Role::door : Role::window, -1,
                                 "opening in " + sheet.name + count});
    }
  }
}

}  // namespace

void find_keep_outs(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                    const std::vector<Opening>& openings, Room& room) {
  std::vector<Box3> boxes;
  for (const Part& part : scene.parts) boxes.push_back(box_of(scene, part));
  for (Sheet& sheet : room.sheets) {
    if (sheet.role == SheetRole::open_side) continue;
    Box3 near;
    for (const Vec2& p : sheet.region.outline) near.add(sheet.frame.to_world(p));
    near = near.grown(0.4);
    Prints prints;
    for (std::size_t i = 0; i < scene.parts.size(); ++i) {
      if (scene.parts[i].kind != PartKind::mesh || !reach_of(room.roles[i].role)) continue;
      if (boxes[i].overlaps(near)) add_print(scene, job, room, static_cast<int>(i), sheet, prints);
    }
    add_prints(scene, prints, sheet);
    add_bare_openings(planes, openings, sheet);
  }
}

}  // namespace roomloom
