#pragma once

#include <span>
#include <vector>

#include "base/vec.h"

namespace roomloom {

using Ring = std::vector<Vec2>;  ///< closed implicitly: the last point joins the first

/// A planar region: one outline, counter-clockwise, and holes, clockwise. Metres in a frame's u, v.
struct Polygon {
  Ring outline;
  std::vector<Ring> holes;
};

/// Positive when counter-clockwise. Square metres.
double signed_area(std::span<const Vec2> ring);
/// Area of the outline less its holes.
double area(const Polygon& polygon);
/// Point in ring by winding; points on the border may go either way.
bool contains(std::span<const Vec2> ring, const Vec2& p);
/// In the outline and in none of the holes.
bool contains(const Polygon& polygon, const Vec2& p);
/// Distance to the nearest border point of the outline or a hole; never negative.
double border_distance(const Polygon& polygon, const Vec2& p);
double segment_distance(const Vec2& p, const Vec2& a, const Vec2& b);
/// Parameters t in [0, 1] along a -> b at which it crosses the ring's edges, sorted.
std::vector<double> crossings(std::span<const Vec2> ring, const Vec2& a, const Vec2& b);
/// The pieces [t0, t1] of a -> b that lie inside the polygon and at least `margin` from its border
/// measured along the segment only. Sorted, disjoint.
std::vector<std::pair<double, double>> inside_pieces(const Polygon& polygon, const Vec2& a,
                                                     const Vec2& b);
/// Douglas-Peucker on a closed ring; keeps at least three points.
Ring simplified(std::span<const Vec2> ring, double tolerance_m);
/// Centroid of the outline, ignoring holes.
Vec2 centroid(std::span<const Vec2> ring);
/// The direction that most of the ring's length follows, modulo a quarter turn. Unit.
Vec2 main_direction(std::span<const Vec2> ring);
/// A point well inside: the centroid if it is inside, else the middle of the longest inner chord.
Vec2 interior_point(const Polygon& polygon);

}  // namespace roomloom
