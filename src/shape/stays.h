#pragma once

#include <vector>

#include "shape/chains.h"

namespace roomloom {

/// A run on a chain, over path edges first..last without a break; a hole is a stay of its own.
struct Stay {
  std::size_t path = 0, first = 0, last = 0;
  double length_m = 0;
  double room_m2 = Box3::kInf;  ///< the least on its way
  Vec3 leaves;                  ///< towards where it comes from and goes to, square to the chain
  bool shared = false;
  bool rigid = false;
  int order = 0;  ///< among those on the chain
};

/// Off the line by this share of a unit, and it counts as leaving to a side.
constexpr double kLeavesAside = 0.2;

/// All stays on a chain, in the order in which they take their places: in limited space those with
/// the least of it first, then those that leave first; in the open those that go furthest, round
/// which the others lie.
std::vector<Stay> find_stays(const std::vector<LanePath>& paths, const Chains& chains, int chain);

/// The stay of one edge of a path by itself.
Stay stay_of(const std::vector<LanePath>& paths, const Chains& chains, const Member& edge);

/// Unit direction of a path's edge.
Vec3 direction_of(const LanePath& path, std::size_t edge);

}  // namespace roomloom
