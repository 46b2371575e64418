#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/glob.h"
#include "room/ceilings.h"
#include "room/features.h"
#include "room/roles.h"
#include "types/hollow.h"

// Hidden places in which cable may lie bare: behind a curtain, in furniture.
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

/// The part, or an assembly that it belongs to, is called so.
bool is_called(const Scene& scene, const Part& part, const std::string& name) {
  const std::string wanted = lower_case(name);
  if (lower_case(part.name) == wanted || lower_case(part.path) == wanted) return true;
  for (int group = part.parent; group >= 0;
       group = scene.groups[static_cast<std::size_t>(group)].parent)
    if (lower_case(scene.groups[static_cast<std::size_t>(group)].name) == wanted) return true;
  return false;
}

/// Whoever puts an end into furniture says with it that cable may lie there.
bool holds_end(const Scene& scene, const Job& job, const Part& part) {
  constexpr double kSlack_m = 0.01;
  const auto lies_in = [&](const EndSpec& end) {
    if (const auto* on = std::get_if<OnPart>(&end.place))
      return end.mount != Mount::on_sheet && is_called(scene, part, on->part);
    const auto* at = std::get_if<AtPoint>(&end.place);
    return at != nullptr && end.mount == Mount::in_furniture &&
           box_of(scene, part).grown(kSlack_m).contains(at->point);
  };
  return std::any_of(job.ends.begin(), job.ends.end(), lies_in) ||
         std::any_of(job.runs.begin(), job.runs.end(),
                     [&](const RunSpec& run) { return lies_in(run.end); });
}

bool may_hold_cables(const Scene& scene, const Job& job, const Room& room, int part) {
  const PartRole& role = room.roles[static_cast<std::size_t>(part)];
  if (!is_hollow(role.role)) return false;
  const PartRule* rule = rule_of(job, role);
  return (rule && rule->hides) ||
         holds_end(scene, job, scene.parts[static_cast<std::size_t>(part)]);
}

bool is_board(const Scene& scene, const Part& part) {
  constexpr double kThickest_m = 0.06;  // common practice, no source
  const UprightBox box = upright_box(scene, part);
  return std::min({box.length, box.width, box.height()}) < kThickest_m;
}

/// Furniture that a model gives board by board is one thing: what of one assembly touches and is
/// held together by boards.
std::vector<std::vector<int>> things_of(const Scene& scene, const std::vector<int>& parts) {
  constexpr double kTouch_m = 0.005;
  std::vector<int> thing(parts.size());
  std::iota(thing.begin(), thing.end(), 0);
  const auto part = [&](std::size_t i) -> const Part& {
    return scene.parts[static_cast<std::size_t>(parts[i])];
  };
  for (std::size_t i = 0; i < parts.size(); ++i)
    for (std::size_t k = 0; k < i; ++k) {
      if (thing[i] == thing[k] || part(i).parent != part(k).parent) continue;
      if (!is_board(scene, part(i)) && !is_board(scene, part(k))) continue;
      if (!box_of(scene, part(i)).grown(kTouch_m).overlaps(box_of(scene, part(k)))) continue;
      std::replace(thing.begin(), thing.end(), thing[i], thing[k]);
    }
  std::vector<std::vector<int>> things;
  for (int t = 0; t < static_cast<int>(parts.size()); ++t) {
    std::vector<int> members;
    for (std::size_t i = 0; i < parts.size(); ++i)
      if (thing[i] == t) members.push_back(parts[i]);
    if (!members.empty()) things.push_back(std::move(members));
  }
  return things;
}

/// A thing of several boards is called by what their names begin with ("Cabinet side", "Cabinet
/// back"), else as the first of them.
std::string name_of(const Scene& scene, const std::vector<int>& parts) {
  std::string common = display_name(scene, parts.front());
  if (parts.size() < 2) return common;
  for (const int part : parts) {
    const std::string name = display_name(scene, part);
    const auto differ = std::mismatch(common.begin(), common.end(), name.begin(), name.end());
    common.erase(differ.first, common.end());
  }
  const auto last = common.find_last_of(" _.#/");
  if (last != std::string::npos) common.erase(last);
  return common.empty() ? display_name(scene, parts.front()) : common;
}

void add_inside(const Scene& scene, const Job& job, const std::vector<int>& parts, Room& room) {
  // Square to its longest part, and as large as all of it.
  UprightBox box;
  for (const int part : parts)
    if (const UprightBox own = upright_box(scene, scene.parts[static_cast<std::size_t>(part)]);
        own.length > box.length)
      box = own;
  Zone zone;
  zone.name = "in " + name_of(scene, parts);
  zone.frame.u = {box.along.x, box.along.y, 0};
  zone.frame.n = {0, 0, 1};
  zone.frame.v = cross(zone.frame.n, zone.frame.u);
  Box3 all;
  for (const int index : parts) {
    const Part& part = scene.parts[static_cast<std::size_t>(index)];
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      all.add(zone.frame.to_local(scene.points[part.first_point + i]));
  }
  zone.size = all.size();
  const Vec3 middle = zone.frame.to_world(all.centre());
  zone.frame.origin = zone.frame.to_world(all.low);
  box = {{middle.x, middle.y}, box.along, zone.size.x, zone.size.y, all.low.z, all.high.z};
  zone.part = parts.front();
  const PartRule* rule = rule_of(job, room.roles[static_cast<std::size_t>(zone.part)]);
  zone.why = rule && rule->hides ? "the job says that it hides cables" : "an end lies in it";
  reach_wall_behind(room, box, zone);
  room.zones.push_back(std::move(zone));
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
  std::vector<int> holding;
  for (std::size_t i = 0; i < room.roles.size(); ++i) {
    const int part = static_cast<int>(i);
    if (!in_room(room, box_of(scene, scene.parts[i]))) continue;
    if (room.roles[i].role == Role::curtain) add_strip_behind(scene, part, room);
    if (may_hold_cables(scene, job, room, part)) holding.push_back(part);
  }
  for (const std::vector<int>& thing : things_of(scene, holding))
    add_inside(scene, job, thing, room);
}

}  // namespace roomloom
