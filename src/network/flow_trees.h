#pragma once

#include <cstdint>
#include <vector>

#include "network/pooled_design.h"

/// Plans of divisible flow without capacities. A cheapest one never needs a cycle, so it lies on a
/// spanning tree (Hirsch and Dantzig, Naval Research Logistics Quarterly 15, 1968, for fixed
/// charges), and any tree is reached from any other by pivots: an arc comes in, one of the cycle
/// that it closes goes out.
namespace roomloom::network {

/// A plan by simulated annealing over pivots (Kirkpatrick, Gelatt and Vecchi, Science 220, 1983).
/// Same input, same result on any machine, unless `deadline` cuts it short.
/// @param pivots    how many are looked at
/// @param deadline  seconds of the steady clock
/// @return flow an arc; empty: none was found that meets the balances
std::vector<double> anneal_trees(const PooledFlow& flow, std::int64_t pivots, std::uint64_t seed,
                                 double deadline);

}  // namespace roomloom::network
