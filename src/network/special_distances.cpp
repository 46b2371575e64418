#include "network/special_distances.h"

#include <algorithm>
#include <limits>
#include <queue>
#include <tuple>

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

SpecialDistances::SpecialDistances(const SteinerGraph& graph) : near_(at(graph.node_count())) {
  find_near(graph);
  span(graph);
}

double SpecialDistances::between(int u, int v) const {
  double best = kFar;
  for (const Entry& x : near_[at(u)]) {
    if (x.first >= best) break;
    for (const Entry& y : near_[at(v)]) {
      if (y.first >= best) break;
      best = std::min(best, std::max({x.first, y.first, bottleneck(x.second, y.second)}));
    }
  }
  return best;
}

void SpecialDistances::find_near(const SteinerGraph& graph) {
  std::priority_queue<std::tuple<double, int, int>, std::vector<std::tuple<double, int, int>>,
                      std::greater<>>
      heap;
  for (int t : graph.terminals()) heap.emplace(0.0, t, t);
  while (!heap.empty()) {
    const auto [far, v, t] = heap.top();
    heap.pop();
    auto& list = near_[at(v)];
    if (list.size() >= 3 ||
        std::any_of(list.begin(), list.end(), [t = t](const Entry& x) { return x.second == t; }))
      continue;
    list.emplace_back(far, t);
    for (int e : graph.at_node(v)) {
      const int w = graph.edge(e).other(v);
      if (near_[at(w)].size() < 3) heap.emplace(far + graph.edge(e).cost, w, t);
    }
  }
}

int SpecialDistances::top(int node) const {
  while (parent_[at(node)] >= 0) node = parent_[at(node)];
  return node;
}

/// Kruskal over the borders of the terminals' regions; unions by size keep climbs short, and the
/// edge to a parent holds the cost at which the two parts met.
void SpecialDistances::span(const SteinerGraph& graph) {
  std::vector<std::tuple<double, int, int>> borders;
  for (int e = 0; e < graph.edge_count(); ++e) {
    const auto& edge = graph.edge(e);
    if (!edge.alive || near_[at(edge.a)].empty() || near_[at(edge.b)].empty()) continue;
    const Entry x = near_[at(edge.a)][0], y = near_[at(edge.b)][0];
    if (x.second != y.second)
      borders.emplace_back(x.first + edge.cost + y.first, x.second, y.second);
  }
  std::sort(borders.begin(), borders.end());
  parent_.assign(at(graph.node_count()), -1);
  met_.assign(at(graph.node_count()), 0);
  std::vector<int> size(at(graph.node_count()), 1);
  for (const auto& [cost, s, t] : borders) {
    int x = top(s), y = top(t);
    if (x == y) continue;
    if (size[at(x)] > size[at(y)]) std::swap(x, y);
    parent_[at(x)] = y;
    met_[at(x)] = cost;
    size[at(y)] += size[at(x)];
  }
}

double SpecialDistances::bottleneck(int s, int t) const {
  double largest = 0;
  while (s != t) {
    const double from_s = parent_[at(s)] >= 0 ? met_[at(s)] : kFar;
    const double from_t = parent_[at(t)] >= 0 ? met_[at(t)] : kFar;
    if (from_s == kFar && from_t == kFar) return kFar;
    if (from_s <= from_t) {
      largest = std::max(largest, from_s);
      s = parent_[at(s)];
    } else {
      largest = std::max(largest, from_t);
      t = parent_[at(t)];
    }
  }
  return largest;
}

}  // namespace roomloom::network
