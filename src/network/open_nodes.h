#pragma once

#include <queue>
#include <utility>
#include <vector>

#include "network/design_lp.h"

/// The open nodes of a branching tree over columns of the relaxation.
namespace roomloom::network {

/// One open node of the tree: columns held at 0 or 1.
struct Node {
  double bound = 0;
  int number = 0;
  std::vector<std::pair<int, int>> fixed;
};

struct WorseNode {
  bool operator()(const Node& a, const Node& b) const {
    if (a.bound != b.bound) return a.bound > b.bound;
    return a.number < b.number;  // of equals the newest, which dives
  }
};

using OpenNodes = std::priority_queue<Node, std::vector<Node>, WorseNode>;

/// Adds the two nodes in which an opening is held; of them that nearest to its value is taken next.
inline void split(const Node& parent, const Opening& opening, int& numbers, OpenNodes& queue) {
  const int nearest = opening.value >= 0.5 ? 1 : 0;
  for (const int value : {1 - nearest, nearest}) {
    Node child{parent.bound, ++numbers, parent.fixed};
    child.fixed.emplace_back(opening.column, value);
    queue.push(std::move(child));
  }
}

/// Frees what was held before and holds what is wanted instead.
inline void hold(DesignLp& lp, std::vector<std::pair<int, int>>& held,
                 const std::vector<std::pair<int, int>>& wanted) {
  for (const auto& [column, value] : held)
    lp.bound_column(column, 0, column < lp.opening_count() ? 1 : kInfinity);
  for (const auto& [column, value] : wanted) lp.bound_column(column, value, value);
  held = wanted;
}

}  // namespace roomloom::network
