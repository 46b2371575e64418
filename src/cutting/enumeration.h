#pragma once

#include "cutting/problem.h"
#include "cutting/relaxation.h"

namespace roomloom::cutting {

/// Lists every pattern that a packing cheaper than `best` may use, by its reduced cost at the duals
/// of the relaxation, and lets a MILP solver choose among them.
/// @return  whether it was decided: `best` is then least, or was replaced by what is
bool finish_by_enumeration(const Problem& problem, const Relaxation& relaxation,
                           std::size_t most_patterns, int milp_nodes, Packing& best,
                           Budget& budget);

}  // namespace roomloom::cutting
