#pragma once

#include <functional>
#include <vector>

#include "network/steiner_ascent.h"

namespace roomloom::network {

/// Extended reductions (Duin and Voss 1997; Polzin and Vahdati Daneshvar 2002; Rehfeldt and Koch
/// 2021): an edge goes, and a node of degree three is replaced by its pairs of edges, when every
/// small tree around it is one that no tree below the limit contains by a dual bound, or for which
/// one of no greater cost can stand.
/// @param usable  one an edge of the core: those that are still in the graph
/// @param duals  of the core, from any roots
/// @param limit  trees must cost less to be of interest
/// @return how many edges went and nodes were replaced
int reduce_by_extension(SteinerGraph& graph, const SteinerCore& core,
                        const std::vector<char>& usable, const std::vector<SteinerDual>& duals,
                        double limit, const std::function<bool()>& out_of_time);

}  // namespace roomloom::network
