#pragma once

#include <vector>

#include "sketch/plan.h"
#include "sketch/polyhedra.h"

namespace roomloom {

/// Smaller pieces of a ceiling are none.
constexpr double kLeastPiece_m2 = 1e-4;

/// Where the planes are at least `height_m` above the floor: pieces of the rings. Metres.
std::vector<Ring> under_slopes(const std::vector<Ring>& rings,
                               const std::vector<CeilingPlane>& planes, double height_m);

/// The slab over a plan between two heights, cut off by the planes above where they come lower: it
/// meets a slope with a bevelled edge. The planes are nowhere below `low_m`; holes lie where they
/// are not below `high_m`.
Faces slab_under(const Polygon& plan, double low_m, double high_m,
                 const std::vector<CeilingPlane>& planes);

}  // namespace roomloom
