#include "network/send_and_split.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>

namespace roomloom::network {
namespace {

constexpr double kMostSums = 1.2e10;
constexpr double kMostNumbers = 6e7;
constexpr double kFar = kUnlimited;

using Set = std::uint32_t;  ///< bit i: end i; the last end is the root and in none

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

std::vector<int> ends_of(const PooledFlow& flow) {
  double total = 0;
  for (const double b : flow.balance) total += std::abs(b);
  std::vector<int> ends;
  for (std::size_t v = 0; v < flow.balance.size(); ++v)
    if (std::abs(flow.balance[v]) > 1e-12 * total) ends.push_back(static_cast<int>(v));
  return ends;
}

/// A cheapest plan is a forest. What an arc of it carries is what the ends on one of its sides need
/// together, so the cost of bringing that to a node, or away from it, follows from the set alone.
class SendAndSplit {
 public:
  explicit SendAndSplit(const PooledFlow& flow)
      : flow_(flow), nodes_(flow.balance.size()), ends_(ends_of(flow)) {
    from_.resize(nodes_);
    into_.resize(nodes_);
    for (std::size_t a = 0; a < flow.arcs.size(); ++a) {
      if (flow.arcs[a].tail == flow.arcs[a].head) continue;
      from_[at(flow.arcs[a].tail)].push_back(static_cast<int>(a));
      into_[at(flow.arcs[a].head)].push_back(static_cast<int>(a));
    }
    for (const double b : flow.balance) zero_ += 1e-10 * std::abs(b);
  }

  std::optional<std::vector<double>> run(double deadline) {
    std::vector<double> amounts(flow_.arcs.size(), 0.0);
    if (ends_.empty()) return amounts;
    const std::size_t others = ends_.size() - 1;
    const Set all = static_cast<Set>((std::size_t{1} << others) - 1);
    needs_.assign(std::size_t{1} << others, 0.0);
    costs_.assign((std::size_t{1} << others) * nodes_, kFar);
    for (Set set = 1; set <= all; ++set) {
      if (set % 64 == 0 && now() > deadline) return std::nullopt;
      for (std::size_t i = 0; i < others; ++i)
        if (set >> i & 1U) needs_[set] -= flow_.balance[at(ends_[i])];
      if (std::abs(needs_[set]) <= zero_) needs_[set] = 0;
      split(set);
      send(set);
    }
    if (all > 0 && !(cost(all, ends_.back()) < kFar)) return std::vector<double>{};
    if (all > 0) lay(all, ends_.back(), amounts);
    return amounts;
  }

 private:
  double* row(Set set) { return costs_.data() + std::size_t{set} * nodes_; }
  double& cost(Set set, int node) { return row(set)[node]; }

  /// A set of one is at its end for nothing; others are two sets at one node.
  void split(Set set) {
    double* to = row(set);
    const Set lowest = set & (~set + 1);
    if (set == lowest) {
      int i = 0;
      while (!(set >> i & 1U)) ++i;
      to[ends_[at(i)]] = 0;
      return;
    }
    const Set rest = set ^ lowest;
    for (Set part = (rest - 1) & rest;; part = (part - 1) & rest) {
      const double* one = row(part | lowest);
      const double* other = row(rest ^ part);
      for (std::size_t v = 0; v < nodes_; ++v) {
        const double sum = one[v] + other[v];
        to[v] = sum < to[v] ? sum : to[v];
      }
      if (part == 0) break;
    }
  }

  double price(int arc, double amount) const {
    return flow_.arcs[at(arc)].fixed + flow_.arcs[at(arc)].cost * amount;
  }

