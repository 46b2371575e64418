#include <algorithm>
#include <cmath>
#include <limits>

#include "tracks/layout.h"

// Coordinates of tracks. Each plane has two families of parallel tracks; families of planes that
// meet at a seam are one, so that a track goes on from wall to wall. Within a family, wishes closer
// than the merge tolerance become one track: the more important wish gives it its place.

namespace roomloom::tracks {
namespace {

/// Family coordinate = scale * local + offset.
struct Member {
  int family = -1;
  double scale = 1, offset = 0;
};
using Members = std::vector<std::array<Member, 2>>;

/// How a plane's coordinate runs along a seam: local = start + slope * (metres along the seam).
struct AlongSeam {
  int direction = -1;
  double start = 0, slope = 0;
};

AlongSeam along_seam(const TrackPlane& plane, const Seam& seam) {
  const Vec3 t = normalized(seam.to - seam.from);
  const Vec2 start = plane.frame.to_plane(seam.from);
  const double su = dot(t, plane.frame.u), sv = dot(t, plane.frame.v);
  if (std::max(std::abs(su), std::abs(sv)) < 0.5) return {};
  if (std::abs(su) >= std::abs(sv)) return {0, start.x, su};
  return {1, start.y, sv};
}

struct Link {
  int plane_a, direction_a, plane_b, direction_b;
  double scale, offset;  ///< local_b = scale * local_a + offset
};

std::vector<Link> find_links(const Layout& layout) {
  std::vector<Link> links;
  for (const Seam& seam : layout.room.seams) {
    const auto a = layout.plane_of_sheet.find(seam.a), b = layout.plane_of_sheet.find(seam.b);
    if (a == layout.plane_of_sheet.end() || b == layout.plane_of_sheet.end()) continue;
    if (a == b || distance(seam.from, seam.to) < 0.05) continue;
    const AlongSeam at_a = along_seam(layout.planes[static_cast<std::size_t>(a->second)], seam);
    const AlongSeam at_b = along_seam(layout.planes[static_cast<std::size_t>(b->second)], seam);
    if (at_a.direction < 0 || at_b.direction < 0) continue;
    const double scale = at_b.slope / at_a.slope;
    links.push_back({a->second, at_a.direction, b->second, at_b.direction, scale,
                     at_b.start - scale * at_a.start});
  }
  for (const auto& [index, planes] : layout.planes_of_void)
    for (std::size_t i = 1; i < planes.size(); ++i)
      for (int direction = 0; direction < 2; ++direction)
        links.push_back({planes[0], direction, planes[i], direction, 1, 0});
  return links;
}

void spread_family(const std::vector<Link>& links, Members& members, int plane, int direction) {
  std::vector<std::pair<int, int>> open = {{plane, direction}};
  while (!open.empty()) {
    const auto [p, d] = open.back();
    open.pop_back();
    const Member here = members[static_cast<std::size_t>(p)][static_cast<std::size_t>(d)];
    for (const Link& link : links) {
      const bool forward = link.plane_a == p && link.direction_a == d;
      const bool backward = link.plane_b == p && link.direction_b == d;
      if (!forward && !backward) continue;
      const int q = forward ? link.plane_b : link.plane_a;
      const int e = forward ? link.direction_b : link.direction_a;
      Member& there = members[static_cast<std::size_t>(q)][static_cast<std::size_t>(e)];
      if (there.family >= 0) continue;
      there.family = here.family;
      // forward: local_there = s * local_here + o, hence local_here = (local_there - o) / s.
      const double s = forward ? 1 / link.scale : link.scale;
      const double o = forward ? -link.offset / link.scale : link.offset;
      there.scale = here.scale * s;
      there.offset = here.scale * o + here.offset;
      open.emplace_back(q, e);
    }
  }
}

Members find_families(const Layout& layout, int& count) {
  Members members(layout.planes.size());
  const std::vector<Link> links = find_links(layout);
  count = 0;
  for (std::size_t p = 0; p < members.size(); ++p)
    for (int d = 0; d < 2; ++d) {
      Member& member = members[p][static_cast<std::size_t>(d)];
      if (member.family >= 0) continue;
      member = {count++, 1, 0};
      spread_family(links, members, static_cast<int>(p), d);
    }
  return members;
}

void demand_seams(const TrackPlane& plane, int index, std::vector<Demand>& demands) {
  for (const SeamLine& seam : plane.seam_lines) {
    if (!seam.is_track) continue;
    const Vec2 along = seam.b - seam.a;
    const double length = norm(along);
    if (std::abs(along.x) < 0.001 * length)
      demands.push_back({index, 0, 0.5 * (seam.a.x + seam.b.x), 0, 0});
    if (std::abs(along.y) < 0.001 * length)
      demands.push_back({index, 1, 0.5 * (seam.a.y + seam.b.y), 0, 0});
  }
}

/// Beside free borders: where a wall ends at nothing, and at outside corners.
void demand_borders(const Layout& layout, const TrackPlane& plane, int index,
                    std::vector<Demand>& demands) {
  for (const Border& border : plane.borders) {
    const Vec2 along = border.b - border.a;
    const double length = norm(along);
    if (border.seam >= 0 && border.inset_m > 0) continue;
    const double inset = border.seam >= 0 ? layout.nominal.half_width_m() : border.inset_m;
    const Vec2 inward{-along.y / length, along.x / length};  // outlines run counter-clockwise
    if (std::abs(along.x) < 0.05 * length) {
      const int side = inward.x > 0 ? 1 : -1;
      demands.push_back({index, 0, 0.5 * (border.a.x + border.b.x) + side * inset, 1, side});
    } else if (std::abs(along.y) < 0.05 * length) {
      const int side = inward.y > 0 ? 1 : -1;
      demands.push_back({index, 1, 0.5 * (border.a.y + border.b.y) + side * inset, 1, side});
    }
  }
}

void demand_keep_outs(const TrackPlane& plane, int index, std::vector<Demand>& demands) {
  for (const PlaneKeepOut& keep_out : plane.keep_outs) {
    const auto [low, high] = extent(keep_out.ring);
    demands.push_back({index, 0, low.x - keep_out.inset_m, 2, -1});
    demands.push_back({index, 0, high.x + keep_out.inset_m, 2, 1});
    demands.push_back({index, 1, low.y - keep_out.inset_m, 2, -1});
    demands.push_back({index, 1, high.y + keep_out.inset_m, 2, 1});
  }
}

int priority_of(const Anchor& anchor) {
  if (anchor.end < 0) return 3;
  return anchor.alternative < 0 ? 4 : 5;
}

void demand_anchors(const Layout& layout, const TrackPlane& plane, int index,
                    std::vector<Demand>& demands) {
  for (const Anchor& anchor : layout.anchors) {
    if (anchor.home != plane.home) continue;
    const int priority = priority_of(anchor);
    if (priority == 5 && layout.coarseness > 0) continue;
    const Vec2 at = plane.frame.to_plane(anchor.position);
    demands.push_back({index, 0, at.x, priority, 0});
    demands.push_back({index, 1, at.y, priority, 0});
  }
  for (const ChosenHole& hole : layout.holes)
    if (hole.wall_plane == index)
      demands.push_back({index, 0, plane.frame.to_plane(hole.mouth).x, 3, 0});
}

/// Along the straight pieces of a path that a run is wanted on, where they lie at this plane.
void demand_ways(const Layout& layout, const TrackPlane& plane, int index,
                 std::vector<Demand>& demands) {
  constexpr double kAtSheet_m = 0.15, kAtLayer_m = 0.3, kStraight = 0.1;
  const double reach = sheet_index(plane) >= 0 ? kAtSheet_m : kAtLayer_m;
  for (const RunSpec& run : layout.job.runs)
    for (std::size_t i = 1; i < run.way.size(); ++i) {
      const Vec3 a = plane.frame.to_local(run.way[i - 1]), b = plane.frame.to_local(run.way[i]);
      if (std::max(std::abs(a.z), std::abs(b.z)) > reach) continue;
      const double du = std::abs(b.x - a.x), dv = std::abs(b.y - a.y);
      if (du < kStraight * dv) demands.push_back({index, 0, 0.5 * (a.x + b.x), 3, 0});
      if (dv < kStraight * du) demands.push_back({index, 1, 0.5 * (a.y + b.y), 3, 0});
    }
}

/// A zone against a sheet wants a way up its middle, along both its sides and along its top.
void demand_zones(const Layout& layout, const TrackPlane& plane, int index,
                  std::vector<Demand>& demands) {
  if (sheet_index(plane) < 0) return;
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    if (is_floor_zone(layout, static_cast<int>(z))) continue;
    const Zone& zone = layout.ends.zones[z];
    Vec3 low{1e30, 1e30, 1e30}, high{-1e30, -1e30, -1e30};
    for (int i = 0; i < 8; ++i) {
      const Vec3 corner = plane.frame.to_local(zone.frame.to_world(
          Vec3{(i & 1) * zone.size.x, (i / 2 & 1) * zone.size.y, (i / 4 & 1) * zone.size.z}));
      for (int axis = 0; axis < 3; ++axis) {
        low[axis] = std::min(low[axis], corner[axis]);
        high[axis] = std::max(high[axis], corner[axis]);
      }
    }
    if (low.z > 0.001 || high.z < -0.001) continue;
    const double inset = layout.nominal.half_width_m();
    demands.push_back({index, 0, 0.5 * (low.x + high.x), 3, 0});
    if (layout.coarseness > 1) continue;
    demands.push_back({index, 0, low.x + inset, 6, 0});
    demands.push_back({index, 0, high.x - inset, 6, 0});
    demands.push_back({index, 1, high.y - inset, 6, 0});
  }
}

/// Beside a power line, as far off as the rule asks.
void demand_power(const Layout& layout, const TrackPlane& plane, int index,
                  std::vector<Demand>& demands) {
  if (layout.coarseness > 1) return;
  for (const PowerLine& power : layout.room.power) {
    const Vec3 a = plane.frame.to_local(power.from), b = plane.frame.to_local(power.to);
    const double reach = power.separation_m + power.half_size_m;
    const double away = std::max(0.0, std::max(std::min(a.z, b.z), -std::max(a.z, b.z)));
    if (away >= reach) continue;
    const double off = std::sqrt(reach * reach - away * away) + 0.0005;
    const Vec3 along = b - a;
    for (int direction = 0; direction < 2; ++direction) {
      if (std::abs(along[direction]) > 0.5 * norm(along)) continue;
      demands.push_back({index, direction, std::max(a[direction], b[direction]) + off, 6, 1});
      demands.push_back({index, direction, std::min(a[direction], b[direction]) - off, 6, -1});
    }
  }
}

std::vector<Demand> collect_demands(const Layout& layout) {
  std::vector<Demand> demands;
  for (std::size_t p = 0; p < layout.planes.size(); ++p) {
    const TrackPlane& plane = layout.planes[p];
    const int index = static_cast<int>(p);
    demand_seams(plane, index, demands);
    if (sheet_index(plane) >= 0) demand_borders(layout, plane, index, demands);
    demand_keep_outs(plane, index, demands);
    demand_anchors(layout, plane, index, demands);
    demand_zones(layout, plane, index, demands);
    demand_ways(layout, plane, index, demands);
    demand_power(layout, plane, index, demands);
  }
  std::stable_sort(demands.begin(), demands.end(),
                   [](const Demand& x, const Demand& y) { return x.priority < y.priority; });
  return demands;
}

struct Accepted {
  double value = 0;
  int priority = 0, side = 0;
  int plane = -1;                   ///< -1: for every plane of the family
  bool fixed = false;               ///< something wants it just there
  double low = -1e30, high = 1e30;  ///< where it may be moved to for all that it serves

