#pragma once

#include <functional>
#include <vector>

#include "network/steiner_graph.h"

namespace roomloom::network {

struct SteinerBudget {
  int rounds = 8;               ///< of ascents, trees and reductions
  long long tree_work = 0;      ///< nodes settled a round of improving trees
  long long lp_iterations = 0;  ///< 0: no relaxation
  double subset_seconds = 5;    ///< dynamic programming where it is estimated to take less
  double bag_work = 1e8;  ///< of dynamic programming over a tree decomposition, `work_by_bags`
  std::function<bool()> out_of_time;
  std::function<double()> seconds_left;  ///< only to stop one long simplex run
};

struct SteinerOutcome {
  std::vector<int> edges;  ///< of the problem, ascending
  double objective = 0;
  double bound = 0;
  bool timed_out = false;
};

/// The cheapest tree that spans the terminals. Reductions, dual ascent with local search, then
/// branch and cut on directed cuts. @pre the terminals lie in one component
/// @param grain  all costs are multiples of it; 0: unknown
SteinerOutcome solve_steiner(const SteinerProblem& problem, double grain,
                             const SteinerBudget& budget);

}  // namespace roomloom::network
