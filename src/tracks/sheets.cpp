#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/framed_box.h"
#include "tracks/layout.h"

namespace roomloom::tracks {
namespace {

constexpr double kLeastArea_m2 = 0.05;     ///< smaller sheets carry no tracks
constexpr double kFlat = 0.0873;           ///< 5 degrees: seams flatter than this are no corner
constexpr double kJoinGap_m = 0.02;        ///< a border this near a seam's line belongs to it
constexpr double kShortestSpan_m = 0.002;  ///< of a seam on a border
constexpr double kSimplify_m = 0.005;      ///< outlines are simplified at residual + this

bool carries_tracks(const Layout& layout, const Sheet& sheet) {
  const Room& room = layout.room;
  if (!sheet.fixable || area(sheet.region) < kLeastArea_m2) return false;
  switch (sheet.role) {
    case SheetRole::floor:
      if (!layout.job.prefer.over_floor) return false;
      break;
    case SheetRole::suspended_ceiling:
    case SheetRole::curtain:
    case SheetRole::open_side:
      return false;
    default:
      break;
  }
  if (sheet.front_air < 0 || room.airs.empty()) return true;
  const AirKind kind = room.airs[static_cast<std::size_t>(sheet.front_air)].kind;
  return kind == AirKind::room || kind == AirKind::cupboard;
}

Frame track_frame(const Sheet& sheet, double stand_off_m) {
  Frame frame = sheet.frame;
  const Vec3 n = sheet.frame.n;
  const Vec3 up{0, 0, 1};
  if (std::abs(n.z) < 0.95) {
    frame.v = normalized(up - dot(up, n) * n);
    frame.u = cross(frame.v, n);
  } else {
    const Vec2 along = main_direction(sheet.region.outline);
    frame.u = normalized(along.x * sheet.frame.u + along.y * sheet.frame.v);
    frame.v = cross(n, frame.u);
  }
  frame.origin = sheet.frame.origin + stand_off_m * n;
  return frame;
}

Ring moved_ring(const Ring& ring, const Frame& from, const Frame& to) {
  Ring moved;
  for (const Vec2& p : ring) moved.push_back(to.to_plane(from.to_world(p)));
  return moved;
}

/// The line that stands off both sheets, as a segment in the room; false when they are parallel.
bool offset_segment(const Seam& seam, const Sheet& a, const Sheet& b, double stand_off_m,
                    Vec3& from, Vec3& to) {
  const double c = dot(a.frame.n, b.frame.n);
  if (1 - c * c < 1e-4) return false;
  const auto moved = [&](const Vec3& p) {
    const double ra = stand_off_m - a.frame.height(p), rb = stand_off_m - b.frame.height(p);
    const double alpha = (ra - c * rb) / (1 - c * c), beta = (rb - c * ra) / (1 - c * c);
    return p + alpha * a.frame.n + beta * b.frame.n;
  };
  from = moved(seam.from);
  to = moved(seam.to);
  return true;
}

enum class Corner { inside, outside, flat };
Corner corner_kind(const Seam& seam) {
  if (std::abs(seam.dihedral_rad - kPi) < kFlat) return Corner::flat;
  return seam.dihedral_rad < kPi ? Corner::inside : Corner::outside;
}

double seen_beside(const Sheet& own, const Sheet& other) {
  if (own.role == SheetRole::floor) return kSeenAtSkirting;
  switch (other.role) {
    case SheetRole::floor:
      return kSeenAtSkirting;
    case SheetRole::ceiling:
    case SheetRole::suspended_ceiling:
      return kSeenAtCeiling;
    default:
      return kSeenInCorner;
  }
}

/// Adds seam `index` to the plane, if tracks meet or run along it. Returns the border's inset.
double add_seam_line(const Layout& layout, TrackPlane& plane, int index) {
  const Seam& seam = layout.room.seams[static_cast<std::size_t>(index)];
  const int own = plane.home.index;
  const int other = seam.a == own ? seam.b : seam.a;
  const Sheet& sheet = sheet_of(layout, own);
  const Sheet& beside = sheet_of(layout, other);
  const bool other_carries = carries_tracks(layout, beside);
  const double half_width = layout.nominal.half_width_m(), h = layout.nominal.stand_off_m();
  const Corner kind = corner_kind(seam);
  if (beside.role == SheetRole::open_side) return half_width;
  if (kind != Corner::inside && !other_carries) return half_width;
  Vec3 from = seam.from, to = seam.to;
  if (kind != Corner::flat && !offset_segment(seam, sheet, beside, h, from, to)) return half_width;
  SeamLine line{.seam = index, .a = plane.frame.to_plane(from), .b = plane.frame.to_plane(to)};
  const double inset = kind == Corner::flat ? 0 : std::abs(h / std::tan(seam.dihedral_rad / 2));
  line.reach_m = 2.5 * inset + kJoinGap_m;
  line.is_track = kind == Corner::inside;
  // Raceway at the foot of a wall is fixed to the wall.
  const auto rank = [&](const Sheet& s, int at) {
    return std::tuple(s.role == SheetRole::floor, s.visible, at);
  };
  line.owner = !other_carries || rank(sheet, own) < rank(beside, other);
  line.visible_weight = seen_beside(sheet, beside) *
                        std::min(sheet.visible, other_carries ? beside.visible : sheet.visible);
  if (norm(line.b - line.a) < 1e-6) return half_width;
  plane.seam_lines.push_back(line);
  return kind == Corner::outside ? 0 : inset;
}

struct SeamSpan {
  double t0, t1, inset;
  int seam;
};

/// Splits an outline edge into what seams cover and what is free border.
void add_border(TrackPlane& plane, const Vec2& a, const Vec2& b, std::vector<SeamSpan> spans,
                double free_inset) {
  std::sort(spans.begin(), spans.end(), [](const SeamSpan& x, const SeamSpan& y) {
    return std::pair(x.t0, x.seam) < std::pair(y.t0, y.seam);
  });
  const double length = norm(b - a);
  double covered = 0;
  const auto at = [&](double t) { return a + t * (b - a); };
  for (const SeamSpan& span : spans) {
    if ((span.t0 - covered) * length > kJoinGap_m)
      plane.borders.push_back({at(covered), at(span.t0), free_inset, -1});
    plane.borders.push_back({at(span.t0), at(span.t1), span.inset, span.seam});
    covered = std::max(covered, span.t1);
  }
  if ((1 - covered) * length > kJoinGap_m)
    plane.borders.push_back({at(covered), b, free_inset, -1});
}

struct SeamInPlane {
  int seam;
  Vec2 a, b;
  double inset;
};

std::vector<SeamSpan> spans_on(const Vec2& a, const Vec2& b,
                               const std::vector<SeamInPlane>& seams) {
  std::vector<SeamSpan> spans;
  const double length = norm(b - a);
  const Vec2 along = (1 / length) * (b - a);
  for (const SeamInPlane& seam : seams) {
    if (std::abs(cross(along, seam.a - a)) > kJoinGap_m ||
        std::abs(cross(along, seam.b - a)) > kJoinGap_m)
      continue;
    const double t0 = dot(along, seam.a - a) / length, t1 = dot(along, seam.b - a) / length;
    const double low = std::max(0.0, std::min(t0, t1)), high = std::min(1.0, std::max(t0, t1));
    if ((high - low) * length > kShortestSpan_m)
      spans.push_back({low, high, seam.inset, seam.seam});
  }
  return spans;
}

void add_borders(const Layout& layout, TrackPlane& plane, double residual_m) {
  std::vector<SeamInPlane> seams;
  for (std::size_t i = 0; i < layout.room.seams.size(); ++i) {
    const Seam& seam = layout.room.seams[i];
    if (seam.a != plane.home.index && seam.b != plane.home.index) continue;
    if (seam.a == seam.b) continue;
    const double inset = add_seam_line(layout, plane, static_cast<int>(i));
    seams.push_back({static_cast<int>(i), plane.frame.to_plane(seam.from),
                     plane.frame.to_plane(seam.to), inset});
  }
  const double free_inset = layout.nominal.half_width_m() + residual_m;
  const auto add_ring = [&](const Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
      if (norm(b - a) > 1e-9) add_border(plane, a, b, spans_on(a, b, seams), free_inset);
    }
  };
  add_ring(plane.region.outline);
  for (const Ring& hole : plane.region.holes) add_ring(hole);
}

/// A thing in which cables may lie does not keep them off what it stands against; of several
/// boards, none does.
bool holds_cables(const Layout& layout, const Sheet& sheet, const SheetKeepOut& keep_out) {
  constexpr double kSlack_m = 0.02;
  const auto is_in = [&](const Zone& zone) {
    if (zone.part < 0) return false;
    if (zone.part == keep_out.part) return true;
    const Role role = layout.room.roles[static_cast<std::size_t>(zone.part)].role;
    return is_hollow(keep_out.what) && is_hollow(role) &&
           std::all_of(keep_out.ring.begin(), keep_out.ring.end(), [&](const Vec2& corner) {
             return in_framed_box(zone.frame, zone.size, sheet.frame.to_world(corner), kSlack_m);
           });
  };
  return std::any_of(layout.room.zones.begin(), layout.room.zones.end(), is_in);
}

void add_keep_outs(const Layout& layout, const Sheet& sheet, TrackPlane& plane) {
  const double half_width = layout.nominal.half_width_m();
  for (const SheetKeepOut& keep_out : sheet.keep_outs) {
    PlaneKeepOut added;
    added.ring = moved_ring(keep_out.ring, sheet.frame, plane.frame);
    added.inset_m = keep_out.clearance_m + sheet.residual_m + half_width;
    added.name = keep_out.name.empty() ? std::string(to_string(keep_out.what)) : keep_out.name;
    added.open_inside = holds_cables(layout, sheet, keep_out);
    plane.keep_outs.push_back(added);
  }
}

/// The rectangle of the plane that lies before all corners of an upright prism; how far it is from
/// the plane, and how far it reaches.
Ring shadow_of(const TrackPlane& plane, const Ring& plan, double low_z_m, double high_z_m,
               double& low_n, double& high_n) {
  Box3 box;
  for (const Vec2& p : plan)
    for (const double z : {low_z_m, high_z_m}) box.add(plane.frame.to_local(Vec3{p.x, p.y, z}));
  low_n = box.low.z;
  high_n = box.high.z;
  return {{box.low.x, box.low.y},
          {box.high.x, box.low.y},
          {box.high.x, box.high.y},
          {box.low.x, box.high.y}};
}

/// What of the ring lies from `low` to `high` before an upright plane.
Ring clipped(Ring ring, const Frame& frame, double low, double high) {
  for (const double side : {1.0, -1.0}) {
    Ring kept;
    const auto height = [&](const Vec2& p) {
      const double n = frame.height(Vec3{p.x, p.y, frame.origin.z});
      return side > 0 ? n - low : high - n;
    };
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 p = ring[i], q = ring[(i + 1) % ring.size()];
      const double hp = height(p), hq = height(q);
      if (hp >= 0) kept.push_back(p);
      if ((hp < 0) != (hq < 0)) kept.push_back(p + (hp / (hp - hq)) * (q - p));
    }
    ring = std::move(kept);
  }
  return ring;
}

