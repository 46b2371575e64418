#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <tuple>

#include "geometry/framed_box.h"
#include "tracks/hole_rules.h"
#include "tracks/layout.h"

// Where holes are cut. A crossing allows a region; the points that count are few: over the corners
// of the room, over gear, over ends on walls, and over ends in the ceiling itself. Wishes that fall
// into one tile beside one wall become one hole, so that runs share it.

namespace roomloom::tracks {
namespace {

constexpr double kFarthestMove_m = 0.35;  ///< from where a hole is wished to where it is allowed
constexpr double kSlack_m = 1e-4;
constexpr double kBesideHole_m = 0.02;  ///< of tile between two holes

/// Where most runs have to go: the mean of all ends' places.
Vec3 middle_of_ends(const Layout& layout) {
  Vec3 sum;
  for (const End& end : layout.ends.ends) sum += end.place.position;
  return sum / std::max<double>(1, static_cast<double>(layout.ends.ends.size()));
}

const Tile* tile_of(const Room& room, const Crossing& crossing) {
  if (!crossing.tile) return nullptr;
  for (const TileGrid& grid : room.grids) {
    if (crossing.from.kind == PlaceKind::sheet && grid.sheet != crossing.from.index) continue;
    for (const Tile& tile : grid.tiles)
      if (tile.id == *crossing.tile) return &tile;
  }
  return nullptr;
}

double hole_radius(const Layout& layout, const Crossing& crossing) {
  return std::min(layout.needs.bundle_m, crossing.largest_diameter_m) / 2;
}

/// The hole's edge stays in the crossing's region, a tee margin off the tile's own border, and
/// clear of what the tile holds.
HoleRules hole_rules(const Layout& layout, const Crossing& crossing) {
  HoleRules rules;
  const double radius = hole_radius(layout, crossing);
  rules.inside.emplace_back(crossing.region.outline, radius);
  for (const Ring& hole : crossing.region.holes) rules.outside.emplace_back(hole, radius);
  for (const SheetKeepOut& keep_out : crossing.keep_outs)
    rules.outside.emplace_back(keep_out.ring, radius + keep_out.clearance_m);
  const Tile* tile = tile_of(layout.room, crossing);
  if (tile != nullptr && crossing.from.kind == PlaceKind::sheet) {
    const Frame& ceiling = sheet_of(layout, crossing.from.index).frame;
    Ring ring;
    for (const Vec2& p : tile->ring) ring.push_back(crossing.frame.to_plane(ceiling.to_world(p)));
    if (signed_area(ring) < 0) std::reverse(ring.begin(), ring.end());
    rules.inside.emplace_back(ring, radius + layout.job.prefer.tee_margin_m);
  }
  if (tile != nullptr && crossing.from.kind == PlaceKind::sheet) {
    const Sheet& ceiling = sheet_of(layout, crossing.from.index);
    for (const SheetKeepOut& keep_out : ceiling.keep_outs) {
      Ring ring;
      for (const Vec2& p : keep_out.ring)
        ring.push_back(crossing.frame.to_plane(ceiling.frame.to_world(p)));
      rules.outside.emplace_back(ring, radius + keep_out.clearance_m);
    }
  }
  return rules;
}

struct Pick {
  int crossing = -1;
  Vec3 at;
  Nearness moved;
};

/// Sixteen sides round the circle.
Ring ring_round(const Vec2& centre, double radius) {
  constexpr int kSides = 16;
  Ring ring;
  for (int i = 0; i < kSides; ++i) {
    const double turn = 2 * kPi * (i + 0.5) / kSides;
    ring.push_back(centre +
                   (radius / std::cos(kPi / kSides)) * Vec2{std::cos(turn), std::sin(turn)});
  }
  return ring;
}

/// A tile that is recorded as back in its place is not cut again.
bool is_closed(const Layout& layout, const Crossing& crossing) {
  const std::vector<std::string>& closed = layout.job.as_built.tiles;
  if (closed.empty()) return false;
  const Tile* tile = tile_of(layout.room, crossing);
  return tile != nullptr && std::find(closed.begin(), closed.end(), tile->name) != closed.end();
}

/// Holes nearer than this, from centre to centre, are one.
double apart_m(const Layout& layout) { return layout.needs.bundle_m + kBesideHole_m; }

/// @param turn_m  unless 0, room for the cable to turn: the hole is no nearer to the wish than
/// this,
///                and stands clear of the other holes
Pick pick_hole(const Layout& layout, int ceiling, const Vec3& wish,
               double farthest_m = kFarthestMove_m, double turn_m = 0) {
  const Vec3 middle = middle_of_ends(layout);
  Pick pick;
  for (std::size_t i = 0; i < layout.room.crossings.size(); ++i) {
    const Crossing& crossing = layout.room.crossings[i];
    if (crossing.kind != CrossingKind::tile_cut) continue;
    if (crossing.from != PlaceId{PlaceKind::sheet, ceiling}) continue;
    const Vec2 at = crossing.frame.to_plane(wish);
    if (!contains(crossing.region.outline, at) &&
        ring_distance(crossing.region.outline, at) > farthest_m)
      continue;
    if (is_closed(layout, crossing)) continue;
    Vec2 allowed;
    HoleRules rules = hole_rules(layout, crossing);
    if (turn_m > 0) {
      rules.outside.emplace_back(ring_round(at, turn_m), 0.0005);
      for (const ChosenHole& hole : layout.holes)
        rules.outside.emplace_back(ring_round(crossing.frame.to_plane(hole.mouth), apart_m(layout)),
                                   0.0005);
    }
    if (!nearest_allowed(rules, at, crossing.frame.to_plane(middle), allowed)) continue;
    const Nearness moved{norm(allowed - at), distance(crossing.frame.to_world(allowed), middle)};
    if (moved.away_m > farthest_m || !(moved < pick.moved)) continue;
    pick = {static_cast<int>(i), crossing.frame.to_world(allowed), moved};
  }
  return pick;
}

void add_hole(Layout& layout, const Pick& pick, int wall_plane) {
  const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(pick.crossing)];
  ChosenHole hole;
  hole.crossing = pick.crossing;
  hole.mouth = pick.at;
  hole.back = pick.at + crossing.thickness_m * crossing.frame.n;
  hole.wall_plane = wall_plane;
  hole.largest_m = std::min(crossing.largest_diameter_m, layout.job.prefer.largest_hole_m);
  layout.holes.push_back(hole);
}

/// True when the tile has a hole already that the wall's tracks can reach, and that may still be
/// made as large as need be.
bool wall_has_hole(const Layout& layout, const TrackPlane& wall, int crossing) {
  for (const ChosenHole& hole : layout.holes)
    if (!hole.cut && hole.crossing == crossing &&
        std::abs(wall.frame.height(hole.mouth)) < kFarthestMove_m)
      return true;
  return false;
}

/// A hole that is there already and that a new one would run into.
const ChosenHole* cut_hole_near(const Layout& layout, const Vec3& at) {
  for (const ChosenHole& hole : layout.holes)
    if (hole.cut && distance(hole.mouth, at) <
                        hole.largest_m / 2 + layout.needs.bundle_m / 2 + kBesideHole_m - kSlack_m)
      return &hole;
  return nullptr;
}

/// Where a wall meets a ceiling that can be cut.
struct WallTop {
  int plane = -1, ceiling = -1;
  Vec3 from, to;
};

std::vector<WallTop> wall_tops(const Layout& layout) {
  std::set<int> ceilings;
  for (const Crossing& crossing : layout.room.crossings)
    if (crossing.kind == CrossingKind::tile_cut && crossing.from.kind == PlaceKind::sheet)
      ceilings.insert(crossing.from.index);
  std::vector<WallTop> tops;
  for (const Seam& seam : layout.room.seams)
    for (const bool swap : {false, true}) {
      const int wall = swap ? seam.b : seam.a, ceiling = swap ? seam.a : seam.b;
      const auto plane = layout.plane_of_sheet.find(wall);
      if (plane == layout.plane_of_sheet.end() || !ceilings.contains(ceiling)) continue;
      tops.push_back({plane->second, ceiling, seam.from, seam.to});
    }
  return tops;
}

/// Wishes a hole beside the wall's top, over the point of it nearest to `over`.
void wish_beside(Layout& layout, const WallTop& top, const Vec3& over) {
  const TrackPlane& wall = layout.planes[static_cast<std::size_t>(top.plane)];
  const double off = layout.needs.bundle_m / 2 + layout.job.prefer.tee_margin_m;
  const Vec3 along = normalized(top.to - top.from);
  const double length = distance(top.from, top.to);
  if (length < 2 * off) return;
  const double t = std::clamp(dot(over - top.from, along), off, length - off);
  const Vec3 out = wall.frame.n - dot(wall.frame.n, along) * along;
  const Frame& ceiling = sheet_of(layout, top.ceiling).frame;
  const Vec3 level = normalized(out - dot(out, ceiling.n) * ceiling.n);
  const Pick pick = pick_hole(layout, top.ceiling, top.from + t * along + off * level);
  if (pick.crossing < 0 || wall_has_hole(layout, wall, pick.crossing)) return;
  const ChosenHole* cut = cut_hole_near(layout, pick.at);
  if (cut == nullptr) return add_hole(layout, pick, top.plane);
  // Beside the hole that is cut, for what does not fit through it.
  const double aside = cut->largest_m / 2 + layout.needs.bundle_m / 2 + kBesideHole_m;
  const double nearer = dot(middle_of_ends(layout) - cut->mouth, along) < 0 ? -1 : 1;
  for (const double side : {nearer, -nearer}) {
    const Pick beside = pick_hole(layout, top.ceiling, cut->mouth + side * aside * along);
    if (beside.crossing < 0 || wall_has_hole(layout, wall, beside.crossing) ||
        cut_hole_near(layout, beside.at) != nullptr)
      continue;
    return add_hole(layout, beside, top.plane);
  }
}

/// First the corner nearer to the ends: on a wall of one tile it is the only one.
void wish_over_corners(Layout& layout, const std::vector<WallTop>& tops) {
  const Vec3 middle = middle_of_ends(layout);
  for (const WallTop& top : tops) {
    const bool turned = distance(top.to, middle) < distance(top.from, middle);
    wish_beside(layout, top, turned ? top.to : top.from);
    wish_beside(layout, top, turned ? top.from : top.to);
  }
}

void wish_over_gear(Layout& layout, const std::vector<WallTop>& tops) {
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    if (is_floor_zone(layout, static_cast<int>(z))) continue;
    const Zone& zone = layout.ends.zones[z];
    const Vec3 centre = zone.frame.to_world(0.5 * zone.size);
    for (const WallTop& top : tops) {
      const TrackPlane& wall = layout.planes[static_cast<std::size_t>(top.plane)];
      const double reach = 0.5 * norm(zone.size) + 0.1;
      if (std::abs(wall.frame.height(centre)) < reach) wish_beside(layout, top, centre);
    }
  }
}

