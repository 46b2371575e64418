#pragma once

#include <functional>
#include <utility>
#include <vector>

/// Minimum Steiner trees in undirected graphs: the case of charges only and one root.
namespace roomloom::network {

struct SteinerEdge {
  int a = 0;
  int b = 0;
  double cost = 0;  ///< >= 0
};

struct SteinerProblem {
  int node_count = 0;
  std::vector<SteinerEdge> edges;
  std::vector<int> terminals;  ///< all in one component
};

/// A graph that shrinks while it remembers which edges of the problem each of its edges stands for.
class SteinerGraph {
 public:
  explicit SteinerGraph(const SteinerProblem& problem);

  struct Edge {
    int a = 0;
    int b = 0;
    double cost = 0;
    int origin = 0;
    bool alive = true;
    int other(int node) const { return node == a ? b : a; }
  };

  int node_count() const { return static_cast<int>(adjacent_.size()); }
  int edge_count() const { return static_cast<int>(edges_.size()); }
  const Edge& edge(int index) const { return edges_[static_cast<std::size_t>(index)]; }
  /// Edges at a node, all alive.
  const std::vector<int>& at_node(int node) const {
    return adjacent_[static_cast<std::size_t>(node)];
  }
  int degree(int node) const { return static_cast<int>(at_node(node).size()); }
  bool is_terminal(int node) const { return terminal_[static_cast<std::size_t>(node)] != 0; }
  int terminal_count() const { return terminal_count_; }
  std::vector<int> terminals() const;
  int alive_edges() const { return alive_edges_; }
  double fixed_cost() const { return fixed_cost_; }

  void remove_edge(int edge);
  /// Adds an edge that stands for two, unless a cheaper parallel one is there.
  void add_joined(int a, int b, int first, int second);
  /// Takes an edge into every tree and makes its ends one node, the one kept being `keep`.
  void contract(int edge, int keep);
  void remove_node(int node);
  /// Edges of the problem that a set of this graph's edges and the fixed ones stand for.
  std::vector<int> original(const std::vector<int>& edges) const;

 private:
  int add_edge(int a, int b, double cost, int origin);
  void expand(int origin, std::vector<int>& out) const;

  std::vector<Edge> edges_;
  std::vector<std::vector<int>> adjacent_;
  std::vector<char> terminal_;
  int terminal_count_ = 0;
  int alive_edges_ = 0;
  double fixed_cost_ = 0;
  std::vector<int> fixed_;                   ///< origins
  std::vector<std::pair<int, int>> joined_;  ///< per origin; second -1: an edge of the problem
};

/// Classic reductions until nothing changes much: degrees, special distances, nearest terminals.
/// Keeps the optimum. `out_of_time` may stop it early.
void reduce(SteinerGraph& graph, const std::function<bool()>& out_of_time);

}  // namespace roomloom::network