/// What a swept space takes of the plane, as a rectangle; empty if it keeps away from it.
Ring swept_shadow(const TrackPlane& plane, const Prism& space, double depth_m) {
  constexpr double kBefore_m = 0.001;
  Ring plan = space.plan;
  if (std::abs(plane.frame.n.z) < 1e-6) {
    plan = clipped(plan, plane.frame, kBefore_m, depth_m);
  } else if (plane.frame.n.z > 0.9999) {  // on a floor, its own plan
    const double base = plane.frame.origin.z;
    if (space.low_z_m > base + depth_m || space.high_z_m < base + kBefore_m) return {};
    Ring ring;
    for (const Vec2& p : space.plan) ring.push_back(plane.frame.to_plane(Vec3{p.x, p.y, base}));
    return ring;
  }
  if (plan.empty()) return {};
  double low_n = 0, high_n = 0;
  Ring shadow = shadow_of(plane, plan, space.low_z_m, space.high_z_m, low_n, high_n);
  if (low_n > depth_m || high_n < kBefore_m) return {};
  return shadow;
}

/// Where things move and people walk, nothing may be fixed.
void add_swept(const Layout& layout, TrackPlane& plane) {
  for (const Swept& swept : layout.room.swept) {
    PlaneKeepOut added;
    added.ring = swept_shadow(plane, swept.space, layout.nominal.depth_m);
    if (added.ring.empty()) continue;
    added.inset_m = layout.nominal.half_width_m();
    added.name = "the space " + swept.name;
    plane.keep_outs.push_back(added);
  }
}

}  // namespace

