#pragma once

#include <functional>

#include "network/dual_search.h"

/// The search for a plan and a bound: ascents, guided plans, relaxation and branching.
namespace roomloom::network {

/// How much of each step; see `budget_of`.
struct Budget {
  int rounds = 4;           ///< of fixing, guided plans and better duals
  int dual_rounds = 60;     ///< releases a round; none where sizes come in steps
  long long plan_work = 0;  ///< nodes settled in closing groups, a plan
  int price_rounds = 0;     ///< of moving prices, a part
  int guided_plans = 3;     ///< a round
  int price_parts = 0;      ///< after each part a plan is led
  long long lp_pairs = 0;   ///< largest relaxation: pairs of demand and arc; 0: none
  long long lp_iterations = 0;
  int search_nodes = 0;  ///< of branching
  /// Whether a plan and bound do without moving prices; empty: never.
  std::function<bool(const Plan&, double bound)> enough;
  std::function<bool()> out_of_time;     ///< empty: no limit
  std::function<double()> seconds_left;  ///< by the wall clock; only to stop one long simplex run
};

struct Outcome {
  Plan plan;  ///< best found; paths empty when no demand is there
  /// Other plans met on the way, the cheapest first: cost, and a path a demand.
  std::vector<std::pair<double, std::vector<std::vector<int>>>> others;
  double bound = 0;
  Dual dual;  ///< certified part of the bound, for the model as given
  bool timed_out = false;
  long long nodes = 0;  ///< of branching
};

/// @param start  plans to begin with, may be empty.
Outcome search_design(const Model& model, const Budget& budget, const std::vector<Plan>& start);

/// The largest number of which all costs and charges are multiples, 0 when there is none to speak
/// of: two plans then differ by at least this.
double grain_of(const Model& model);

}  // namespace roomloom::network
