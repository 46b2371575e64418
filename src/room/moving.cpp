#include <algorithm>
#include <cmath>

#include "room/ceilings.h"
#include "room/features.h"
#include "room/roles.h"

namespace roomloom {
namespace {

Vec3 lifted(const Vec2& p, double z) { return {p.x, p.y, z}; }

void add_strip_behind(const Scene& scene, int part, Room& room) {
  const UprightBox box = upright_box(scene, scene.parts[static_cast<std::size_t>(part)]);
  const int wall = wall_beside(room, box, 1.5);
  if (wall < 0) {
    room.warnings.push_back("The curtain \"" + display_name(scene, part) +
                            "\" hangs along no wall: nothing is hidden behind it.");
    return;
  }
  const Sheet& sheet = room.sheets[static_cast<std::size_t>(wall)];
  const Vec3 middle = lifted(box.centre, box.low_z);
  const double depth = sheet.frame.height(middle) - 0.5 * box.width;
  if (depth < 0.02) return;
  Box2 range;
  for (const double side : {-0.5, 0.5})
    range.add(sheet.frame.to_plane(middle + side * box.length * Vec3{box.along.x, box.along.y, 0}));
  const Box2 outline = box_of(sheet.region.outline);
  const double low = std::max(range.low.x, outline.low.x);
  const double high = std::min(range.high.x, outline.high.x);
  const double from = std::max(box.low_z - sheet.frame.origin.z, outline.low.y);
  const double to = std::min(box.high_z - sheet.frame.origin.z, outline.high.y);
  if (high <= low || to <= from) return;
  Zone zone;
  zone.name = "behind " + display_name(scene, part);
  zone.frame = sheet.frame;
  zone.frame.origin = sheet.frame.to_world(Vec2{low, from});
  zone.size = {high - low, to - from, depth};
  zone.part = part;
  zone.why = "a curtain hides it";
  room.zones.push_back(std::move(zone));
}

/// Furniture that stands before a wall hides what lies between, too.
void reach_wall_behind(const Room& room, const UprightBox& box, Zone& zone) {
  constexpr double kFarthest_m = 0.3;  // common practice, no source
  const Vec3 middle = lifted(box.centre, 0.5 * (box.low_z + box.high_z));
  double least = kFarthest_m;
  int axis = -1;
  bool before = false;  // the wall lies at the zone's origin, not past its far side
  for (const Sheet& sheet : room.sheets) {
    if (sheet.role != SheetRole::wall) continue;
    for (int k = 0; k < 2; ++k) {
      const double toward = dot(k == 0 ? zone.frame.u : zone.frame.v, sheet.frame.n);
      if (std::abs(toward) < 0.99) continue;
      const double gap = sheet.frame.height(middle) - 0.5 * zone.size[k];
      if (gap < -0.05 || gap >= least) continue;
      const Vec2 at = sheet.frame.to_plane(middle);
      const Box2 outline = box_of(sheet.region.outline);
      if (at.x < outline.low.x || at.x > outline.high.x) continue;
      least = gap;
      axis = k;
      before = toward > 0;
    }
  }
  if (axis < 0 || least <= 0) return;
  if (before)
    zone.frame.origin = zone.frame.origin - least * (axis == 0 ? zone.frame.u : zone.frame.v);
  zone.size[axis] += least;
}

void add_inside(const Scene& scene, int part, Room& room) {
  const UprightBox box = upright_box(scene, scene.parts[static_cast<std::size_t>(part)]);
  Zone zone;
  zone.name = "in " + display_name(scene, part);
  zone.frame.u = {box.along.x, box.along.y, 0};
  zone.frame.n = {0, 0, 1};
  zone.frame.v = cross(zone.frame.n, zone.frame.u);
  zone.size = {box.length, box.width, box.height()};
  zone.frame.origin = lifted(box.centre, box.low_z) - 0.5 * box.length * zone.frame.u -
                      0.5 * box.width * zone.frame.v;
  zone.part = part;
  zone.why = "the job says that it hides cables";
  reach_wall_behind(room, box, zone);
  room.zones.push_back(std::move(zone));
}

Vec3 axis_vector(int axis) {
  return {axis == 0 ? 1.0 : 0.0, axis == 1 ? 1.0 : 0.0, axis == 2 ? 1.0 : 0.0};
}

void add_power_box(const Frame& frame, const Box3& box, int longest, PowerLine line, Room& room) {
  const Vec3 half = 0.5 * box.size();
  const Vec3 along = half[longest] * axis_vector(longest);
  line.from = frame.to_world(box.centre() - along);
  line.to = frame.to_world(box.centre() + along);
  line.half_size_m = std::max(half[(longest + 1) % 3], half[(longest + 2) % 3]);
  room.power.push_back(std::move(line));
}

void add_power(const Scene& scene, const Job& job, int part, const Vec3& ahead, Room& room) {
  const auto at = static_cast<std::size_t>(part);
  const PartRule* rule = rule_of(job, room.roles[at]);
  PowerLine line;
  line.separation_m =
      rule && rule->clearance_m ? *rule->clearance_m : job.prefer.power_separation_m;
  line.part = part;
  line.name = display_name(scene, part);
  if (scene.parts[at].kind == PartKind::curve) {
    for (std::uint32_t i = 0; i + 1 < scene.parts[at].point_count; ++i) {
      line.from = scene.points[scene.parts[at].first_point + i];
      line.to = scene.points[scene.parts[at].first_point + i + 1];
      room.power.push_back(line);
    }
    return;
  }
  const UprightBox box = upright_box(scene, scene.parts[at]);
  const bool slanted = box.length > 4 * box.width;
  const Vec3 u = slanted ? Vec3{box.along.x, box.along.y, 0} : ahead;
  const Frame frame{lifted(box.centre, 0), u, cross(Vec3{0, 0, 1}, u), {0, 0, 1}};
  if (room.roles[at].role == Role::outlet) {  // its cable comes from above or below
    Box3 whole;
    for (const Box3& piece : boxes_in(scene, scene.parts[at], frame)) whole.add(piece);
    if (!whole.empty()) add_power_box(frame, whole, 2, line, room);
    return;
  }
  for (const Box3& piece : boxes_in(scene, scene.parts[at], frame)) {
    const Vec3 size = piece.size();
    const int longest = size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
    add_power_box(frame, piece, longest, line, room);
  }
}

}  // namespace

// The wall that runs along the box and is nearest to it.
int wall_beside(const Room& room, const UprightBox& box, double within) {
  int best = -1;
  double least = within;
  const Vec3 middle = lifted(box.centre, 0.5 * (box.low_z + box.high_z));
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (sheet.role != SheetRole::wall) continue;
    if (std::abs(dot(Vec3{box.along.x, box.along.y, 0}, sheet.frame.u)) < 0.95) continue;
    const Vec2 at = sheet.frame.to_plane(middle);
    const Box2 outline = box_of(sheet.region.outline);
    if (at.x < outline.low.x - 0.1 || at.x > outline.high.x + 0.1) continue;
    const double away = std::abs(sheet.frame.height(middle));
    if (away >= least) continue;
    least = away;
    best = static_cast<int>(i);
  }
  return best;
}

bool in_room(const Room& room, const Box3& box) {
  return room.main_air >= 0 && !box.empty() && room.box.grown(0.2).contains(box.centre());
}

void find_zones(const Scene& scene, const Job& job, Room& room) {
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    const Role role = room.roles[i].role;
    const int part = static_cast<int>(i);
    if (!in_room(room, box_of(scene, scene.parts[i]))) continue;
    const PartRule* rule = rule_of(job, room.roles[i]);
    if (role == Role::curtain) add_strip_behind(scene, part, room);
    const bool hollow = role == Role::furniture || role == Role::cupboard || role == Role::seat;
    if (hollow && rule && rule->hides) add_inside(scene, part, room);
  }
}

void find_power(const Scene& scene, const Job& job, const Vec3& ahead, Room& room) {
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    const Role role = room.roles[i].role;
    if (role != Role::power && role != Role::outlet) continue;
    if (scene.parts[i].kind == PartKind::marker || scene.parts[i].point_count == 0) continue;
    add_power(scene, job, static_cast<int>(i), ahead, room);
  }
}

}  // namespace roomloom
