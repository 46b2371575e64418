#pragma once

#include <array>
#include <functional>
#include <vector>

#include "base/vec.h"

namespace roomloom {

/// Offsets to choose from: all sums of one coordinate along each of three axes square to each
/// other.
struct OffsetLattice {
  std::array<Vec3, 3> axes;
  std::array<std::vector<double>, 3> coordinates_m;  ///< ascending, none empty
};

/// A straight stretch of a way, or one on which the way may step aside: where a raceway changes its
/// size, or between a raceway and a hole.
struct Stretch {
  Vec3 direction;
  bool steps_aside = false;
};

/// What a straight stretch costs in a lane of that offset; only the part of the offset that is
/// square to the stretch matters where the stretch lies along an axis of the lattice.
using StraightCost = std::function<double(std::size_t straight, const Vec3& offset)>;

/// The cheapest offsets at the corners of a way made of straight stretches.
///
/// A stretch keeps its offset square to itself, so the offsets at its two ends may differ by a step
/// along it only; where the way steps aside they differ square to it instead (in any direction, if
/// it lies along no axis), and the stretch costs nothing but the step. A stretch that lies along no
/// axis of the lattice makes no step. Exact on the lattice, by dynamic programming over the
/// corners.
/// @param tip_cost  of reaching the first corner's (end = 0) and the last one's (end = 1) offset
///                  from the way's tips.
/// @return  stretches.size() + 1 offsets.
/// @cost    stretches x n^4 operations for n coordinates an axis, and as many calls of `cost` as
///          there are offsets square to each stretch.
std::vector<Vec3> stepped_offsets(
    const std::vector<Stretch>& stretches, const OffsetLattice& lattice, const StraightCost& cost,
    const std::function<double(int end, const Vec3& offset)>& tip_cost);

}  // namespace roomloom
