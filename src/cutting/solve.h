#pragma once

#include "cutting/problem.h"

namespace roomloom::cutting {

struct Solved {
  Packing best;
  std::int64_t bound = 0;  ///< no packing costs less; Packing::no_cost: there is none at all
  bool proven() const { return best.cost <= bound; }
};

/// Exact search: greedy filling, relaxation, dives, enumeration, then branching.
/// @param useful_below  only packings cheaper than this are looked for (and only those are then
///                      ruled out); Packing::no_cost: any
Solved solve(const Problem& problem, std::int64_t useful_below, const Deadline& deadline);

}  // namespace roomloom::cutting
