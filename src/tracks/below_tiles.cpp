#include <algorithm>
#include <cmath>
#include <set>

#include "tracks/hole_rules.h"
#include "tracks/layout.h"

// Ends in a tiled ceiling, the holes that they are reached through, and what leads from walls to
// them.

namespace roomloom::tracks {
namespace {

constexpr double kOn_m = 0.0005;
constexpr double kFarthestJog_m = 0.35;

/// Whether tracks in the void reach a hole from above.
bool is_reached(const Layout& layout, const ChosenHole& hole) {
  return std::none_of(layout.anchors.begin(), layout.anchors.end(), [&](const Anchor& anchor) {
    return anchor.crossing == hole.crossing && !anchor.blocked_by.empty() &&
           distance(anchor.position, hole.back) <= kOn_m;
  });
}

/// The holes of its ceiling, nearest first, that tracks reach no farther than that from an end, and
/// from which the cable can turn to it, or cannot.
std::vector<const ChosenHole*> joinable(const Layout& layout, const Anchor& anchor,
                                        double farthest_m, bool can_turn) {
  std::vector<const ChosenHole*> holes;
  for (const ChosenHole& hole : layout.holes) {
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    if (crossing.from == anchor.home && distance(hole.mouth, anchor.position) <= farthest_m &&
        can_turn_below(layout, anchor, hole.mouth) == can_turn && is_reached(layout, hole))
      holes.push_back(&hole);
  }
  const Vec3& present = layout.ends.ends[static_cast<std::size_t>(anchor.end)].place.position;
  const auto nearness = [&](const ChosenHole* hole) {
    return Nearness{distance(hole->mouth, anchor.position), distance(hole->mouth, present)};
  };
  std::stable_sort(holes.begin(), holes.end(), [&](const ChosenHole* a, const ChosenHole* b) {
    return nearness(a) < nearness(b);
  });
  return holes;
}

bool join_below(Layout& layout, const Anchor& anchor, const std::vector<const ChosenHole*>& holes) {
  bool joined = false;
  for (const ChosenHole* hole : holes)
    for (const Anchor& other : layout.anchors) {
      // One hole for a place that the end may move to: else the run could be led by it.
      if (joined && anchor.alternative >= 0) return true;
      if (other.crossing != hole->crossing || other.home != anchor.home) continue;
      if (distance(other.position, hole->mouth) > kOn_m) continue;
      Stretch way = free_way(anchor.point, other.point, anchor.home);
      way.only_end = anchor.end;
      weigh_below_tiles(layout, way);
      layout.draft.add(way);
      joined = true;
    }
  return joined;
}

/// The holes that serve an end off its place. Cable that comes from a wall would hang from its
/// hole to the end without passing it: such holes only where no other is about as near. Holes that
/// are there already serve from farther off: nobody cuts another tile beside one.
std::vector<const ChosenHole*> holes_beside(const Layout& layout, const Anchor& anchor) {
  constexpr double kAboutAsNear_m = 0.1;
  for (const bool can_turn : {true, false}) {
    std::vector<const ChosenHole*> all = joinable(layout, anchor, kFarthestBelowTile_m, can_turn);
    if (all.empty()) continue;
    const double near = distance(all.front()->mouth, anchor.position) + kAboutAsNear_m;
    const auto serves = [&](const ChosenHole* hole) {
      return hole->cut || (!hole->led_to && distance(hole->mouth, anchor.position) <= near);
    };
    if (std::any_of(all.begin(), all.end(), serves))
      std::erase_if(all, [&](const ChosenHole* hole) { return !serves(hole); });
    return all;
  }
  return {};
}

/// What keeps tracks from the hole nearest to an end, else why there is none.
std::string below_tiles_block(const Layout& layout, const Anchor& end) {
  std::string name = sheet_of(layout, end.home.index).name +
                     " (no tile near it can be cut clear of its grid and of what it holds)";
  double nearest = kFarthestBelowTile_m;
  for (const ChosenHole& hole : layout.holes)
    for (const Anchor& anchor : layout.anchors) {
      if (anchor.crossing != hole.crossing || anchor.blocked_by.empty() ||
          distance(anchor.position, hole.back) > kOn_m ||
          distance(hole.mouth, end.position) > nearest)
        continue;
      nearest = distance(hole.mouth, end.position);
      name = anchor.blocked_by;
    }
  return name;
}

/// The upright track of a wall that is nearest beside `below`, and where.
bool nearest_upright(const TrackPlane& wall, const Vec2& below, Vec2& start) {
  double best = kFarthestJog_m;
  for (const PlaneLine& line : wall.lines) {
    Vec2 met;
    if (std::abs(line.a.x - line.b.x) > 0.2 * norm(line.a - line.b)) continue;
    if (!crossing_point(below - Vec2{kFarthestJog_m, 0}, below + Vec2{kFarthestJog_m, 0}, line.a,
                        line.b, met))
      continue;
    if (std::abs(met.x - below.x) < best) {
      best = std::abs(met.x - below.x);
      start = met;
    }
  }
  return best < kFarthestJog_m;
}

void add_jogs(Layout& layout, const TrackPlane& wall, const Anchor& mouth) {
  const auto add_way = [&](const Vec2& start) {
    const Vec3 from = wall.frame.to_world(start);
    Stretch way = free_way(layout.draft.point(wall.layer, from), mouth.point, wall.home);
    weigh_below_tiles(layout, way);
    layout.draft.add(way);
    for (ChosenHole& hole : layout.holes)
      if (hole.crossing == mouth.crossing && distance(hole.mouth, mouth.position) <= kOn_m)
        hole.led_to = true;
  };
  const Vec3 local = wall.frame.to_local(mouth.position);
  // Slantwise while no part of it is far from both surfaces, else close below the ceiling.
  const double drop = local.z > kFarthestSlant_m ? 0.05 : std::max(local.z, 0.05);
  const Vec2 below{local.x, local.y - drop};
  Vec2 start;
  if (nearest_upright(wall, below, start)) add_way(start);
  if (nearest_line(wall, below, {0, 1}, local.y - below.y, start)) add_way(start);
}

/// The planes of the walls that meet a ceiling.
std::set<int> walls_at(const Layout& layout, int ceiling) {
  std::set<int> walls;
  for (const Seam& seam : layout.room.seams) {
    if (seam.a != ceiling && seam.b != ceiling) continue;
    const auto found = layout.plane_of_sheet.find(seam.a == ceiling ? seam.b : seam.a);
    if (found != layout.plane_of_sheet.end()) walls.insert(found->second);
  }
  return walls;
}

/// Whether a wall's tracks get into the same void by a hole so near that nothing hangs bare.
bool has_hole_close_by(const Layout& layout, const TrackPlane& wall, const Crossing& far) {
  return std::any_of(layout.holes.begin(), layout.holes.end(), [&](const ChosenHole& hole) {
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    const Vec3 local = wall.frame.to_local(hole.mouth);
    return crossing.from == far.from && crossing.to == far.to && hole.end_anchor < 0 &&
           local.z >= 0 && local.z <= kFarthestSlant_m &&
           contains(wall.region, {local.x, local.y - 0.05}) && is_reached(layout, hole);
  });
}

/// It lies there, so that the job asks for it.
bool is_cut_already(const Layout& layout, const Anchor& mouth) {
  return std::any_of(layout.holes.begin(), layout.holes.end(), [&](const ChosenHole& hole) {
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    return hole.crossing == mouth.crossing && distance(hole.mouth, mouth.position) <= kOn_m &&
           (hole.cut || crossing.kind != CrossingKind::tile_cut);
  });
}

}  // namespace

void attach_jogs(Layout& layout, const Anchor& mouth) {
  for (const int p : walls_at(layout, mouth.home.index)) {
    const TrackPlane& wall = layout.planes[static_cast<std::size_t>(p)];
    const double away = wall.frame.height(mouth.position);
    if (away >= 0 && away <= kFarthestSlant_m) add_jogs(layout, wall, mouth);
  }
}

void attach_far_jogs(Layout& layout) {
  for (const Anchor& mouth : layout.anchors) {
    if (mouth.end >= 0 || mouth.crossing < 0 || mouth.home.kind != PlaceKind::sheet) continue;
    if (sheet_of(layout, mouth.home.index).role != SheetRole::suspended_ceiling) continue;
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(mouth.crossing)];
    const bool asked_for = is_cut_already(layout, mouth);
    for (const int p : walls_at(layout, mouth.home.index)) {
      const TrackPlane& wall = layout.planes[static_cast<std::size_t>(p)];
      const double away = wall.frame.height(mouth.position);
      if (away <= kFarthestSlant_m || away > kFarthestJog_m) continue;
      if (asked_for || !has_hole_close_by(layout, wall, crossing)) add_jogs(layout, wall, mouth);
    }
  }
}

void weigh_below_tiles(const Layout& layout, Stretch& way) {
  const auto at = [&](int point) {
    return layout.draft.points[static_cast<std::size_t>(point)].position;
  };
  if (distance(at(way.a), at(way.b)) > kFarthestSlant_m) way.visible_weight = 1;
}

void attach_below_tiles(Layout& layout, Anchor& anchor) {
  if (!join_below(layout, anchor, joinable(layout, anchor, kAtItsPlace_m, true)) &&
      !join_below(layout, anchor, holes_beside(layout, anchor)))
    anchor.blocked_by = below_tiles_block(layout, anchor);
}

}  // namespace roomloom::tracks
