#include <algorithm>
#include <array>
#include <limits>
#include <numeric>
#include <queue>

#include "network/special_distances.h"

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

using Entry = std::pair<double, int>;
using Heap = std::priority_queue<Entry, std::vector<Entry>, std::greater<>>;

/// Leaves go, chains become one edge, a terminal's only edge is taken.
int reduce_degrees(SteinerGraph& graph) {
  int changes = 0;
  std::vector<int> queue(at(graph.node_count()));
  std::iota(queue.begin(), queue.end(), 0);
  while (!queue.empty()) {
    const int v = queue.back();
    queue.pop_back();
    const int degree = graph.degree(v);
    if (degree == 0 || degree > 2 || (degree == 2 && graph.is_terminal(v))) continue;
    const std::vector<int> edges = graph.at_node(v);
    std::vector<int> neighbours;
    for (int e : edges) neighbours.push_back(graph.edge(e).other(v));
    if (degree == 1 && graph.is_terminal(v)) {
      if (graph.terminal_count() <= 1) continue;
      graph.contract(edges[0], neighbours[0]);
    } else {
      if (degree == 2) graph.add_joined(neighbours[0], neighbours[1], edges[0], edges[1]);
      graph.remove_node(v);
    }
    ++changes;
    queue.insert(queue.end(), neighbours.begin(), neighbours.end());
  }
  return changes;
}

/// A terminal whose cheapest edge leads to a terminal: some optimal tree has that edge.
int contract_near_terminals(SteinerGraph& graph) {
  int changes = 0;
  for (int v = 0; v < graph.node_count(); ++v) {
    while (graph.is_terminal(v) && graph.degree(v) > 0 && graph.terminal_count() > 1) {
      double least = kFar;
      for (int e : graph.at_node(v)) least = std::min(least, graph.edge(e).cost);
      int found = -1;
      for (int e : graph.at_node(v))
        if (graph.edge(e).cost <= least && graph.is_terminal(graph.edge(e).other(v))) found = e;
      if (found < 0) break;
      graph.contract(found, v);
      ++changes;
    }
  }
  return changes;
}

/// A short search for another way no longer than an edge.
class Detours {
 public:
  explicit Detours(const SteinerGraph& graph)
      : graph_(graph), distance_(at(graph.node_count()), kFar) {}

  bool has_other_way(int index, int settle_limit) {
    const auto edge = graph_.edge(index);
    const int start = graph_.degree(edge.a) <= graph_.degree(edge.b) ? edge.a : edge.b;
    const int goal = edge.other(start);
    Heap heap;
    touch(start, 0);
    heap.emplace(0.0, start);
    bool found = false;
    for (int settled = 0; !heap.empty() && settled < settle_limit && !found; ++settled) {
      const auto [far, v] = heap.top();
      heap.pop();
      if (far > distance_[at(v)]) continue;
      for (int e : graph_.at_node(v)) {
        if (e == index) continue;
        const int w = graph_.edge(e).other(v);
        const double next = far + graph_.edge(e).cost;
        if (next > edge.cost || next >= distance_[at(w)]) continue;
        if (w == goal) {
          found = true;
          break;
        }
        touch(w, next);
        heap.emplace(next, w);
      }
    }
    for (int v : touched_) distance_[at(v)] = kFar;
    touched_.clear();
    return found;
  }

 private:
  void touch(int v, double far) {
    distance_[at(v)] = far;
    touched_.push_back(v);
  }

  const SteinerGraph& graph_;
  std::vector<double> distance_;
  std::vector<int> touched_;
};

int delete_long_edges(SteinerGraph& graph) {
  int changes = 0;
  const SpecialDistances special(graph);
  const int count = graph.edge_count();
  for (int e = 0; e < count; ++e) {
    const auto& edge = graph.edge(e);
    if (!edge.alive || special.between(edge.a, edge.b) >= edge.cost * (1 - 1e-12)) continue;
    graph.remove_edge(e);
    ++changes;
  }
  Detours detours(graph);
  for (int e = 0; e < count; ++e) {
    if (!graph.edge(e).alive || !detours.has_other_way(e, 80)) continue;
    graph.remove_edge(e);
    ++changes;
  }
  return changes;
}

/// A node of degree three that no optimal tree needs as a fork: its pairs of edges take its place.
int replace_forks(SteinerGraph& graph) {
  int changes = 0;
  const SpecialDistances special(graph);
  std::vector<char> dirty(at(graph.node_count()), 0);
  for (int v = 0; v < graph.node_count(); ++v) {
    if (graph.is_terminal(v) || graph.degree(v) != 3 || dirty[at(v)]) continue;
    const std::vector<int> edges = graph.at_node(v);
    std::array<int, 3> ends{};
    double star = 0;
    bool clean = true;
    for (std::size_t i = 0; i < 3; ++i) {
      ends[i] = graph.edge(edges[i]).other(v);
      star += graph.edge(edges[i]).cost;
      clean = clean && !dirty[at(ends[i])];
    }
    if (!clean) continue;
    const double d01 = special.between(ends[0], ends[1]);
    const double d02 = special.between(ends[0], ends[2]);
    const double d12 = special.between(ends[1], ends[2]);
    if (d01 + d02 + d12 - std::max({d01, d02, d12}) >= star * (1 - 1e-12)) continue;
    // Special distances stay valid: a joined edge is as long as the way it stands for.
    graph.add_joined(ends[0], ends[1], edges[0], edges[1]);
    graph.add_joined(ends[0], ends[2], edges[0], edges[2]);
    graph.add_joined(ends[1], ends[2], edges[1], edges[2]);
    graph.remove_node(v);
    for (int w : ends) dirty[at(w)] = 1;
    ++changes;
  }
  return changes;
}

}  // namespace

void reduce(SteinerGraph& graph, const std::function<bool()>& out_of_time) {
  for (int round = 0; round < 30; ++round) {
    const int before = graph.alive_edges();
    int changes = reduce_degrees(graph) + contract_near_terminals(graph);
    if (out_of_time && out_of_time()) return;
    changes += delete_long_edges(graph);
    changes += reduce_degrees(graph);
    if (out_of_time && out_of_time()) return;
    changes += replace_forks(graph);
    changes += reduce_degrees(graph);
    if (changes == 0 || before - graph.alive_edges() < before / 200) break;
  }
}

}  // namespace roomloom::network
