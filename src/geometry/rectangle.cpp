#include "geometry/rectangle.h"

#include <algorithm>

namespace roomloom {
namespace {

double turn(const Vec2& a, const Vec2& b, const Vec2& c) { return cross(b - a, c - a); }

}  // namespace

void Box2::add(const Vec2& p) {
  low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  high = {std::max(high.x, p.x), std::max(high.y, p.y)};
}

bool Box2::overlaps(const Box2& b) const {
  return low.x <= b.high.x && b.low.x <= high.x && low.y <= b.high.y && b.low.y <= high.y;
}

Ring convex_hull(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  Ring hull;
  const auto extend = [&hull](const Vec2& p, std::size_t floor) {
    while (hull.size() >= floor + 2 && turn(hull[hull.size() - 2], hull.back(), p) <= 0)
      hull.pop_back();
    hull.push_back(p);
  };
  for (const Vec2& p : points) extend(p, 0);
  const std::size_t lower = hull.size() - 1;
  for (auto p = points.rbegin() + 1; p != points.rend(); ++p) extend(*p, lower);
  hull.pop_back();
  return hull;
}

TurnedRectangle least_rectangle(std::vector<Vec2> points) {
  const Ring hull = convex_hull(std::move(points));
  TurnedRectangle best;
  double least = Box3::kInf;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 edge = hull[(i + 1) % hull.size()] - hull[i];
    TurnedRectangle one;
    if (norm(edge) > 1e-9) one.u = (1 / norm(edge)) * edge;
    for (const Vec2& p : hull) one.box.add({dot(p, one.u), dot(p, one.v())});
    const Vec2 size = one.box.high - one.box.low;
    if (size.x * size.y + 1e-9 * (size.x + size.y) >= least - 1e-12) continue;
    least = size.x * size.y + 1e-9 * (size.x + size.y);
    best = one;
  }
  return best;
}

}  // namespace roomloom
