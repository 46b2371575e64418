#pragma once

#include <cstdint>
#include <vector>

#include "cutting/problem.h"

namespace roomloom::cutting {

/// The linear relaxation over all patterns (Gilmore and Gomory 1961), by column generation.
struct Relaxation {
  double value = 0;               ///< in cost, of the columns at hand
  std::int64_t bound = 0;         ///< no packing costs less; exact integer arithmetic
  bool complete = true;           ///< false where the budget ended it
  std::vector<Pattern> patterns;  ///< those used
  std::vector<double> amounts;    ///< how often each is, > 0
  double uncovered = 0;           ///< pieces that no column covers

  /// The duals behind `bound`: worth of each type, `scale` to a unit of cost, and the bound they
  /// give before it is rounded up, in the same unit.
  std::vector<std::int64_t> worth;
  std::int64_t scale = 1;
  std::int64_t worth_bound = 0;
  std::vector<std::int64_t> best_worth;  ///< no pattern of a kind is worth more
};

enum class Until {
  bound_is_clear,  ///< stop as soon as the rounded bound can rise no more
  optimal
};

/// What a round is counted as against the effort: its time grows with the square of the lengths
/// that there are, and a cutting list of 400 must not take minutes. 1 below 80 lengths.
long effort_of_round(std::size_t types);

/// @param pool  patterns to start from (trimmed to the problem); those worth keeping on return
/// @param cutoff  a cost that is of no use any more: the relaxation stops once `bound` reaches it
Relaxation relax(const Problem& problem, std::vector<Pattern>& pool, std::int64_t cutoff,
                 Until until, Budget& budget);

}  // namespace roomloom::cutting
