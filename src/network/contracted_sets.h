#pragma once

#include <random>
#include <span>
#include <vector>

#include "network/pooled_design.h"

namespace roomloom::network {

/// Sets of nodes whose cuts a relaxation's solution may violate. Arcs are contracted at random,
/// those with much flow or opening rather than others (Karger, SODA 1993), until few parts are
/// left; of these all unions are looked at. Sets that take hardly more than they give are found
/// this way, which no search from set to neighbouring set comes upon: what they need is a small
/// difference of large sums.
/// @param deadline  seconds of the steady clock
/// @return one a node, 1 inside, for each set; each takes more than it gives. Sets can repeat.
std::vector<std::vector<char>> contracted_sets(const PooledFlow& flow,
                                               std::span<const double> openings,
                                               std::span<const double> amounts,
                                               std::mt19937_64& random, double deadline);

}  // namespace roomloom::network
