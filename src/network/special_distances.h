#pragma once

#include <utility>
#include <vector>

#include "network/steiner_graph.h"

namespace roomloom::network {

/// Upper bounds on special (bottleneck Steiner) distances: by way of the three nearest terminals of
/// each end and a minimum spanning tree of the terminals. They stay valid while edges go that some
/// optimal tree does without.
class SpecialDistances {
 public:
  explicit SpecialDistances(const SteinerGraph& graph);
  double between(int u, int v) const;

 private:
  using Entry = std::pair<double, int>;
  void find_near(const SteinerGraph& graph);
  int top(int node) const;
  void span(const SteinerGraph& graph);
  double bottleneck(int s, int t) const;

  std::vector<std::vector<Entry>> near_;
  std::vector<int> parent_;
  std::vector<double> met_;
};

}  // namespace roomloom::network
