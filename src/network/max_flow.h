#pragma once

#include <vector>

namespace roomloom::network {

/// Largest flow between two nodes of a directed network with real capacities (Dinic 1970), and the
/// two minimum cuts nearest to either end.
class MaxFlow {
 public:
  /// Arc i runs from tails[i] to heads[i].
  MaxFlow(int node_count, const std::vector<int>& tails, const std::vector<int>& heads);

  /// Arcs of negative capacity are not there. @return the flow, or `enough` once it is reached.
  double run(int source, int sink, const std::vector<double>& capacity, double enough);
  /// After `run` gave `total`: the flow when each arc has `extra` more, so that of all minimum cuts
  /// one of few arcs is left.
  double widen(double total, double extra, const std::vector<double>& capacity, double enough);
  /// After `run`: nodes the source still reaches.
  std::vector<char> source_side() const;
  /// After `run`: nodes that still reach the sink.
  std::vector<char> sink_side() const;

 private:
  double augment(double total, double enough);
  bool label(int source, int sink);
  double push(int node, int sink, double limit);
  /// Nodes that more flow can reach from `node`, or come from.
  std::vector<char> reached_from(int node, bool backwards) const;

  int node_count_;
  std::vector<int> begin_, links_;  ///< link 2i: arc i, 2i + 1: its reverse
  std::vector<int> to_;
  std::vector<double> room_;
  std::vector<int> level_, next_, queue_;
  int source_ = 0;
  int sink_ = 0;
};

}  // namespace roomloom::network
