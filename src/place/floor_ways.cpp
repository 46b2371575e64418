#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "place/context.h"
#include "place/place.h"

// Ends that stand out in the floor. Cable may not hang across the room to them, so it leaves a wall
// at its foot and lies on the floor. Common practice, no source: such a crossing is kept short and
// straight, and covered with a ramp; and it lies only where the job allows it.

namespace roomloom::place {
namespace {

constexpr double kFarthest_m = 6.0;
constexpr double kHalfStrip_m = 0.05;
constexpr double kStripHeight_m = 0.06;
constexpr double kOverTip_m = 0.03;
constexpr double kLookAt_m = 0.03;  ///< height at which a wall's foot must be clear

struct Way {
  int wall = -1;
  Vec3 wall_foot;
  double length_m = 0;
  std::string refused;      ///< what it crosses without leave
  bool near_power = false;  ///< mains run along the wall's foot: signals may not lie beside them
};

bool is_wall(const Sheet& sheet) {
  return sheet.fixable && std::abs(sheet.frame.n.z) < 0.5 && sheet.role != SheetRole::open_side &&
         sheet.role != SheetRole::curtain && sheet.role != SheetRole::furniture;
}

/// Furniture that stands out in the room: nothing but the floor leads to it.
bool stands_free(const Context& context, const Zone& zone) {
  const Vec3 middle = zone.frame.to_world(0.5 * zone.size);
  return std::none_of(
      context.room.sheets.begin(), context.room.sheets.end(), [&](const Sheet& sheet) {
        if (!is_wall(sheet) || sheet.role == SheetRole::cupboard) return false;
        const double half = 0.5 * (std::abs(dot(zone.frame.u, sheet.frame.n)) * zone.size.x +
                                   std::abs(dot(zone.frame.v, sheet.frame.n)) * zone.size.y);
        return std::abs(sheet.frame.height(middle)) < half + 0.01 &&
               contains(sheet.region.outline, sheet.frame.to_plane(middle));
      });
}

/// In a hidden place at a wall, or behind gear; the zones of ways over the floor do not count.
bool hides(const Context& context, const Vec3& tip) {
  const auto& zones = context.ends.zones;
  const auto& ways = context.ends.floor_ways;
  const int first = ways.empty()                   ? static_cast<int>(zones.size())
                    : ways.front().along_zone >= 0 ? ways.front().along_zone
                                                   : ways.front().up_zone;
  const auto end = zones.begin() + first;
  const auto room_zones = static_cast<std::ptrdiff_t>(context.room.zones.size());
  return std::any_of(zones.begin(), end, [&](const Zone& zone) {
    if (&zone - zones.data() < room_zones && stands_free(context, zone)) return false;
    const Vec3 local = zone.frame.to_local(tip);
    return local.x >= 0 && local.y >= 0 && local.z >= 0 && local.x <= zone.size.x &&
           local.y <= zone.size.y && local.z <= zone.size.z;
  });
}

/// The floor between is clear: it is floor all the way, nothing moves over it, and what stands on
/// it is only what the end itself is in or under.
bool is_clear(const Context& context, const Sheet& floor, const Vec3& from, const Vec3& foot) {
  const Vec2 a = floor.frame.to_plane(from), b = floor.frame.to_plane(foot);
  double inside = 0;
  for (const auto& [t0, t1] : inside_pieces(floor.region, a, b)) inside += t1 - t0;
  if (inside * norm(b - a) < norm(b - a) - 0.01) return false;
  for (const SheetKeepOut& keep_out : floor.keep_outs)
    if (!contains(keep_out.ring, b) &&
        (contains(keep_out.ring, a) || !crossings(keep_out.ring, a, b).empty()))
      return false;
  const Vec3 over{0, 0, 0.01};
  return std::none_of(context.room.swept.begin(), context.room.swept.end(), [&](const Swept& one) {
    return one.kind != MovingKind::walkway &&
           !inside_pieces(one.space, from + over, foot + over).empty();
  });
}

bool allows(const FloorArea& area, const Vec3& p) {
  constexpr double kEdge_m = 0.05;  // half the strip that it lies in
  return p.x > area.low.x - kEdge_m && p.y > area.low.y - kEdge_m && p.x < area.high.x + kEdge_m &&
         p.y < area.high.y + kEdge_m;
}

/// What of the way the job does not allow; empty if it may lie there.
std::string refusal(const Context& context, const Vec3& from, const Vec3& foot) {
  const FloorSpec& floor = context.job.floor;
  const double length = distance(from, foot);
  const auto in_area = [&](const Vec3& p) {
    return std::any_of(floor.areas.begin(), floor.areas.end(),
                       [&](const FloorArea& area) { return allows(area, p); });
  };
  constexpr double kStep_m = 0.01;
  const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep_m)));
  double open_m = 0;
  for (int i = 0; i <= steps; ++i) {
    const double t = static_cast<double>(i) / steps;
    const Vec3 p = from + t * (foot - from) + Vec3{0, 0, 0.01};
    if (in_area(p)) continue;
    for (const Swept& one : context.room.swept)
      if (one.kind == MovingKind::walkway && contains(one.space, p)) return "it lies " + one.name;
    if (t * length > floor.beside_wall_m) open_m += length / steps;
  }
  if (floor.anywhere || open_m < 1.5 * kStep_m) return "";
  return "it crosses " + context.length(length) + " of floor";
}

