#include "network/steiner_subsets.h"

#include <algorithm>
#include <cmath>

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

class Subsets {
 public:
  explicit Subsets(const SteinerCore& core)
      : core_(core),
        count_(core.terminals.size() - 1),
        nodes_(at(core.node_count)),
        cost_((std::size_t{1} << count_) * nodes_, kFar) {}

  SteinerTree run() {
    const std::size_t full = (std::size_t{1} << count_) - 1;
    for (std::size_t set = 1; set <= full; ++set) {
      if ((set & (set - 1)) == 0)
        row(set)[core_.terminals[static_cast<std::size_t>(bit(set)) + 1]] = 0;
      else
        merge(set);
      spread(set);
    }
    SteinerTree tree;
    tree.cost = row(full)[core_.terminals[0]];
    trace(full, core_.terminals[0], tree.edges);
    std::sort(tree.edges.begin(), tree.edges.end());
    tree.edges.erase(std::unique(tree.edges.begin(), tree.edges.end()), tree.edges.end());
    return tree;
  }

 private:
  /// Cheapest tree that joins a set of terminals with each node.
  double* row(std::size_t set) { return cost_.data() + set * nodes_; }

  static int bit(std::size_t set) {
    int index = 0;
    while (((set >> index) & 1U) == 0) ++index;
    return index;
  }

  void merge(std::size_t set) {
    double* into = row(set);
    const std::size_t rest = set & (set - 1);  // the lowest stays in the other part
    for (std::size_t part = rest; part > 0; part = (part - 1) & rest) {
      const double* first = row(part);
      const double* second = row(set ^ part);
      for (std::size_t v = 0; v < nodes_; ++v) into[v] = std::min(into[v], first[v] + second[v]);
    }
  }

  void spread(std::size_t set) {
    using Entry = std::pair<double, int>;
    double* distance = row(set);
    std::vector<Entry> start;
    for (std::size_t v = 0; v < nodes_; ++v)
      if (distance[v] < kFar) start.emplace_back(distance[v], static_cast<int>(v));
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> heap(std::greater<>{},
                                                                        std::move(start));
    while (!heap.empty()) {
      const auto [far, v] = heap.top();
      heap.pop();
      if (far > distance[v]) continue;
      for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
        const int arc = core_.leaving[at(i)];
        const int w = core_.head(arc);
        const double next = far + core_.edges[at(arc >> 1)].cost;
        if (next >= distance[w]) continue;
        distance[w] = next;
        heap.emplace(next, w);
      }
    }
  }

  /// Follows the table back: an edge to a cheaper node, or two parts that meet here.
  void trace(std::size_t set, int node, std::vector<int>& edges) {
    while (true) {
      const double here = row(set)[node];
      if ((set & (set - 1)) == 0 && core_.terminals[at(bit(set)) + 1] == node) return;
      const double slack = 1e-9 * (1 + std::abs(here));
      int best = -1;
      for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1] && best < 0; ++i) {
        const int arc = core_.leaving[at(i)];
        const double cost = core_.edges[at(arc >> 1)].cost;
        if (cost > 0 && std::abs(row(set)[core_.head(arc)] + cost - here) <= slack) best = arc;
      }
      if (best >= 0) {
        edges.push_back(best >> 1);
        node = core_.head(best);
        continue;
      }
      const std::size_t rest = set & (set - 1);
      std::size_t split = 0;
      for (std::size_t part = rest; part > 0 && split == 0; part = (part - 1) & rest)
        if (std::abs(row(part)[node] + row(set ^ part)[node] - here) <= slack) split = part;
      if (split == 0) {  // only edges without cost lead on
        if (!trace_free(set, node, edges)) return;
        continue;
      }
      trace(split, node, edges);
      set ^= split;
    }
  }

  /// Over edges without cost to a node where the set parts or a costly edge leads on.
  bool trace_free(std::size_t set, int& node, std::vector<int>& edges) {
    std::vector<int> via(nodes_, -1), queue{node};
    std::vector<char> seen(nodes_, 0);
    seen[at(node)] = 1;
    const double here = row(set)[node], slack = 1e-9 * (1 + std::abs(here));
    for (std::size_t i = 0; i < queue.size(); ++i) {
      const int v = queue[i];
      bool leads_on = (set & (set - 1)) == 0 && core_.terminals[at(bit(set)) + 1] == v;
      const std::size_t rest = set & (set - 1);
      for (std::size_t part = rest; part > 0 && !leads_on; part = (part - 1) & rest)
        leads_on = std::abs(row(part)[v] + row(set ^ part)[v] - here) <= slack;
      for (int j = core_.begin[at(v)]; j < core_.begin[at(v) + 1]; ++j) {
        const int arc = core_.leaving[at(j)], w = core_.head(arc);
        const double cost = core_.edges[at(arc >> 1)].cost;
        if (cost > 0) leads_on = leads_on || std::abs(row(set)[w] + cost - here) <= slack;
        if (cost > 0 || seen[at(w)]) continue;
        seen[at(w)] = 1;
        via[at(w)] = arc;
        queue.push_back(w);
      }
      if (!leads_on || v == node) continue;
      for (int w = v; w != node; w = core_.tail(via[at(w)])) edges.push_back(via[at(w)] >> 1);
      node = v;
      return true;
    }
    return false;
  }

  const SteinerCore& core_;
  std::size_t count_;
  std::size_t nodes_;
  std::vector<double> cost_;
};

}  // namespace

double seconds_by_subsets(const SteinerCore& core) {
  const double others = static_cast<double>(core.terminals.size()) - 1;
  const double nodes = core.node_count, edges = static_cast<double>(core.edges.size());
  if (others > 22 || std::pow(2, others) * nodes * 8 > 6e8) return kFar;
  return 0.5 * std::pow(3, others) * nodes * 0.6e-9 +
         std::pow(2, others) * (2 * edges + 4 * nodes) * 12e-9;
}

SteinerTree solve_by_subsets(const SteinerCore& core) { return Subsets(core).run(); }

}  // namespace roomloom::network
