#include <algorithm>

#include "tracks/layout.h"

// Ends in a tiled ceiling, and the holes that they are reached through.

namespace roomloom::tracks {
namespace {

constexpr double kOn_m = 0.0005;

/// Whether tracks in the void reach a hole from above.
bool is_reached(const Layout& layout, const ChosenHole& hole) {
  return std::none_of(layout.anchors.begin(), layout.anchors.end(), [&](const Anchor& anchor) {
    return anchor.crossing == hole.crossing && !anchor.blocked_by.empty() &&
           distance(anchor.position, hole.back) <= kOn_m;
  });
}

/// To holes of its ceiling no farther off than `farthest_m` that tracks reach: those from which the
/// cable can turn to it, or the others.
bool join_holes_below(Layout& layout, const Anchor& anchor, double farthest_m, bool that_can_turn) {
  bool joined = false;
  for (const ChosenHole& hole : layout.holes) {
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    if (crossing.from != anchor.home) continue;
    if (distance(hole.mouth, anchor.position) > farthest_m) continue;
    if (can_turn_below(layout, anchor, hole.mouth) != that_can_turn) continue;
    if (!is_reached(layout, hole)) continue;
    for (const Anchor& other : layout.anchors) {
      if (other.crossing != hole.crossing || other.home != anchor.home) continue;
      if (distance(other.position, hole.mouth) > kOn_m) continue;
      Stretch way = free_way(anchor.point, other.point, anchor.home);
      way.only_end = anchor.end;
      weigh_below_tiles(layout, way);
      layout.draft.add(way);
      joined = true;
    }
  }
  return joined;
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

}  // namespace

void weigh_below_tiles(const Layout& layout, Stretch& way) {
  const auto at = [&](int point) {
    return layout.draft.points[static_cast<std::size_t>(point)].position;
  };
  if (distance(at(way.a), at(way.b)) > kFarthestSlant_m) way.visible_weight = 1;
}

void attach_below_tiles(Layout& layout, Anchor& anchor) {
  if (!join_holes_below(layout, anchor, kAtItsPlace_m, true) &&
      !join_holes_below(layout, anchor, kFarthestBelowTile_m, true) &&
      !join_holes_below(layout, anchor, kFarthestBelowTile_m, false))
    anchor.blocked_by = below_tiles_block(layout, anchor);
}

}  // namespace roomloom::tracks