/// In the open floor, where feet go: all of it is covered.
double ramp_length(const Context& context, const Vec3& from, const Vec3& foot) {
  const double length = distance(from, foot);
  const Vec3 over{0, 0, 0.01};
  const bool on_walkway =
      std::any_of(context.room.swept.begin(), context.room.swept.end(), [&](const Swept& one) {
        return one.kind == MovingKind::walkway &&
               !inside_pieces(one.space, from + over, foot + over).empty();
      });
  return on_walkway || length > context.job.floor.beside_wall_m ? length : 0;
}

bool has_mains_along(const Context& context, const Sheet& wall, const Vec3& wall_foot) {
  const Vec3 level = normalized(cross(Vec3{0, 0, 1}, wall.frame.n));
  return std::any_of(context.room.power.begin(), context.room.power.end(),
                     [&](const PowerLine& power) {
                       return std::abs(dot(normalized(power.to - power.from), level)) > 0.5 &&
                              point_segment_distance(wall_foot, power.from, power.to) <
                                  power.separation_m + power.half_size_m;
                     });
}

/// From the foot of each wall that `foot` lies in front of; those that the job allows first, then
/// those without mains along them, then the nearest.
std::vector<Way> ways_to(const Context& context, const Sheet& floor, const Vec3& foot) {
  std::vector<Way> ways;
  for (std::size_t i = 0; i < context.room.sheets.size(); ++i) {
    const Sheet& wall = context.room.sheets[i];
    if (!is_wall(wall)) continue;
    const Vec3 level = normalized(wall.frame.n - dot(wall.frame.n, floor.frame.n) * floor.frame.n);
    const double length = wall.frame.height(foot) / dot(level, wall.frame.n);
    if (length < 0.01 || length > kFarthest_m) continue;
    const Vec3 wall_foot = foot - length * level;
    const Vec2 at = wall.frame.to_plane(wall_foot + kLookAt_m * floor.frame.n);
    if (!contains(wall.region, at)) continue;
    if (!context.surfaces.obstruction(static_cast<int>(i), at, 0.02, true).empty()) continue;
    if (!is_clear(context, floor, wall_foot, foot)) continue;
    ways.push_back({static_cast<int>(i), wall_foot, length, refusal(context, wall_foot, foot),
                    has_mains_along(context, wall, wall_foot)});
  }
  std::stable_sort(ways.begin(), ways.end(), [](const Way& a, const Way& b) {
    if (a.refused.empty() != b.refused.empty()) return a.refused.empty();
    if (a.near_power != b.near_power) return b.near_power;
    return a.length_m < b.length_m - 1e-9;
  });
  return ways;
}

bool hugs_a_wall(const Context& context, const Vec3& tip) {
  return std::any_of(context.room.sheets.begin(), context.room.sheets.end(), [&](const Sheet& s) {
    const double away = s.frame.height(tip);
    return is_wall(s) && away > -0.01 && away <= kHugsWall_m &&
           contains(s.region, s.frame.to_plane(tip));
  });
}

int add_zone(Context& context, std::string name, const Frame& frame, const Vec3& size,
             std::string why) {
  Zone zone;
  zone.name = std::move(name);
  zone.frame = frame;
  zone.size = size;
  zone.visible = 1;
  zone.why = std::move(why);
  context.ends.zones.push_back(std::move(zone));
  return static_cast<int>(context.ends.zones.size()) - 1;
}

/// Raceway lies on the floor right to the end's foot: only the rise to its tip is free.
FloorWay rise(Context& context, const std::string& id, const Vec3& tip, const Frame& floor) {
  FloorWay made;
  made.foot = tip - floor.height(tip) * floor.n;
  Frame frame = floor;
  frame.origin = made.foot - kHalfStrip_m * (frame.u + frame.v);
  const double height = std::max(floor.height(tip), kStripHeight_m) + kOverTip_m;
  made.up_zone =
      add_zone(context, "up to " + id, frame, {2 * kHalfStrip_m, 2 * kHalfStrip_m, height},
               "cable rises from the floor to the end, in or on what holds it");
  return made;
}

