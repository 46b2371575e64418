#pragma once

#include "network/steiner_ascent.h"
#include "network/tree_search.h"

namespace roomloom::network {

/// Seconds that `solve_by_subsets` would take, roughly; infinite when it would need too much
/// memory.
double seconds_by_subsets(const SteinerCore& core);

/// The optimal tree by dynamic programming over subsets of the terminals (Dreyfus and Wagner 1971,
/// Erickson, Monma and Veinott 1987): for few terminals.
SteinerTree solve_by_subsets(const SteinerCore& core);

}  // namespace roomloom::network
