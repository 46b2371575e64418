#pragma once

#include <vector>

#include "geometry/polygon.h"

namespace roomloom {

struct Box2 {
  Vec2 low{Box3::kInf, Box3::kInf}, high{-Box3::kInf, -Box3::kInf};
  void add(const Vec2& p);
  Box2 grown(double by) const { return {low - Vec2{by, by}, high + Vec2{by, by}}; }
  bool overlaps(const Box2& b) const;
  bool empty() const { return low.x > high.x; }
};

/// The least convex ring that holds all points; they themselves where there are fewer than three.
Ring convex_hull(std::vector<Vec2> points);

/// A rectangle that need not lie along x and y: `box` is measured along u and, across, along u
/// turned left.
struct TurnedRectangle {
  Vec2 u{1, 0};
  Box2 box;

  Vec2 v() const { return {-u.y, u.x}; }
};

/// The rectangle of least area that holds all points, of several the first along the hull; an
/// empty box for none. One of its sides lies on a side of the hull.
TurnedRectangle least_rectangle(std::vector<Vec2> points);

}  // namespace roomloom
