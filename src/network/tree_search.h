#pragma once

#include <limits>
#include <queue>
#include <utility>
#include <vector>

#include "network/steiner_ascent.h"

/// Local search for trees on a compact graph.
namespace roomloom::network {

/// A tree as a set of edges, and what it costs.
struct SteinerTree {
  std::vector<int> edges;
  double cost = std::numeric_limits<double>::infinity();
};

/// Nodes of a tree and their tree edges.
struct TreeShape {
  std::vector<std::vector<int>> incident;  ///< one a node of the core
  std::vector<int> nodes;
};

TreeShape shape_of(const SteinerCore& core, const SteinerTree& tree);

/// Searches for trees; keeps work space.
class TreeSearch {
 public:
  explicit TreeSearch(const SteinerCore& core);

  /// Grows a tree from `start` to the nearest terminal again and again under `length` (one an
  /// edge), then prunes it under the true costs.
  SteinerTree grow(int start, const std::vector<double>& length, const std::vector<char>& usable);
  /// Moves of key paths and single nodes until none helps or the work is spent.
  void improve(SteinerTree& tree, const std::vector<char>& usable, long long work_limit);
  long long work = 0;

 private:
  using Entry = std::pair<double, int>;
  struct Rooted {
    std::vector<int> up;     ///< edge to the parent
    std::vector<int> depth;  ///< -1: not in the tree
  };
  void reach(int node, double distance);
  std::vector<int> smaller_part(const TreeShape& shape, const std::vector<char>& in_tree,
                                const int (&ends)[2]);
  bool on_tree(const TreeShape& shape, const std::vector<char>& in_tree, int node) const;
  double costliest_between(const Rooted& rooted, int a, int b);
  Rooted rooted_of(const TreeShape& shape) const;
  double saving_of(const Rooted& rooted, int node, const std::vector<char>& usable);
  SteinerTree span_and_prune(const std::vector<int>& nodes, const std::vector<char>& usable);
  bool exchange_paths(SteinerTree& tree, const std::vector<char>& usable, long long stop);
  bool insert_nodes(SteinerTree& tree, const std::vector<char>& usable, long long stop);
  bool drop_nodes(SteinerTree& tree, const std::vector<char>& usable, long long stop);

  const SteinerCore& core_;
  std::vector<double> distance_;
  std::vector<int> via_;
  std::vector<int> mark_, touched_;
  int epoch_ = 0;
};

}  // namespace roomloom::network
