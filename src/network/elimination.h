#pragma once

#include <vector>

#include "network/steiner_ascent.h"

namespace roomloom::network {

/// Nodes of a graph in an order of elimination: each node taken out leaves its later neighbours
/// joined pairwise. The node and those neighbours are its bag; the bags are a tree decomposition.
struct Elimination {
  std::vector<int> order;              ///< all nodes
  std::vector<std::vector<int>> bags;  ///< one a place of `order`; the node first, then its later
                                       ///< neighbours in order
  std::size_t largest_bag = 0;
};

/// Always the node that leaves the fewest new pairs (minimum fill: a heuristic, Rose 1972).
/// `last` comes last. Empty order when a bag would hold more than `bag_limit` nodes.
Elimination eliminate(const SteinerCore& core, int last, std::size_t bag_limit);

}  // namespace roomloom::network
