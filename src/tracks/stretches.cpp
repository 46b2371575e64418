#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "tracks/layout.h"
#include "trade/separation.h"

// What becomes of stretches once they are drawn: those in hidden places lie bare, those beside
// mains are closed to signals, those where a door swings are dropped.

namespace roomloom::tracks {
namespace {

constexpr double kParallel = kPi / 6;  ///< within this of parallel, separation applies
constexpr double kSlack_m = 1e-5;
constexpr double kBeside_m = 0.0005;  ///< this near its edge, what moves does not touch a cable

const Vec3& at(const Layout& layout, int p) {
  return layout.draft.points[static_cast<std::size_t>(p)].position;
}

/// The parameters at which a -> b enters and leaves the box; false when it misses it.
bool box_span(const Vec3& a, const Vec3& b, const Vec3& low, const Vec3& high, double& t0,
              double& t1) {
  t0 = 0;
  t1 = 1;
  for (int axis = 0; axis < 3; ++axis) {
    const double step = b[axis] - a[axis];
    if (std::abs(step) < 1e-12) {
      if (a[axis] < low[axis] || a[axis] > high[axis]) return false;
      continue;
    }
    const double ta = (low[axis] - a[axis]) / step, tb = (high[axis] - a[axis]) / step;
    t0 = std::max(t0, std::min(ta, tb));
    t1 = std::min(t1, std::max(ta, tb));
  }
  return t0 < t1;
}

bool zone_span(const Zone& zone, const Vec3& a, const Vec3& b, double& t0, double& t1) {
  return box_span(zone.frame.to_local(a), zone.frame.to_local(b), {0, 0, 0}, zone.size, t0, t1);
}

double power_reach(const PowerLine& power) { return power.separation_m + power.half_size_m; }

bool runs_along(const PowerLine& power, const Vec3& a, const Vec3& b) {
  const double c = std::abs(dot(normalized(b - a), normalized(power.to - power.from)));
  return c > std::cos(kParallel);
}

/// In a zone this small a signal cable only passes mains by: from within it lies beside them for
/// less than what counts as alongside. Otherwise gear whose ports are near mains could not be
/// reached at all.
bool only_passes_by(const Layout& layout, const Stretch& stretch, const PowerLine& power) {
  if (stretch.home.kind != PlaceKind::zone) return false;
  const Zone& zone = layout.ends.zones[static_cast<std::size_t>(stretch.home.index)];
  const Vec3 along = normalized(power.to - power.from);
  const double reach_m = std::abs(dot(zone.frame.u, along)) * zone.size.x +
                         std::abs(dot(zone.frame.v, along)) * zone.size.y +
                         std::abs(dot(zone.frame.n, along)) * zone.size.z;
  return reach_m < trade::kAlongside_m + kSlack_m;
}

/// Distance from a point that moves along a line to a segment is convex: the part nearer than
/// `reach` is one interval, found by halving on either side of the nearest point.
bool power_span(const PowerLine& power, const Vec3& a, const Vec3& b, double& t0, double& t1) {
  const auto away = [&](double t) {
    return point_segment_distance(a + t * (b - a), power.from, power.to);
  };
  const double reach = power_reach(power) - kSlack_m;
  double low = 0, high = 1;
  for (int i = 0; i < 60; ++i) {
    const double p = low + (high - low) / 3, q = high - (high - low) / 3;
    (away(p) < away(q) ? high : low) = away(p) < away(q) ? q : p;
  }
  const double nearest = 0.5 * (low + high);
  if (away(nearest) >= reach) return false;
  const auto edge = [&](double inside, double outside) {
    if (away(outside) < reach) return outside;
    for (int i = 0; i < 50; ++i) {
      const double middle = 0.5 * (inside + outside);
      (away(middle) < reach ? inside : outside) = middle;
    }
    return outside;
  };
  t0 = edge(nearest, 0);
  t1 = edge(nearest, 1);
  return true;
}

/// Whether something moves where the stretch lies, and not just beside it. Ways over the floor
/// cross walkways: only those that the job allows are declared.
bool in_swept(const Layout& layout, const Stretch& stretch, const Vec3& a, const Vec3& b) {
  const bool over_floor =
      stretch.home.kind == PlaceKind::zone && is_floor_zone(layout, stretch.home.index);
  const auto meets = [&](const Swept& swept) {
    if (over_floor && swept.kind == MovingKind::walkway) return false;
    double inside = 0;
    for (const auto& [t0, t1] : inside_pieces(swept.space, a, b)) {
      const Vec3 middle = a + 0.5 * (t0 + t1) * (b - a);
      if (border_distance({swept.space.plan, {}}, {middle.x, middle.y}) > kBeside_m)
        inside += t1 - t0;
    }
    return inside * distance(a, b) > 0.001;
  };
  return std::any_of(layout.room.swept.begin(), layout.room.swept.end(), meets);
}

/// Every service that a power cable may disturb.
std::uint32_t signals() {
  std::uint32_t bits = 0;
  for (int i = 0; i < kServiceCount; ++i) bits |= 1U << static_cast<unsigned>(i);
  return bits & ~service_bit(Service::mains) & ~service_bit(Service::fibre);
}

double distance_to(const Zone& zone, const Vec3& p) {
  const Vec3 local = zone.frame.to_local(p);
  Vec3 away;
  for (int axis = 0; axis < 3; ++axis)
    away[axis] = std::max({0.0, -local[axis], local[axis] - zone.size[axis]});
  return norm(away);
}

/// Whether the stretch leads from the zone straight to an edge of its sheet that is no farther than
/// a hand's breadth, as from behind a curtain to the ceiling: no raceway is bought for so little.
bool bridges_gap(const Layout& layout, const Stretch& stretch, const Zone& zone, Vec3 a, Vec3 b) {
  constexpr double kHand_m = 0.12, kStraight = 0.99, kTouch_m = 1e-4;
  if (stretch.home.kind != PlaceKind::sheet) return false;
  if (distance_to(zone, a) > distance_to(zone, b)) std::swap(a, b);
  const double before = distance_to(zone, a), after = distance_to(zone, b);
  if (after > kHand_m || after - before < kStraight * distance(a, b)) return false;
  const Vec3 way = normalized(b - a);
  const Sheet& sheet = sheet_of(layout, stretch.home.index);
  const Vec3 beyond = a + (kHand_m + kTouch_m - before) * way;
  return !contains(sheet.region, sheet.frame.to_plane(beyond));
}

void hide(const Layout& layout, Stretch& stretch, const Vec3& a, const Vec3& b) {
  const Vec3 middle = 0.5 * (a + b);
  for (std::size_t z = 0; z < layout.ends.zones.size(); ++z) {
    if (is_floor_zone(layout, static_cast<int>(z))) continue;
    const Zone& zone = layout.ends.zones[z];
    const Vec3 local = zone.frame.to_local(middle);
    bool inside = true;
    for (int axis = 0; axis < 3; ++axis)
      inside = inside && local[axis] > -1e-6 && local[axis] < zone.size[axis] + 1e-6;
    if (!inside) {
      if (stretch.medium == Medium::raceway && zone.visible <= 0 &&
          bridges_gap(layout, stretch, zone, a, b))
        stretch.medium = Medium::bare;
      continue;
    }
    stretch.visible_weight *= zone.visible;
    if (stretch.medium == Medium::raceway && zone.visible <= 0) stretch.medium = Medium::bare;
  }
}

}  // namespace

void cut_lines(Layout& layout) {
  std::vector<std::pair<int, Vec3>> cuts;
  for (const GraphDraft::Line& line : layout.draft.lines) {
    double t0 = 0, t1 = 0;
    const auto cut = [&](double t) {
      if (t > 0 && t < 1) cuts.emplace_back(line.layer, line.from + t * (line.to - line.from));
    };
    for (std::size_t z = 0; z < layout.ends.zones.size(); ++z)
      if (!is_floor_zone(layout, static_cast<int>(z)) &&
          zone_span(layout.ends.zones[z], line.from, line.to, t0, t1)) {
        cut(t0);
        cut(t1);
      }
    for (const PowerLine& power : layout.room.power)
      if (runs_along(power, line.from, line.to) && power_span(power, line.from, line.to, t0, t1)) {
        cut(t0);
        cut(t1);
      }
  }
  for (const auto& [layer, position] : cuts) layout.draft.point(layer, position);
}

void decorate(Layout& layout) {
  for (Stretch& stretch : layout.draft.stretches) {
    const Vec3 a = at(layout, stretch.a), b = at(layout, stretch.b);
    if (in_swept(layout, stretch, a, b)) {
      stretch.alive = false;
      continue;
    }
    hide(layout, stretch, a, b);
    if (distance(a, b) < 1e-6) continue;
    for (const PowerLine& power : layout.room.power)
      if (runs_along(power, a, b) && !only_passes_by(layout, stretch, power) &&
          segment_distance(a, b, power.from, power.to) < power_reach(power) - 2 * kSlack_m)
        stretch.closed_to |= signals();
  }
}

}  // namespace roomloom::tracks