/// End by end; of the places that one may move to those nearer to the other ends first, since the
/// first wish in a tile is the one that counts.
void wish_over_ends(Layout& layout, const std::vector<WallTop>& tops) {
  const Vec3 middle = middle_of_ends(layout);
  std::vector<const Anchor*> anchors;
  for (const Anchor& anchor : layout.anchors)
    if (anchor.end >= 0 && anchor.home.kind == PlaceKind::sheet &&
        (anchor.alternative < 0 || layout.coarseness == 0))
      anchors.push_back(&anchor);
  std::stable_sort(anchors.begin(), anchors.end(), [&](const Anchor* a, const Anchor* b) {
    const auto order = [&](const Anchor& one) {
      return std::tuple(one.end, one.alternative >= 0, distance(one.position, middle));
    };
    return order(*a) < order(*b);
  });
  for (const Anchor* anchor : anchors)
    for (const WallTop& top : tops)
      if (layout.planes[static_cast<std::size_t>(top.plane)].home == anchor->home)
        wish_beside(layout, top, anchor->position);
}

/// An end in a tiled ceiling needs a hole at its own place. Where that is not to be had, the hole
/// is so far off that the cable can turn below the tiles: it comes down a little, bends by more
/// than a right angle and rises to the end. What ends there today comes before what may be there
/// later.
void wish_at_ceiling_ends(Layout& layout, bool later) {
  for (const Anchor& anchor : layout.anchors) {
    if (anchor.end < 0 || anchor.home.kind != PlaceKind::sheet) continue;
    if ((anchor.alternative >= 0) != later) continue;
    Pick pick = pick_hole(layout, anchor.home.index, anchor.position, kFarthestBelowTile_m);
    if (pick.crossing < 0) continue;
    const auto near = std::find_if(
        layout.holes.begin(), layout.holes.end(),
        [&](const ChosenHole& hole) { return distance(hole.mouth, pick.at) < apart_m(layout); });
    const bool there = near != layout.holes.end();
    if (there && can_turn_below(layout, anchor, near->mouth)) continue;
    if (there || !can_turn_below(layout, anchor, pick.at)) {
      const Pick off = pick_hole(layout, anchor.home.index, anchor.position, kFarthestBelowTile_m,
                                 turn_below_m(layout));
      if (off.crossing >= 0)
        pick = off;
      else if (there)
        continue;
    }
    add_hole(layout, pick, -1);
  }
}