  /// What a set needs may come from any node over arcs, what it has too much goes to any.
  void send(Set set) {
    double* to = row(set);
    const double need = needs_[set];
    if (need == 0) {
      std::fill_n(to, nodes_, *std::min_element(to, to + nodes_));
      return;
    }
    const std::vector<std::vector<int>>& arcs = need > 0 ? into_ : from_;
    waiting_.clear();
    for (std::size_t v = 0; v < nodes_; ++v)
      if (to[v] < kFar) waiting_.push_back({to[v], static_cast<int>(v)});
    std::make_heap(waiting_.begin(), waiting_.end(), std::greater<>());
    while (!waiting_.empty()) {
      std::pop_heap(waiting_.begin(), waiting_.end(), std::greater<>());
      const auto [reached, v] = waiting_.back();
      waiting_.pop_back();
      if (reached > to[v]) continue;
      for (const int a : arcs[at(v)]) {
        const int u = need > 0 ? flow_.arcs[at(a)].tail : flow_.arcs[at(a)].head;
        const double sum = reached + price(a, std::abs(need));
        if (sum >= to[u]) continue;
        to[u] = sum;
        waiting_.push_back({sum, u});
        std::push_heap(waiting_.begin(), waiting_.end(), std::greater<>());
      }
    }
  }

  /// The part with the lowest end of a split at the node that costs what the set does there; 0:
  /// none
  Set cheapest_split(Set set, int node) {
    const Set lowest = set & (~set + 1);
    const Set rest = set ^ lowest;
    for (Set part = (rest - 1) & rest; rest != 0; part = (part - 1) & rest) {
      if (cost(part | lowest, node) + cost(rest ^ part, node) <= cost(set, node))
        return part | lowest;
      if (part == 0) break;
    }
    return 0;
  }

  bool is_end(Set set, int node) const {
    for (std::size_t i = 0; i + 1 < ends_.size(); ++i)
      if (set == Set{1} << i) return ends_[i] == node;
    return false;
  }

  /// Goes over arcs along which the cost falls by their price, until the set splits or ends.
  /// @return where; `over` holds the arcs
  int walk(Set set, int node, std::vector<int>& over) {
    const double need = needs_[set];
    std::vector<int> by(nodes_, -2), order{node};
    by[at(node)] = -1;
    for (std::size_t i = 0; i < order.size(); ++i) {
      const int v = order[i];
      if (is_end(set, v) || cheapest_split(set, v) != 0) {
        for (int u = v; by[at(u)] >= 0;) {
          const FlowArc& arc = flow_.arcs[at(by[at(u)])];
          over.push_back(by[at(u)]);
          u = arc.tail == u ? arc.head : arc.tail;
        }
        return v;
      }
      for (const int a : (need > 0 ? from_ : into_)[at(v)]) {
        const int u = need > 0 ? flow_.arcs[at(a)].head : flow_.arcs[at(a)].tail;
        if (by[at(u)] != -2 || cost(set, u) + price(a, std::abs(need)) > cost(set, v)) continue;
        by[at(u)] = a;
        order.push_back(u);
      }
    }
    return node;
  }

  /// Adds to `amounts` what the set needs at the node.
  void lay(Set set, int node, std::vector<double>& amounts) {
    const double need = needs_[set];
    std::vector<int> over;
    if (need == 0) {  // a part for itself, wherever it splits
      node = 0;
      while (cheapest_split(set, node) == 0) ++node;
    } else {
      node = walk(set, node, over);
      for (const int a : over) amounts[at(a)] += std::abs(need);
    }
    if (is_end(set, node)) return;
    const Set part = cheapest_split(set, node);
    lay(part, node, amounts);
    lay(set ^ part, node, amounts);
  }

  const PooledFlow& flow_;
  std::size_t nodes_;
  std::vector<int> ends_;
  std::vector<std::vector<int>> from_, into_;  ///< arcs of a node
  double zero_ = 0;
  std::vector<double> needs_;  ///< one a set; below 0: what it has too much
  std::vector<double> costs_;  ///< one a set and node: of bringing it there what it needs
  struct Reached {
    double cost;
    int node;
    bool operator>(const Reached& other) const { return cost > other.cost; }
  };
  std::vector<Reached> waiting_;
};

}  // namespace

bool can_send_and_split(const PooledFlow& flow) {
  const double others = static_cast<double>(ends_of(flow).size()) - 1;
  const double nodes = static_cast<double>(flow.balance.size());
  return others < 31 && std::pow(3, others) / 2 * nodes <= kMostSums &&
         std::pow(2, others) * nodes <= kMostNumbers;
}

std::optional<std::vector<double>> send_and_split(const PooledFlow& flow, double deadline) {
  return SendAndSplit(flow).run(deadline);
}

}  // namespace roomloom::network
