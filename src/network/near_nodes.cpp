#include "network/near_nodes.h"

#include <algorithm>
#include <functional>
#include <limits>

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();
constexpr std::size_t kMostNear = 48;
constexpr std::size_t kMostAround = 200;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

NearNodes::NearNodes(const SteinerCore& core)
    : core_(core), near_(at(core.node_count)), distance_(at(core.node_count), kFar) {}

/// Dijkstra's, over the edges that `passes` lets through, until `settled` says enough.
template <typename Passes, typename Settled>
void NearNodes::search(int start, double limit, std::size_t most, Passes passes, Settled settled) {
  heap_.assign(1, {0.0, start});
  distance_[at(start)] = 0;
  touched_.assign(1, start);
  for (std::size_t count = 0; !heap_.empty() && count < most;) {
    std::pop_heap(heap_.begin(), heap_.end(), std::greater<>());
    const auto [far, v] = heap_.back();
    heap_.pop_back();
    if (far > distance_[at(v)]) continue;
    ++count;
    if (settled(v, far)) break;
    for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
      const int arc = core_.leaving[at(i)];
      const int w = core_.head(arc);
      const double next = far + core_.edges[at(arc >> 1)].cost;
      if (next > limit || next >= distance_[at(w)] || !passes(arc >> 1, w)) continue;
      if (distance_[at(w)] == kFar) touched_.push_back(w);
      distance_[at(w)] = next;
      heap_.emplace_back(next, w);
      std::push_heap(heap_.begin(), heap_.end(), std::greater<>());
    }
  }
  for (int v : touched_) distance_[at(v)] = kFar;
}

void NearNodes::find(int node) {
  std::vector<Near>& list = near_[at(node)];
  search(
      node, kFar, kMostNear, [](int, int) { return true; },
      [&](int v, double far) {
        list.push_back({v, far});
        return false;
      });
  std::sort(list.begin(), list.end(), [](const Near& x, const Near& y) { return x.node < y.node; });
}

double NearNodes::between(int u, int v) {
  double best = kFar;
  for (const auto& [from, to] : {std::pair{u, v}, std::pair{v, u}}) {
    if (near_[at(from)].empty()) find(from);
    const auto& list = near_[at(from)];
    const auto place = std::lower_bound(list.begin(), list.end(), to,
                                        [](const Near& x, int node) { return x.node < node; });
    if (place != list.end() && place->node == to) return place->distance;
  }
  return best;
}

double NearNodes::around(int u, int v, const std::vector<char>& alive, int edge, int node,
                         double limit) {
  double found = kFar;
  search(
      u, limit, kMostAround, [&](int e, int w) { return alive[at(e)] && e != edge && w != node; },
      [&](int w, double far) {
        if (w == v) found = far;
        return w == v;
      });
  return found;
}

}  // namespace roomloom::network