/// Gear that hangs from a tiled ceiling wants a hole behind it.
void wish_over_hanging_gear(Layout& layout) {
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    const Zone& zone = layout.ends.zones[z];
    const Vec3 top = zone.frame.to_world(Vec3{0.5 * zone.size.x, 0.5 * zone.size.y, zone.size.z});
    for (std::size_t i = 0; i < layout.room.sheets.size(); ++i) {
      const Sheet& sheet = layout.room.sheets[i];
      if (sheet.role != SheetRole::suspended_ceiling || std::abs(sheet.frame.height(top)) > 0.002 ||
          !contains(sheet.region, sheet.frame.to_plane(top)))
        continue;
      const Pick pick = pick_hole(layout, static_cast<int>(i), top, 0.5 * zone.size.x);
      if (pick.crossing >= 0 && in_framed_box(zone.frame, zone.size, pick.at, 0.002) &&
          cut_hole_near(layout, pick.at) == nullptr)
        add_hole(layout, pick, -1);
    }
  }
}

/// Where the job asks for symmetry: the mirror image of each hole about the plane in which the
/// listener looks, where a hole may be there within what looks alike.
void wish_mirror_images(Layout& layout) {
  constexpr double kLooksAlike_m = 0.04;
  if (!layout.job.prefer.symmetric || !layout.ends.listener) return;
  const double facing = layout.ends.facing_rad;
  const Vec3 across{std::cos(facing), std::sin(facing), 0};
  const auto there = [&](const Vec3& at) {
    return std::any_of(layout.holes.begin(), layout.holes.end(), [&](const ChosenHole& hole) {
      return distance(hole.mouth, at) < kLooksAlike_m;
    });
  };
  const std::size_t count = layout.holes.size();
  for (std::size_t i = 0; i < count; ++i) {
    const ChosenHole hole = layout.holes[i];
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    if (crossing.kind != CrossingKind::tile_cut) continue;
    const Vec3 image = hole.mouth - 2 * dot(hole.mouth - *layout.ends.listener, across) * across;
    const Pick pick = pick_hole(layout, crossing.from.index, image, kLooksAlike_m);
    if (pick.crossing < 0 || there(pick.at) || cut_hole_near(layout, pick.at) != nullptr) continue;
    int wall = -1;
    double nearest = kFarthestMove_m;
    for (std::size_t p = 0; hole.wall_plane >= 0 && p < layout.planes.size(); ++p) {
      const TrackPlane& plane = layout.planes[p];
      const double away = std::abs(plane.frame.height(pick.at));
      if (sheet_index(plane) < 0 || std::abs(plane.frame.n.z) > 0.5 || away >= nearest ||
          !contains(plane.region, plane.frame.to_plane(pick.at - Vec3{0, 0, 0.05})))
        continue;
      nearest = away;
      wall = static_cast<int>(p);
    }
    add_hole(layout, pick, wall);
  }
}

