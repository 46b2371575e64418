#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "geometry/framed_box.h"
#include "room/ceilings.h"
#include "room/features.h"
#include "room/roles.h"
#include "types/hollow.h"

namespace roomloom {
namespace {

/// @param outside of what is modelled; of a line nothing is, and it is only what is usual
double inside_diameter(const Scene& scene, const Job& job, Room& room, int part, double outside) {
  const auto at = static_cast<std::size_t>(part);
  const PartRule* rule = rule_of(job, room.roles[at]);
  if (rule && rule->inside_diameter_m > 0) return rule->inside_diameter_m;
  const double named = extra_length(scene.parts[at], "inside_diameter");
  if (named > 0) return named;
  const double guess = room.roles[at].role == Role::hole ? outside : 0.8 * outside;
  const bool is_line = scene.parts[at].kind == PartKind::curve;
  room.guesses.push_back(
      {"Inside size of " + display_name(scene, part), format_length(guess, job.units, 3),
       is_line ? "it is drawn as a line, which has no size: a small conduit is taken"
               : "only its outside, " + format_length(outside, job.units, 3) + ", is modelled",
       "\"parts\": [{ \"match\": \"" + scene.parts[at].name + "\", \"inside\": \"25 mm\" }]"});
  return guess;
}

// How thick a solid bar is, however it bends: four times its volume by its surface, as of a
// cylinder. Of a pipe with a bore it is about twice the wall.
double thickness_of(const Scene& scene, const Part& part) {
  double volume = 0, surface = 0;
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    const auto& corners = scene.triangles[part.first_triangle + t];
    const Vec3& a = scene.points[corners[0]];
    const Vec3 ab = scene.points[corners[1]] - a, ac = scene.points[corners[2]] - a;
    surface += 0.5 * norm(cross(ab, ac));
    volume += dot(a - scene.points[part.first_point], cross(ab, ac)) / 6;
  }
  return surface > 0 ? 4 * std::abs(volume) / surface : 0;
}

// Middles of slices that meet at an angle overlap in the corner: one point where their axes meet.
std::vector<Vec3> with_corners(const std::vector<Vec3>& ends, double outside) {
  std::vector<Vec3> line;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    const bool joint = i % 2 == 1 && i + 2 < ends.size();
    if (joint && distance(ends[i], ends[i + 1]) < 2 * outside) {
      const Vec3 along = normalized(ends[i] - ends[i - 1]);
      const Vec3 onward = normalized(ends[i + 2] - ends[i + 1]);
      const double turn = dot(along, onward), gap = 1 - turn * turn;
      if (gap > 0.01) {
        const Vec3 apart = ends[i + 1] - ends[i];
        line.push_back(ends[i] + ((dot(apart, along) - turn * dot(apart, onward)) / gap) * along);
        ++i;
        continue;
      }
    }
    line.push_back(ends[i]);
  }
  return line;
}

// The axis of a straight pipe, or the middles of slices of a bent one.
std::vector<Vec3> centre_line(const Scene& scene, const Part& part, double& outside) {
  const UprightBox box = upright_box(scene, part);
  const Vec3 along{box.along.x, box.along.y, 0}, up{0, 0, 1};
  const double middle_z = 0.5 * (box.low_z + box.high_z);
  const Vec3 middle{box.centre.x, box.centre.y, middle_z};
  outside = std::max(std::min(box.length, box.width), std::min(box.width, box.height()));
  // A long pipe that jogs aside has a slim box too.
  constexpr double kFull = 2.5;
  const double full = kFull * thickness_of(scene, part);
  const auto is_bar = [&](double across) { return across <= full || across < 0.05; };
  if (box.height() > 3 * box.length && is_bar(box.length)) {
    outside = box.length;
    return {middle - 0.5 * box.height() * up, middle + 0.5 * box.height() * up};
  }
  if (box.length > 3 * std::max(box.width, box.height()) &&
      is_bar(std::max(box.width, box.height()))) {
    outside = std::max(box.width, box.height());
    return {middle - 0.5 * box.length * along, middle + 0.5 * box.length * along};
  }
  Frame frame{middle, along, cross(up, along), up};
  std::vector<Vec3> line;
  for (const Box3& slice : boxes_in(scene, part, frame)) {
    const Vec3 size = slice.size();
    const int longest = size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
    Vec3 a = slice.centre(), b = a;
    a[longest] = slice.low[longest];
    b[longest] = slice.high[longest];
    outside = std::min({outside, std::max(size.x, size.y), std::max(size.y, size.z)});
    if (!line.empty() &&
        distance(line.back(), frame.to_world(b)) < distance(line.back(), frame.to_world(a)))
      std::swap(a, b);
    line.push_back(frame.to_world(a));
    line.push_back(frame.to_world(b));
  }
  return with_corners(line, outside);
}

void add_conduit(const Scene& scene, const Job& job, int index, Room& room) {
  const Part& part = scene.parts[static_cast<std::size_t>(index)];
  Conduit conduit;
  conduit.name = display_name(scene, index);
  conduit.part = index;
  double outside = 0.02;
  if (part.kind == PartKind::curve) {
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      conduit.line.push_back(scene.points[part.first_point + i]);
  } else {
    conduit.line = centre_line(scene, part, outside);
    if (conduit.line.size() > 2)
      room.guesses.push_back({"Way of " + conduit.name, "through the middles of its slices",
                              "it is a solid that bends", "model it as a line"});
  }
  if (conduit.line.size() < 2) return;
  conduit.inside_diameter_m = inside_diameter(scene, job, room, index, outside);
  if (const PartRule* rule = rule_of(job, room.roles[static_cast<std::size_t>(index)]))
    conduit.occupied_area_m2 = rule->occupied_area_m2;
  for (const Vec3& mouth : {conduit.line.front(), conduit.line.back()}) {
    conduit.mouths.push_back(place_at(room, mouth, 0.15));
    if (conduit.mouths.back().kind == PlaceKind::none)
      room.warnings.push_back("An end of the conduit \"" + conduit.name +
                              "\" lies at no sheet and in no void of the room.");
  }
  room.conduits.push_back(std::move(conduit));
}

