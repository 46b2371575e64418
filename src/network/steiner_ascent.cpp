#include "network/steiner_ascent.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <queue>

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// One ascent: the terminal with the smallest cut is raised until its cut has grown.
class SteinerAscent {
 public:
  SteinerAscent(const SteinerCore& core, int root, std::size_t cut_limit)
      : core_(core),
        cut_limit_(cut_limit),
        stamp_(at(core.node_count), 0),
        active_(at(core.node_count), 0) {
    dual_.root = root;
    for (const SteinerEdge& edge : core.edges) {
      dual_.reduced.push_back(edge.cost);
      dual_.reduced.push_back(edge.cost);
    }
  }

  SteinerDual run() {
    std::priority_queue<std::pair<std::size_t, int>, std::vector<std::pair<std::size_t, int>>,
                        std::greater<>>
        queue;
    for (int t : core_.terminals) {
      active_[at(t)] = 1;
      if (t != dual_.root) queue.emplace(0, t);
    }
    while (!queue.empty()) {
      const int t = queue.top().second;
      queue.pop();
      const std::size_t next = queue.empty() ? core_.edges.size() * 4 : queue.top().first;
      if (raise(t, next + next / 8 + 1)) queue.emplace(cut_.size(), t);
    }
    return std::move(dual_);
  }

 private:
  /// @return false once the component holds the root or another active terminal
  bool raise(int t, std::size_t patience) {
    ++epoch_;
    cut_.clear();
    if (!join(t, t)) return active_[at(t)] = 0, false;
    for (bool first = true;; first = false) {
      std::size_t kept = 0;
      double least = kFar;
      for (int arc : cut_) {
        const int tail = core_.tail(arc);
        if (stamp_[at(tail)] == epoch_ || enclosed(tail)) continue;
        cut_[kept++] = arc;
        least = std::min(least, dual_.reduced[at(arc)]);
      }
      cut_.resize(kept);
      if (kept == 0) return active_[at(t)] = 0, false;
      if (kept > patience && !first) return true;
      if (kept > patience && kept_too_large(kept, patience)) return true;
      dual_.bound += least;
      record();
      const std::size_t count = cut_.size();
      for (std::size_t i = 0; i < count; ++i) {
        double& reduced = dual_.reduced[at(cut_[i])];
        reduced -= least;
        if (reduced < 1e-9) reduced = 0;
      }
      for (std::size_t i = 0; i < count; ++i) {
        const int arc = cut_[i];
        if (dual_.reduced[at(arc)] > 0 || stamp_[at(core_.tail(arc))] == epoch_) continue;
        if (!join(core_.tail(arc), t)) return active_[at(t)] = 0, false;
      }
    }
  }

  /// All ways to a node lead through the component: the cut is smaller with the node in it.
  bool enclosed(int node) {
    if (node == dual_.root) return false;
    for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1]; ++i)
      if (stamp_[at(core_.head(core_.leaving[at(i)]))] != epoch_) return false;
    stamp_[at(node)] = epoch_;
    return true;
  }

  /// A first look that finds a larger cut than expected goes back into the queue once.
  bool kept_too_large(std::size_t kept, std::size_t patience) const { return kept > 2 * patience; }

  void record() {
    if (recorded_ + cut_.size() > cut_limit_) return;
    recorded_ += cut_.size();
    dual_.cuts.push_back(cut_);
  }

  /// Takes a node and all that reach it for nothing into the component. @return false: it touches
  /// the root or another active terminal
  bool join(int node, int t) {
    stack_.assign(1, node);
    stamp_[at(node)] = epoch_;
    while (!stack_.empty()) {
      const int v = stack_.back();
      stack_.pop_back();
      if (v != t && active_[at(v)]) return false;
      for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
        const int entering = core_.leaving[at(i)] ^ 1;
        const int w = core_.tail(entering);
        if (stamp_[at(w)] == epoch_) continue;
        if (dual_.reduced[at(entering)] > 0) {
          cut_.push_back(entering);
          continue;
        }
        stamp_[at(w)] = epoch_;
        stack_.push_back(w);
      }
    }
    return true;
  }

  const SteinerCore& core_;
  std::size_t cut_limit_;
  std::size_t recorded_ = 0;
  SteinerDual dual_;
  std::vector<int> stamp_;
  std::vector<char> active_;
  std::vector<int> cut_, stack_;
  int epoch_ = 0;
};

}  // namespace