FloorWay declare(Context& context, const std::string& id, const Vec3& tip, const Way& way,
                 const Frame& floor) {
  FloorWay made;
  made.wall = way.wall;
  made.wall_foot = way.wall_foot;
  made.foot = tip - floor.height(tip) * floor.n;
  Frame frame;
  frame.n = floor.n;
  frame.v = normalized(made.foot - way.wall_foot);
  frame.u = cross(frame.v, frame.n);
  frame.origin = way.wall_foot - kHalfStrip_m * frame.u;
  const std::string& wall = context.surfaces.sheet(way.wall).name;
  made.along_zone = add_zone(context, "floor to " + id, frame,
                             {2 * kHalfStrip_m, way.length_m + kHalfStrip_m, kStripHeight_m},
                             "cable lies on the floor from " + wall + " to the end; cover it");
  frame.origin = made.foot - kHalfStrip_m * (frame.u + frame.v);
  const double rise = std::max(floor.height(tip), kStripHeight_m) + kOverTip_m;
  made.up_zone = add_zone(context, "up to " + id, frame, {2 * kHalfStrip_m, 2 * kHalfStrip_m, rise},
                          "cable rises from the floor to the end, in or on what holds it");
  return made;
}

/// The floor that a way over it must cross to reach the place, or -1 if none need be.
int floor_of(const Context& context, const EndPlace& place) {
  if (place.home.kind == PlaceKind::sheet) {
    if (context.surfaces.sheet(place.home.index).role != SheetRole::floor) return -1;
    const bool reached = hides(context, place.position) || hugs_a_wall(context, place.position);
    return reached ? -1 : place.home.index;
  }
  const auto zone = static_cast<std::size_t>(place.home.index);
  if (place.home.kind != PlaceKind::zone || zone >= context.room.zones.size()) return -1;
  if (context.job.prefer.over_floor || !stands_free(context, context.room.zones[zone])) return -1;
  return context.surfaces.floor_under(place.position);
}

void add_way(Context& context, int end, int alternative) {
  const End& told = context.ends.ends[static_cast<std::size_t>(end)];
  const EndPlace& place =
      alternative < 0 ? told.place : told.may_move_to[static_cast<std::size_t>(alternative)];
  const int under = floor_of(context, place);
  if (under < 0) return;
  const Sheet& floor = context.surfaces.sheet(under);
  const Vec3 foot = place.position - floor.frame.height(place.position) * floor.frame.n;
  const std::string id =
      alternative < 0 ? told.id : told.id + " (place " + std::to_string(alternative + 2) + ")";
  if (context.job.prefer.over_floor) {
    FloorWay way = rise(context, id, place.position, floor.frame);
    way.end = end;
    way.alternative = alternative;
    context.ends.floor_ways.push_back(way);
    return;
  }
  const std::vector<Way> ways = ways_to(context, floor, foot);
  if (ways.empty()) return;  // the tracks name what blocks it
  if (!ways[0].refused.empty()) {
    context.ends.refused_floor_ways.push_back(
        {end, alternative,
         floor.name + " (the way from " + context.surfaces.sheet(ways[0].wall).name + ": " +
             ways[0].refused + "; allow it with \"floor\": { \"cross\": [ ... ] }, under a ramp)"});
    return;
  }
  FloorWay way = declare(context, id, place.position, ways[0], floor.frame);
  way.end = end;
  way.alternative = alternative;
  way.ramp_m = ramp_length(context, ways[0].wall_foot, way.foot);
  context.ends.floor_ways.push_back(way);
  if (alternative >= 0) return;
  context.ends.guesses.push_back(
      {"Way to \"" + told.id + "\"",
       "over the floor, " + context.length(ways[0].length_m) + " from " +
           context.surfaces.sheet(way.wall).name,
       way.ramp_m > 0 ? "it stands on the floor away from every wall: a ramp covers the cable"
                      : "it stands on the floor, near the wall",
       "\"xyz\" of a place beside a wall, or \"mount\": \"on sheet\""});
}

}  // namespace

void add_floor_ways(Context& context) {
  const auto count = static_cast<int>(context.ends.ends.size());
  for (int end = 0; end < count; ++end) {
    const auto moves =
        static_cast<int>(context.ends.ends[static_cast<std::size_t>(end)].may_move_to.size());
    for (int alternative = -1; alternative < moves; ++alternative)
      add_way(context, end, alternative);
  }
}

}  // namespace roomloom::place
