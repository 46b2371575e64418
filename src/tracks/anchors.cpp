#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "tracks/layout.h"

namespace roomloom::tracks {
namespace {

constexpr double kFarthestLeadIn_m = 1.0;  ///< from an end or a hole to the nearest track
constexpr double kFarthestFromMains_m = 3.0;
constexpr double kOn_m = 0.0005;

}  // namespace

Stretch free_way(int a, int b, const PlaceId& home) {
  Stretch way;
  way.kind = EdgeKind::lead_in;
  way.medium = Medium::free;
  way.home = home;
  way.free_direction = true;
  way.a = a;
  way.b = b;
  return way;
}

Anchor& add_anchor(Layout& layout, const Vec3& position, const PlaceId& home) {
  Anchor anchor;
  anchor.position = position;
  anchor.home = home;
  const bool in_void = home.kind == PlaceKind::void_space;
  const int layer = in_void ? layout.layer_of_void.at(home.index) : layout.draft.new_layer();
  anchor.point = layout.draft.point(layer, position);
  layout.draft.points[static_cast<std::size_t>(anchor.point)].kept = true;
  layout.anchors.push_back(anchor);
  return layout.anchors.back();
}

namespace {

/// A conduit is no hindrance to the cable that comes out of it.
bool ends_at(const Layout& layout, int part, const Vec3& p) {
  return std::any_of(layout.room.conduits.begin(), layout.room.conduits.end(),
                     [&](const Conduit& conduit) {
                       return conduit.part == part && !conduit.line.empty() &&
                              (distance(conduit.line.front(), p) < kOn_m ||
                               distance(conduit.line.back(), p) < kOn_m);
                     });
}

}  // namespace

bool upright_is_clear(const Layout& layout, int index, const Vec3& a, const Vec3& b) {
  const Void& v = layout.room.voids[static_cast<std::size_t>(index)];
  Box3 way;
  way.add(v.frame.to_local(a));
  way.add(v.frame.to_local(b));
  return std::none_of(v.obstacles.begin(), v.obstacles.end(), [&](const VoidObstacle& obstacle) {
    const double clearance = std::max(obstacle.clearance_m, layout.job.prefer.obstacle_clearance_m);
    if (ends_at(layout, obstacle.part, a) || ends_at(layout, obstacle.part, b)) return false;
    return obstacle.box.grown(clearance - kOn_m).overlaps(way);
  });
}

namespace {

bool on_a_line(const TrackPlane& plane, const Vec2& p) {
  return std::any_of(plane.lines.begin(), plane.lines.end(), [&](const PlaneLine& line) {
    return !line.written && segment_distance(p, line.a, line.b) <= kOn_m / 2;
  });
}

/// A point that all but lies on lines of the plane, moved onto them, so that no track gets a kink.
Vec2 drawn_onto_lines(const TrackPlane& plane, Vec2 p, double reach_m = 2 * kOn_m) {
  for (const PlaneLine& line : plane.lines) {
    if (segment_distance(p, line.a, line.b) > reach_m) continue;
    const Vec2 along = (1 / norm(line.b - line.a)) * (line.b - line.a);
    p = line.a + dot(p - line.a, along) * along;
  }
  return p;
}

/// True when a line of the plane leaves `p` in `direction`.
bool follows_a_line(const TrackPlane& plane, const Vec2& p, const Vec2& direction) {
  return on_a_line(plane, p + 0.01 * direction);
}

/// An end beside mains may only leave square to them, so it needs a way of its own to do so.
bool near_power(const Layout& layout, const Vec3& p) {
  return std::any_of(layout.room.power.begin(), layout.room.power.end(), [&](const auto& power) {
    return point_segment_distance(p, power.from, power.to) < power.separation_m + power.half_size_m;
  });
}

/// An end may stand just at the edge of what is kept clear.
bool is_clear(const TrackPlane& plane, const Vec2& a, const Vec2& b) {
  const auto pieces = allowed_pieces(plane, a, b, Strictness::lead_in);
  const double length = norm(b - a);
  return pieces.size() == 1 && pieces[0].first * length < kOn_m &&
         (1 - pieces[0].second) * length < kOn_m;
}

/// Uprights of stud bays, over the heights of all that joins them.
void draw_uprights(Layout& layout) {
  for (const auto& [index, layer] : layout.layer_of_void) {
    if (layout.planes_of_void.contains(index)) continue;
    const Vec3 up = layout.room.voids[static_cast<std::size_t>(index)].frame.n;
    Vec3 low, high;
    int count = 0;
    for (const Anchor& anchor : layout.anchors) {
      if (anchor.home != PlaceId{PlaceKind::void_space, index}) continue;
      const Vec3 foot = bay_foot(layout, index, anchor.position);
      if (count == 0 || dot(foot - low, up) < 0) low = foot;
      if (count == 0 || dot(foot - high, up) > 0) high = foot;
      ++count;
    }
    if (count < 2) continue;
    Stretch upright;
    upright.medium = Medium::bay;
    upright.home = {PlaceKind::void_space, index};
    layout.draft.line(layer, low, high, upright);
  }
}

std::string sheet_block(const TrackPlane& plane, const Layout& layout, const Vec2& at) {
  for (const Vec2 d : {Vec2{1, 0}, Vec2{-1, 0}, Vec2{0, 1}, Vec2{0, -1}}) {
    const std::string name = first_block(plane, at, at + kFarthestLeadIn_m * d);
    if (name.empty()) continue;
    for (const SheetKeepOut& keep : sheet_of(layout, plane.home.index).keep_outs)
      if (keep.name == name && is_hollow(keep.what)) return name + may_hold(name);
    return name;
  }
  return sheet_of(layout, plane.home.index).name;
}

void attach_to_sheet(Layout& layout, Anchor& anchor) {
  const auto found = layout.plane_of_sheet.find(anchor.home.index);
  if (found == layout.plane_of_sheet.end()) {
    if (anchor.joined) return;
    anchor.blocked_by = sheet_of(layout, anchor.home.index).name + " (nothing can be fixed to it)";
    return;
  }
  const TrackPlane& plane = layout.planes[static_cast<std::size_t>(found->second)];
  Vec2 at = plane.frame.to_plane(anchor.position);
  // An end that raceway on the track would cover is entered from it: no leg of millimetres.
  if (plane.medium == Medium::raceway)
    at = drawn_onto_lines(plane, at, layout.nominal.half_width_m());
  const bool joined = lead_in(layout, plane, at, EdgeKind::lead_in);
  if (!joined) {
    if (!anchor.joined) anchor.blocked_by = sheet_block(plane, layout, at);
    return;
  }
  const int foot = layout.draft.point(plane.layer, plane.frame.to_world(at));
  layout.draft.add(free_way(anchor.point, foot, anchor.home));
}

std::string void_block(const Layout& layout, const Anchor& anchor) {
  const Void& v = layout.room.voids[static_cast<std::size_t>(anchor.home.index)];
  const Vec3 at = v.frame.to_local(anchor.position);
  double nearest = 0.5;
  std::string name = v.name;
  for (const VoidObstacle& obstacle : v.obstacles) {
    Vec3 away;
    for (int axis = 0; axis < 3; ++axis)
      away[axis] =
          std::max({0.0, obstacle.box.low[axis] - at[axis], at[axis] - obstacle.box.high[axis]});
    if (norm(away) < nearest) {
      nearest = norm(away);
      name = obstacle.name;
    }
  }
  return name;
}

/// Where the upright at an anchor stands: over the anchor, but before the wall whose board a hole
/// leads through, so far off that the cable can turn.
Vec3 foot_of_upright(Layout& layout, const Anchor& anchor) {
  constexpr double kRadiiToTurn = 1.3;
  if (anchor.crossing < 0) return anchor.position;
  const Crossing& hole = layout.room.crossings[static_cast<std::size_t>(anchor.crossing)];
  const Void& space = layout.room.voids[static_cast<std::size_t>(anchor.home.index)];
  const Vec3 into = anchor.home == hole.to ? hole.frame.n : -hole.frame.n;
  if (std::abs(dot(into, space.frame.n)) > 0.5) return anchor.position;
  const double off = std::max(layout.job.prefer.obstacle_clearance_m + 2 * kOn_m,
                              kRadiiToTurn * layout.needs.bend_radius_m);
  const Vec3 before = anchor.position + off * into;
  if (!contains(space.plan, space.frame.to_plane(before))) return anchor.position;
  const int point = layout.draft.point(layout.layer_of_void.at(anchor.home.index), before);
  layout.draft.points[static_cast<std::size_t>(point)].kept = true;
  layout.draft.add(free_way(anchor.point, point, anchor.home));
  return before;
}

/// The upright of a void through a point, up or down to every support level that can be reached.
void attach_to_void(Layout& layout, Anchor& anchor) {
  const auto found = layout.planes_of_void.find(anchor.home.index);
  const Vec3 through = foot_of_upright(layout, anchor);
  Vec3 low = through, high = through;
  bool joined = false;
  for (const int p : found->second) {
    const TrackPlane& plane = layout.planes[static_cast<std::size_t>(p)];
    Vec2 at = plane.frame.to_plane(through);
    if (!upright_is_clear(layout, anchor.home.index, through, plane.frame.to_world(at))) continue;
    if (!lead_in(layout, plane, at, EdgeKind::lead_in)) continue;
    const Vec3 foot = plane.frame.to_world(at);
    layout.draft.point(plane.layer, foot);
    if (plane.frame.height(low) > 0) low = foot;
    if (plane.frame.height(high) < 0) high = foot;
    joined = true;
  }
  if (!joined) {
    anchor.blocked_by = void_block(layout, anchor);
    return;
  }
  Stretch upright;
  upright.medium = Medium::free;
  upright.home = anchor.home;
  layout.draft.line(layout.layer_of_void.at(anchor.home.index), low, high, upright);
}

/// A stud bay has one upright; everything in the bay joins it at its own height.
void attach_to_bay(Layout& layout, const Anchor& anchor) {
  const Vec3 foot = bay_foot(layout, anchor.home.index, anchor.position);
  const int layer = layout.layer_of_void.at(anchor.home.index);
  const int point = layout.draft.point(layer, foot);
  layout.draft.add(free_way(anchor.point, point, anchor.home));
}

int charge(Layout& layout, const Charge& made) {
  layout.charges.push_back(made);
  return static_cast<int>(layout.charges.size()) - 1;
}

std::string hole_name(const Crossing& crossing) {
  return (crossing.tile ? "hole in " : "hole ") + crossing.name;
}

void add_passage(Layout& layout, const ChosenHole& hole, int from, int to) {
  const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
  Stretch passage;
  passage.kind = EdgeKind::crossing;
  passage.home = crossing.to;
  passage.a = from;
  passage.b = to;
  passage.crossing = hole.crossing;
  // A box in a wall closes its plate: only what ends there passes it.
  if (hole.end_anchor >= 0 && !hole.shared && !hole.cut)
    passage.only_end = layout.anchors[static_cast<std::size_t>(hole.end_anchor)].end;
  passage.largest_diameter_m = hole.largest_m;
  passage.capacity_m2 = kPi * hole.largest_m * hole.largest_m / 8;  // see cable_needs
  if (!crossing.existing) {
    if (!hole.cut)
      passage.charges.push_back(
          charge(layout, hole_charge(layout.job.prefer, hole_name(crossing), hole.mouth)));
    auto [place, added] = layout.ladder_charges.try_emplace(crossing.name, -1);
    if (added)
      place->second = charge(
          layout, ladder_charge(layout.job.prefer, "ladder at " + crossing.name, hole.mouth));
    passage.charges.push_back(place->second);
  }
  layout.draft.add(passage);
}

/// A hole at the place of another is that one.
void merge_same_holes(std::vector<ChosenHole>& holes) {
  std::vector<ChosenHole> kept;
  for (const ChosenHole& hole : holes) {
    const auto same = std::find_if(kept.begin(), kept.end(), [&](const ChosenHole& one) {
      return one.crossing == hole.crossing && distance(one.mouth, hole.mouth) < 0.001;
    });
    if (same == kept.end()) {
      kept.push_back(hole);
      continue;
    }
    same->shared = same->shared || (same->end_anchor < 0) != (hole.end_anchor < 0);
    if (same->end_anchor < 0) same->end_anchor = hole.end_anchor;
    if (same->wall_plane < 0) same->wall_plane = hole.wall_plane;
  }
  holes = std::move(kept);
}

bool is_tile_ceiling(const Layout& layout, const PlaceId& home) {
  return home.kind == PlaceKind::sheet &&
         sheet_of(layout, home.index).role == SheetRole::suspended_ceiling;
}

}  // namespace

void collect_anchors(Layout& layout) {
  for (std::size_t i = 0; i < layout.ends.ends.size(); ++i) {
    const End& end = layout.ends.ends[i];
    for (int k = -1; k < static_cast<int>(end.may_move_to.size()); ++k) {
      const EndPlace& place = k < 0 ? end.place : end.may_move_to[static_cast<std::size_t>(k)];
      Anchor& anchor = add_anchor(layout, place.position, place.home);
      anchor.end = static_cast<int>(i);
      anchor.alternative = k;
    }
  }
  add_conduits(layout);
  choose_holes(layout);
  choose_bay_holes(layout);
  merge_same_holes(layout.holes);
  for (const ChosenHole& hole : layout.holes) {
    const Crossing& crossing = layout.room.crossings[static_cast<std::size_t>(hole.crossing)];
    Anchor& mouth = add_anchor(layout, hole.mouth, crossing.from);
    mouth.crossing = hole.crossing;
    const int from = mouth.point;
    Anchor& back = add_anchor(layout, hole.back, crossing.to);
    back.crossing = hole.crossing;
    add_passage(layout, hole, from, back.point);
    if (hole.end_anchor < 0) continue;
    Anchor& end = layout.anchors[static_cast<std::size_t>(hole.end_anchor)];
    layout.draft.add(free_way(end.point, from, end.home));
    end.joined = true;
  }
}

bool lead_in(Layout& layout, const TrackPlane& plane, Vec2& at, EdgeKind kind) {
  at = drawn_onto_lines(plane, at);
  bool joined = on_a_line(plane, at);
  if (joined) layout.draft.point(plane.layer, plane.frame.to_world(at));
  const bool must_cross = joined && near_power(layout, plane.frame.to_world(at));
  if (joined && !must_cross) return true;
  const double farthest = must_cross ? kFarthestFromMains_m : kFarthestLeadIn_m;
  for (const Vec2 direction : {Vec2{1, 0}, Vec2{-1, 0}, Vec2{0, 1}, Vec2{0, -1}}) {
    Vec2 met;
    if (must_cross && follows_a_line(plane, at, direction)) continue;
    if (!nearest_line(plane, at, direction, farthest, met)) continue;
    if (!is_clear(plane, at, met)) continue;
    Stretch stub;
    stub.kind = kind;
    stub.medium = plane.medium;
    stub.home = plane.home;
    stub.visible_weight = plane.visible;
    layout.draft.line(plane.layer, plane.frame.to_world(at), plane.frame.to_world(met), stub);
    joined = true;
  }
  return joined;
}

void attach_anchors(Layout& layout) {
  draw_uprights(layout);
  for (Anchor& anchor : layout.anchors) {
    switch (anchor.home.kind) {
      case PlaceKind::sheet: {
        const SheetRole role = sheet_of(layout, anchor.home.index).role;
        if (is_tile_ceiling(layout, anchor.home)) {
          if (anchor.end < 0) attach_jogs(layout, anchor);
        } else if (role == SheetRole::floor) {
          attach_on_floor(layout, anchor);
        } else {
          attach_to_sheet(layout, anchor);
        }
        break;
      }
      case PlaceKind::void_space:
        if (layout.planes_of_void.contains(anchor.home.index))
          attach_to_void(layout, anchor);
        else
          attach_to_bay(layout, anchor);
        break;
      default:
        break;  // zones: attach_free_zones; conduits: add_conduits
    }
  }
  // Last: by then it is known which holes tracks reach from above.
  attach_far_jogs(layout);
  for (Anchor& anchor : layout.anchors)
    if (anchor.end >= 0 && is_tile_ceiling(layout, anchor.home)) attach_below_tiles(layout, anchor);
}

}  // namespace roomloom::tracks
