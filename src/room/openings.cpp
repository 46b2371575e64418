#include <algorithm>
#include <cmath>

#include "room/airs.h"

namespace roomloom {
namespace {

constexpr double kWidest = 5.0, kLargest = 14.0;

// Everything from the polygons down to `bottom`.
Region down_to(const Region& region, double bottom) {
  Region quads;
  for (const Ring& ring : region) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec2 &a = ring[i], &b = ring[(i + 1) % ring.size()];
      if (std::abs(a.x - b.x) < 1e-6) continue;
      quads.push_back({a, b, {b.x, bottom}, {a.x, bottom}});
    }
  }
  return united(quads);
}

// Wall on the left and on the right, at two heights.
bool bounded_at_sides(const Polygon& opening, const Region& wall) {
  const Box2 box = box_of(opening.outline);
  for (const double part : {0.35, 0.8}) {
    const double y = box.low.y + part * (box.high.y - box.low.y);
    const Vec2 a{box.low.x - 1, y}, b{box.high.x + 1, y};
    const auto pieces = inside_pieces(opening, a, b);
    if (pieces.empty()) return false;
    const double left = a.x + pieces.front().first * (b.x - a.x) - 0.03;
    const double right = a.x + pieces.back().second * (b.x - a.x) + 0.03;
    if (!contains(wall, {left, y}) || !contains(wall, {right, y})) return false;
  }
  return true;
}

Region of_role(const Plane& plane, const std::vector<PartRole>& roles, Role role) {
  Region region;
  for (const PlaneMember& member : plane.members)
    if (roles[static_cast<std::size_t>(member.part)].role == role)
      region.insert(region.end(), member.region.begin(), member.region.end());
  return region.empty() ? region : united(Region{}, region);
}

void add_wall_openings(int index, const Region& wall, std::vector<Opening>& openings) {
  const double bottom = box_of(wall).low.y;
  const Region gaps = opened(without(down_to(wall, bottom), wall), 0.01);
  for (const Polygon& gap : polygons(gaps)) {
    const Box2 box = box_of(gap.outline);
    if (box.high.x - box.low.x > kWidest || area(gap) > kLargest) continue;
    if (!bounded_at_sides(gap, wall)) continue;
    openings.push_back({index, region_of(gap), box.low.y < bottom + 0.02});
  }
}

void add_ceiling_gaps(int index, const Region& ceiling, std::vector<Opening>& openings) {
  Region filled;
  for (const Ring& ring : ceiling)
    if (signed_area(ring) > 0) filled.push_back(ring);
  const Region gaps = opened(without(united(filled), ceiling), 0.005);
  for (const Polygon& gap : polygons(gaps)) openings.push_back({index, region_of(gap), false});
}

}  // namespace

std::vector<Opening> openings_of(const std::vector<Plane>& planes,
                                 const std::vector<PartRole>& roles) {
  std::vector<Opening> openings;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    const Plane& plane = planes[i];
    if (std::abs(plane.frame.n.z) < 0.3) {
      const Region wall = closed(of_role(plane, roles, Role::wall), 0.005);
      if (area(wall) >= 0.5) add_wall_openings(static_cast<int>(i), wall, openings);
    } else if (std::abs(plane.frame.n.z) > 0.985) {
      const Region tiles = closed(of_role(plane, roles, Role::suspended_ceiling), 0.02);
      if (area(tiles) >= 0.5) add_ceiling_gaps(static_cast<int>(i), tiles, openings);
    }
  }
  return openings;
}

std::vector<Opening> fitted_planes(const std::vector<Plane>& planes, double reach_m) {
  constexpr double kSmallest_m2 = 1;  // furniture closes no room
  std::vector<Opening> whole;
  for (std::size_t i = 0; i < planes.size(); ++i) {
    if (!planes[i].fitted || area(planes[i].region) < kSmallest_m2) continue;
    whole.push_back({static_cast<int>(i), grown(planes[i].region, reach_m), false});
  }
  return whole;
}

}  // namespace roomloom
