#pragma once

#include <span>
#include <vector>

#include "geometry/polygon.h"
#include "geometry/rectangle.h"

namespace roomloom {

/// Any number of polygons in one plane, as disjoint rings: outlines counter-clockwise, holes
/// clockwise. Metres; exact to a micrometre.
using Region = std::vector<Ring>;

/// Where any of the rings lies, whichever way they turn.
Region united(const Region& rings);
Region united(const Region& a, const Region& b);
Region without(const Region& a, const Region& b);
Region common(const Region& a, const Region& b);
/// Every border moved outwards by `by` (inwards if negative), corners kept sharp.
Region grown(const Region& region, double by_m);
/// Gaps up to 2 * by are filled, other borders stay where they are.
Region closed(const Region& region, double by_m);
/// Slivers narrower than 2 * by vanish, other borders stay where they are.
Region opened(const Region& region, double by_m);
/// The part of the region to the left of the line through `a` toward `b`.
Region left_of(const Region& region, const Vec2& a, const Vec2& b);
/// Sorted into outlines with their holes, largest first.
std::vector<Polygon> polygons(const Region& region);
Region region_of(const Polygon& polygon);
double area(const Region& region);
bool contains(const Region& region, const Vec2& p);
/// Points nearly on a line with their neighbours left out.
Region simplified(const Region& region, double tolerance_m);
Ring rectangle_ring(const Vec2& low, const Vec2& high);
Box2 box_of(std::span<const Vec2> ring);
Box2 box_of(const Region& region);

}  // namespace roomloom
