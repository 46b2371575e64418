#pragma once

#include "cutting/problem.h"

namespace roomloom::cutting {

struct Solved {
  Packing best;
  std::int64_t bound = 0;  ///< no packing costs less; Packing::no_cost: there is none at all
  bool proven() const { return best.cost <= bound; }
};

/// How much work the search may do besides the budget: counted, so that what it finds does not
/// depend on the speed of the machine.
struct Work {
  int discrepancies = 2;  ///< of the dives from the root
  long completion_steps = 200000;
  std::int64_t filling_steps = 1'000'000'000;  ///< words of sums, of all fillings together
  long nodes = 1000000;                        ///< of branching
  int milp_nodes = 100000;  ///< of each call of the MILP solver; none: it is not called
};

/// Exact search: greedy filling, relaxation, dives, enumeration, then branching.
/// @param useful_below  only packings cheaper than this are looked for (and only those are then
///                      ruled out); Packing::no_cost: any
Solved solve(const Problem& problem, std::int64_t useful_below, const Work& work, Budget& budget);

}  // namespace roomloom::cutting
