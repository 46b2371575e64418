#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "network/steiner.h"
#include "network/steiner_ascent.h"
#include "network/tree_search.h"

namespace roomloom::network {

/// The best tree and bound so far, for a graph that shrinks meanwhile.
class SteinerRecord {
 public:
  /// @param grain  all costs are multiples of it; 0: unknown
  SteinerRecord(const SteinerGraph& graph, double grain, const SteinerBudget& budget)
      : graph_(graph), grain_(grain), budget_(budget) {
    out.objective = std::numeric_limits<double>::infinity();
  }

  SteinerOutcome out;

  bool late() {
    if (budget_.out_of_time && budget_.out_of_time()) out.timed_out = true;
    return out.timed_out;
  }
  double seconds_left() const { return budget_.seconds_left ? budget_.seconds_left() : 1e9; }

  /// Trees must cost less than this, in the reduced graph, to be of interest.
  double limit() const {
    if (std::isinf(out.objective)) return out.objective;
    return out.objective - graph_.fixed_cost() -
           std::max(0.99 * grain_, 2e-9 * std::abs(out.objective));
  }
  bool done() const {
    return std::isfinite(out.objective) &&
           out.bound - graph_.fixed_cost() >= limit() - 1e-10 * std::abs(out.objective);
  }

  /// What a tree of the reduced graph costs at least.
  void note_bound(double bound) { out.bound = std::max(out.bound, bound + graph_.fixed_cost()); }
  /// There is no tree below the limit.
  void note_nothing_below() { note_bound(limit()); }

  void note_tree(const SteinerCore& core, const SteinerTree& tree) {
    if (tree.cost + graph_.fixed_cost() >= out.objective * (1 - 1e-12)) return;
    std::vector<int> edges;
    for (int e : tree.edges) edges.push_back(core.edge_in_graph[static_cast<std::size_t>(e)]);
    out.edges = graph_.original(edges);
    out.objective = tree.cost + graph_.fixed_cost();
  }

 private:
  const SteinerGraph& graph_;
  double grain_;
  const SteinerBudget& budget_;
};

}  // namespace roomloom::network