const Sheet& sheet_of(const Layout& layout, int index) {
  return layout.room.sheets[static_cast<std::size_t>(index)];
}

int sheet_index(const TrackPlane& plane) {
  return plane.home.kind == PlaceKind::sheet ? plane.home.index : -1;
}

void add_sheet_planes(Layout& layout) {
  for (std::size_t i = 0; i < layout.room.sheets.size(); ++i) {
    const Sheet& sheet = layout.room.sheets[i];
    if (!carries_tracks(layout, sheet)) continue;
    TrackPlane plane;
    plane.home = {PlaceKind::sheet, static_cast<int>(i)};
    plane.layer = std::max(0, sheet.front_air);
    plane.frame = track_frame(sheet, layout.nominal.stand_off_m());
    plane.region.outline = simplified(moved_ring(sheet.region.outline, sheet.frame, plane.frame),
                                      sheet.residual_m + kSimplify_m);
    for (const Ring& hole : sheet.region.holes)
      plane.region.holes.push_back(moved_ring(hole, sheet.frame, plane.frame));
    plane.visible = sheet.visible * (sheet.role == SheetRole::floor ? kSeenOnFloor : 1);
    add_borders(layout, plane, sheet.residual_m);
    add_keep_outs(layout, sheet, plane);
    add_swept(layout, plane);
    layout.plane_of_sheet[static_cast<int>(i)] = static_cast<int>(layout.planes.size());
    layout.planes.push_back(std::move(plane));
  }
}

}  // namespace roomloom::tracks
