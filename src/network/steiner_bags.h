#pragma once

#include <functional>

#include "network/elimination.h"
#include "network/steiner_ascent.h"
#include "network/tree_search.h"

namespace roomloom::network {

struct BagsAnswer {
  bool finished = false;  ///< false: too many partial trees, or out of time
  SteinerTree tree;       ///< the cheapest below the limit; infinite when there is none
};

/// Partial trees that `solve_by_bags` may look at when no bound helps, roughly.
double work_by_bags(const Elimination& elimination);

/// The optimal tree below `limit` by dynamic programming over a tree decomposition: partial trees
/// that join a bag's nodes alike are one, the cheapest (Chimani, Mutzel and Zey 2012), and few
/// stand for all (Bodlaender et al. 2015). What the dual solution shows to reach the limit is left
/// out.
/// @param elimination  of bags of at most kBagPlaces nodes that ends with a terminal
/// @param most  work at most: steps; some times what `work_by_bags` tells
BagsAnswer solve_by_bags(const SteinerCore& core, const Elimination& elimination,
                         const SteinerDual& dual, double limit, std::size_t most,
                         const std::function<bool()>& out_of_time);

}  // namespace roomloom::network