Box3 box_in(const Scene& scene, const Part& part, const Frame& frame) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i)
    box.add(frame.to_local(scene.points[part.first_point + i]));
  return box;
}

// A tile with a hole in it is not cut through that hole again; both frames are the ceiling's.
void keep_cuts_clear_of(const Crossing& hole, int part, Room& room) {
  const Box2 box = box_of(hole.region.outline);
  for (Crossing& cut : room.crossings) {
    if (cut.kind != CrossingKind::tile_cut || cut.from != hole.from) continue;
    if (box_of(cut.region.outline).overlaps(box))
      cut.keep_outs.push_back({hole.region.outline, 0.03, Role::hole, part, hole.name});
  }
}

// A grommet of furniture in which cable may lie: the way into it, no crossing of the room's.
bool in_furniture(const Scene& scene, const Part& part, const Room& room) {
  constexpr double kSlack_m = 0.01;
  const Vec3 middle = box_of(scene, part).centre();
  return std::any_of(room.zones.begin(), room.zones.end(), [&](const Zone& zone) {
    return zone.part >= 0 && is_hollow(room.roles[static_cast<std::size_t>(zone.part)].role) &&
           in_framed_box(zone.frame, zone.size, middle, kSlack_m);
  });
}

void add_hole(const Scene& scene, const Job& job, int index, Room& room) {
  const Part& part = scene.parts[static_cast<std::size_t>(index)];
  bool found = false;
  for (int s = 0; s < static_cast<int>(room.sheets.size()); ++s) {
    const Sheet& sheet = room.sheets[static_cast<std::size_t>(s)];
    if (sheet.role == SheetRole::open_side) continue;
    const Box3 box = box_in(scene, part, sheet.frame);
    const Vec3 middle = box.centre();
    if (box.empty() || box.low.z > 0.02 || box.high.z < -0.02) continue;
    if (!contains(sheet.region.outline, {middle.x, middle.y})) continue;
    const Vec3 size = box.size();
    if (std::min(size.x, size.y) < 0.004 || size.z > 1.0) continue;
    Crossing hole;
    hole.name = display_name(scene, index);
    hole.kind = CrossingKind::existing_hole;
    hole.existing = true;
    hole.from = {PlaceKind::sheet, s};
    hole.thickness_m = std::max(0.001, -box.low.z);
    hole.frame = {sheet.frame.origin, sheet.frame.u, -sheet.frame.v, -sheet.frame.n};
    hole.largest_diameter_m = inside_diameter(scene, job, room, index, std::min(size.x, size.y));
    std::vector<Vec2> points;
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      points.push_back(hole.frame.to_plane(scene.points[part.first_point + i]));
    hole.region.outline = convex_hull(std::move(points));
    const Vec3 behind = sheet.frame.to_world(Vec2{middle.x, middle.y}, box.low.z - 0.03);
    hole.to = place_at(room, behind, 0);
    if (hole.to.kind == PlaceKind::none && in_furniture(scene, part, room)) return;
    if (hole.to.kind == PlaceKind::none)
      room.warnings.push_back(
          "The hole \"" + hole.name + "\" in \"" + sheet.name +
          "\" leads to no void of the room: no cable is led through it. If there is "
          "space behind it, model what makes it one (a suspended ceiling with "
          "the deck over it, a wall of studs), else leave the hole out.");
    keep_cuts_clear_of(hole, index, room);
    room.crossings.push_back(std::move(hole));
    found = true;
    break;
  }
  if (!found && !in_furniture(scene, part, room))
    room.warnings.push_back("The hole \"" + display_name(scene, index) +
                            "\" goes through no sheet of the room.");
}

}  // namespace

PlaceId place_at(const Room& room, const Vec3& point, double near_m) {
  for (std::size_t i = 0; i < room.voids.size(); ++i) {
    const Void& space = room.voids[i];
    const Vec3 local = space.frame.to_local(point);
    if (local.z > -1e-6 && local.z < space.height_m + 1e-6 &&
        contains(space.plan, {local.x, local.y}))
      return {PlaceKind::void_space, static_cast<int>(i)};
  }
  PlaceId best;
  double least = near_m;
  for (std::size_t i = 0; i < room.sheets.size(); ++i) {
    const Sheet& sheet = room.sheets[i];
    if (sheet.role == SheetRole::open_side) continue;
    const Vec2 at = sheet.frame.to_plane(point);
    double away = std::abs(sheet.frame.height(point));
    if (!contains(sheet.region.outline, at)) away += border_distance(sheet.region, at);
    if (away >= least) continue;
    least = away;
    best = {PlaceKind::sheet, static_cast<int>(i)};
  }
  return best;
}

double extra_length(const Part& part, const std::string& key) {
  const auto extra = part.extras.find(key);
  if (extra == part.extras.end()) return 0;
  const auto length = parse_length(extra->second);
  return length ? *length : 0;
}

void find_ready_ways(const Scene& scene, const Job& job, Room& room) {
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    if (room.roles[i].role == Role::conduit) add_conduit(scene, job, static_cast<int>(i), room);
    if (room.roles[i].role == Role::hole) add_hole(scene, job, static_cast<int>(i), room);
  }
}

}  // namespace roomloom