/// Holes that are there already, and grommets: at the middle of what is allowed.
void take_ready_holes(Layout& layout) {
  for (std::size_t i = 0; i < layout.room.crossings.size(); ++i) {
    const Crossing& crossing = layout.room.crossings[i];
    if (crossing.kind != CrossingKind::existing_hole && crossing.kind != CrossingKind::grommet)
      continue;
    const Vec3 at = crossing.frame.to_world(interior_point(crossing.region));
    add_hole(layout, {static_cast<int>(i), at, {}}, -1);
    if (crossing.existing) layout.holes.back().largest_m = crossing.largest_diameter_m;
  }
}

}  // namespace

ChosenHole hole_at(const Layout& layout, int index, const Vec3& at) {
  const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(index)];
  ChosenHole hole;
  hole.crossing = index;
  hole.mouth = crossing.frame.to_world(crossing.frame.to_plane(at));
  hole.back = hole.mouth + crossing.thickness_m * crossing.frame.n;
  hole.largest_m = std::min(crossing.largest_diameter_m, layout.job.prefer.largest_hole_m);
  return hole;
}

double turn_below_m(const Layout& layout) {
  constexpr double kRadiiToTurn = 3;
  return kRadiiToTurn * layout.needs.bend_radius_m;
}

bool can_turn_below(const Layout& layout, const Anchor& end, const Vec3& hole) {
  const double away = distance(hole, end.position);
  return away <= kAtItsPlace_m || away >= turn_below_m(layout);
}

void choose_holes(Layout& layout) {
  take_ready_holes(layout);
  take_written_holes(layout);
  const std::vector<WallTop> tops = wall_tops(layout);
  wish_over_corners(layout, tops);
  wish_over_gear(layout, tops);
  wish_over_ends(layout, tops);
  wish_over_hanging_gear(layout);
  wish_at_ceiling_ends(layout, false);
  wish_at_ceiling_ends(layout, true);
  wish_mirror_images(layout);
}

}  // namespace roomloom::tracks