  void keep_to(double border, int open_side) {
    if (open_side > 0) low = std::max(low, border);
    if (open_side < 0) high = std::min(high, border);
  }
};

constexpr double kSame_m = 1e-5;  ///< what rounding leaves of round measures that are the same

/// Ends ask for tracks in every plane their family reaches, so that a run may keep its height from
/// wall to wall; everything else asks for them in its own plane.
int scope_of(const Demand& demand) { return demand.priority == 4 ? -1 : demand.plane; }

/// Whether `demand` is served by a track already accepted. A track that only keeps off something
/// is moved to where an end or a hole wants it, so that no leg of some millimetres is left.
bool served(std::vector<Accepted>& accepted, const Demand& demand, double value, int side,
            double tolerance) {
  for (Accepted& track : accepted) {
    if (track.plane >= 0 && track.plane != demand.plane) continue;
    const double off = track.value - value;
    if (std::abs(off) < kSame_m) return true;
    if (std::abs(off) >= tolerance - kSame_m) continue;
    if (side == 0 || off * side > 0) {
      track.keep_to(value, side);
      if (side == 0 && !track.fixed && value >= track.low && value <= track.high) {
        track.value = value;
        track.fixed = true;
      }
      return true;
    }
    if (track.side == side && track.priority == demand.priority && !track.fixed &&
        value >= track.low && value <= track.high) {
      track.value = value;
      track.keep_to(value, side);
      return true;
    }
  }
  return false;
}

/// The tracks of one plane: its own, and the family's where none of its own is near.
std::vector<double> values_of(const std::vector<Accepted>& family, const Member& member, int plane,
                              double tolerance) {
  std::vector<double> values;
  const auto local = [&](double value) { return (value - member.offset) / member.scale; };
  for (const Accepted& track : family)
    if (track.plane == plane) values.push_back(local(track.value));
  const std::size_t own = values.size();
  for (const Accepted& track : family) {
    if (track.plane >= 0) continue;
    const double value = local(track.value);
    const bool near =
        std::any_of(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(own),
                    [&](double other) { return std::abs(other - value) < tolerance - kSame_m; });
    if (!near) values.push_back(value);
  }
  std::sort(values.begin(), values.end());
  return values;
}

}  // namespace

void settle_demands(Layout& layout) {
  int count = 0;
  const Members members = find_families(layout, count);
  std::vector<std::vector<Accepted>> accepted(static_cast<std::size_t>(count));
  for (const Demand& demand : collect_demands(layout)) {
    const Member& member =
        members[static_cast<std::size_t>(demand.plane)][static_cast<std::size_t>(demand.direction)];
    std::vector<Accepted>& family = accepted[static_cast<std::size_t>(member.family)];
    const double value = member.scale * demand.value + member.offset;
    const int side = member.scale < 0 ? -demand.side : demand.side;
    const double tolerance = demand.priority == 0 ? 0.001 : layout.tolerance_m;
    if (served(family, demand, value, side, tolerance * std::abs(member.scale))) continue;
    family.push_back({value, demand.priority, side, scope_of(demand), side == 0});
    family.back().keep_to(value, side);
  }
  for (std::size_t p = 0; p < layout.planes.size(); ++p)
    for (std::size_t d = 0; d < 2; ++d) {
      const Member& member = members[p][d];
      layout.planes[p].values[d] = values_of(accepted[static_cast<std::size_t>(member.family)],
                                             member, static_cast<int>(p), layout.tolerance_m);
    }
}

}  // namespace roomloom::tracks
