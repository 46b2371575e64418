#pragma once

#include <utility>
#include <vector>

#include "network/heap.h"
#include "network/steiner_ascent.h"

namespace roomloom::network {

/// Distances between nodes that lie near each other, each node's nearest found once when first
/// asked for.
class NearNodes {
 public:
  explicit NearNodes(const SteinerCore& core);

  /// An upper bound, infinite for nodes far apart.
  double between(int u, int v);
  /// The same over edges that are alive, without one edge and one node (-1: none), at most `limit`.
  double around(int u, int v, const std::vector<char>& alive, int edge, int node, double limit);

 private:
  struct Near {
    int node = 0;
    double distance = 0;
  };
  void find(int node);
  template <typename Passes, typename Settled>
  void search(int start, double limit, std::size_t most, Passes passes, Settled settled);

  const SteinerCore& core_;
  std::vector<std::vector<Near>> near_;  ///< by node number; empty: not yet found
  std::vector<double> distance_;
  std::vector<int> touched_;
  std::vector<std::pair<double, int>> heap_;
};

}  // namespace roomloom::network
