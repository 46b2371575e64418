#pragma once

#include <coin/OsiClpSolverInterface.hpp>
#include <string>
#include <vector>

namespace roomloom {

struct BranchAnswer {
  std::vector<double> x;  ///< the best solution found that is below the cutoff; empty: none
  double bound = 0;       ///< no solution is below this; at most the cutoff
  bool decided = false;   ///< `x` is the best there is, or nothing is below the cutoff
  long nodes = 0;         ///< of branching
};

/// Branch and cut by CBC from a relaxation, silently.
/// @param cutoff  what the answer must be below
/// @param limits  when to stop, in the words of CBC's command line: {"-maxNodes", "100"}
BranchAnswer branch(const OsiClpSolverInterface& start, double cutoff,
                    const std::vector<std::string>& limits);

/// The same for so many seconds by the clock on the wall.
BranchAnswer branch_within(const OsiClpSolverInterface& start, double cutoff, double seconds);

}  // namespace roomloom
