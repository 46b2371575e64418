#pragma once

#include <vector>

#include "network/steiner_graph.h"

/// Dual ascent on directed cuts (Wong 1984), on a compact graph.
namespace roomloom::network {

/// The living part of a SteinerGraph, renumbered. Arc 2e passes edge e from a to b.
struct SteinerCore {
  int node_count = 0;
  std::vector<SteinerEdge> edges;
  std::vector<int> edge_in_graph;  ///< index in the SteinerGraph of each edge
  std::vector<int> node_in_graph;
  std::vector<int> terminals;
  std::vector<char> is_terminal;
  std::vector<int> begin;    ///< node_count + 1, into `leaving`
  std::vector<int> leaving;  ///< arcs that leave each node; arc ^ 1 enters it

  int head(int arc) const {
    const SteinerEdge& edge = edges[static_cast<std::size_t>(arc >> 1)];
    return (arc & 1) != 0 ? edge.a : edge.b;
  }
  int tail(int arc) const { return head(arc ^ 1); }
};

SteinerCore make_core(const SteinerGraph& graph);

struct SteinerDual {
  int root = 0;
  double bound = 0;
  std::vector<double> reduced;         ///< one an arc
  std::vector<std::vector<int>> cuts;  ///< arcs of the raised cuts, when asked for
};

/// @param cut_limit  at most so many entries of cuts are kept
SteinerDual ascend(const SteinerCore& core, int root, std::size_t cut_limit);

/// Least reduced cost of a way from the root to each node.
std::vector<double> distances_from_root(const SteinerCore& core, const SteinerDual& dual);
/// Least reduced cost of a way from each node to a terminal that is not the root.
std::vector<double> distances_to_terminal(const SteinerCore& core, const SteinerDual& dual);

/// Arcs, and edges in either direction, that some tree cheaper than `limit` may use, judged by the
/// dual solution: flags.
std::vector<char> usable_arcs(const SteinerCore& core, const SteinerDual& dual, double limit);
std::vector<char> usable_edges(const SteinerCore& core, const SteinerDual& dual, double limit);

}  // namespace roomloom::network
