#pragma once

#include <utility>
#include <vector>

#include "base/vec.h"
#include "geometry/polygon.h"

namespace roomloom {

/// An upright prism over a ring of the room's x and y. Metres, room frame.
struct Prism {
  Ring plan;
  double low_z_m = 0, high_z_m = 0;
};

Prism prism_of(const Box3& box);
Box3 box_of(const Prism& prism);
bool contains(const Prism& prism, const Vec3& p);
/// The pieces [t0, t1] of a -> b that lie in the prism. Sorted, disjoint.
std::vector<std::pair<double, double>> inside_pieces(const Prism& prism, const Vec3& a,
                                                     const Vec3& b);
/// A quarter circle, or what else `swing_rad` makes of it, that a leaf sweeps which hinges at
/// `hinge` and lies shut along `shut` (its length is the leaf's): from there toward `into`, square
/// to `shut`. Arcs are circumscribed, so that nothing the leaf reaches lies outside. A ring.
Ring leaf_sector(const Vec2& hinge, const Vec2& shut, const Vec2& into, double swing_rad);

}  // namespace roomloom