SteinerCore make_core(const SteinerGraph& graph) {
  SteinerCore core;
  std::vector<int> number(at(graph.node_count()), -1);
  for (int v = 0; v < graph.node_count(); ++v) {
    if (graph.degree(v) == 0 && !graph.is_terminal(v)) continue;
    number[at(v)] = core.node_count++;
    core.node_in_graph.push_back(v);
    core.is_terminal.push_back(graph.is_terminal(v));
    if (graph.is_terminal(v)) core.terminals.push_back(number[at(v)]);
  }
  core.begin.assign(at(core.node_count) + 1, 0);
  for (int e = 0; e < graph.edge_count(); ++e) {
    const auto& edge = graph.edge(e);
    if (!edge.alive) continue;
    core.edges.push_back({number[at(edge.a)], number[at(edge.b)], edge.cost});
    core.edge_in_graph.push_back(e);
    ++core.begin[at(number[at(edge.a)]) + 1];
    ++core.begin[at(number[at(edge.b)]) + 1];
  }
  std::partial_sum(core.begin.begin(), core.begin.end(), core.begin.begin());
  core.leaving.resize(2 * core.edges.size());
  std::vector<int> next(core.begin.begin(), core.begin.end() - 1);
  for (std::size_t e = 0; e < core.edges.size(); ++e) {
    core.leaving[at(next[at(core.edges[e].a)]++)] = static_cast<int>(2 * e);
    core.leaving[at(next[at(core.edges[e].b)]++)] = static_cast<int>(2 * e + 1);
  }
  return core;
}

SteinerDual ascend(const SteinerCore& core, int root, std::size_t cut_limit) {
  return SteinerAscent(core, root, cut_limit).run();
}

namespace {

/// Distances under the reduced costs: from the root, or to the nearest other terminal.
std::vector<double> distances(const SteinerCore& core, const SteinerDual& dual, bool from_root) {
  using Entry = std::pair<double, int>;
  std::vector<double> distance(at(core.node_count), kFar);
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> heap;
  const auto start = [&](int v) {
    distance[at(v)] = 0;
    heap.emplace(0.0, v);
  };
  if (from_root) start(dual.root);
  if (!from_root)
    for (int t : core.terminals)
      if (t != dual.root) start(t);
  while (!heap.empty()) {
    const auto [far, v] = heap.top();
    heap.pop();
    if (far > distance[at(v)]) continue;
    for (int i = core.begin[at(v)]; i < core.begin[at(v) + 1]; ++i) {
      const int arc = core.leaving[at(i)];
      const int w = core.head(arc);
      const double next = far + dual.reduced[at(from_root ? arc : arc ^ 1)];
      if (next >= distance[at(w)]) continue;
      distance[at(w)] = next;
      heap.emplace(next, w);
    }
  }
  return distance;
}

}  // namespace

std::vector<double> distances_from_root(const SteinerCore& core, const SteinerDual& dual) {
  return distances(core, dual, true);
}

std::vector<double> distances_to_terminal(const SteinerCore& core, const SteinerDual& dual) {
  return distances(core, dual, false);
}

std::vector<char> usable_arcs(const SteinerCore& core, const SteinerDual& dual, double limit) {
  const std::vector<double> from_root = distances(core, dual, true);
  const std::vector<double> to_terminal = distances(core, dual, false);
  std::vector<char> usable(2 * core.edges.size(), 0);
  for (int arc = 0; arc < static_cast<int>(usable.size()); ++arc)
    usable[at(arc)] = dual.bound + from_root[at(core.tail(arc))] + dual.reduced[at(arc)] +
                          to_terminal[at(core.head(arc))] <
                      limit;
  return usable;
}

std::vector<char> usable_edges(const SteinerCore& core, const SteinerDual& dual, double limit) {
  const std::vector<char> arcs = usable_arcs(core, dual, limit);
  std::vector<char> usable(core.edges.size());
  for (std::size_t e = 0; e < usable.size(); ++e) usable[e] = arcs[2 * e] || arcs[2 * e + 1];
  return usable;
}

}  // namespace roomloom::network
