#include "network/flow_trees.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <random>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// A spanning tree with the flow that the balances force on it. Nodes hang from node 0; `arc_up`
/// joins a node to its parent in either direction.
class FlowTree {
 public:
  explicit FlowTree(const PooledFlow& flow) : nodes_(flow.balance.size()), arcs_(flow.arcs) {
    for (const double b : flow.balance) total_ += std::max(0.0, b);
    for (const FlowArc& arc : arcs_) dear_ += arc.fixed + arc.cost * total_;
    zero_ = 1e-9 * (1 + total_);
    hang(flow.balance);
  }

  /// Above it, some dear arc carries flow.
  double most() const { return dear_; }
  double cost() const {
    double sum = 0;
    for (std::size_t v = 1; v < nodes_; ++v) sum += price(arcs_[at(arc_up_[v])], up_[v]);
    return sum;
  }

  /// An arc that would come in.
  struct Pivot {
    int arc = -1;
    double change = 0;  ///< of the cost
    double amount = 0;  ///< that would flow over it
    int leaves = -1;    ///< the arc above this node goes
    bool on_tail_side = false;
  };

  /// @return arc -1 where the arc can or need not come in
  Pivot look(int entering) {
    const FlowArc& arc = arcs_[at(entering)];
    Pivot pivot;
    if (arc.tail == arc.head || arc_up_[at(arc.tail)] == entering ||
        arc_up_[at(arc.head)] == entering)
      return pivot;
    const int top = meeting(arc.tail, arc.head);
    pivot.amount = kUnlimited;
    // Round the cycle flow goes from tail to head, then from head up to the top and down to tail.
    const auto bound_by = [&](int from, bool tail_side) {
      for (int v = from; v != top; v = parent_[at(v)]) {
        const bool upward = arcs_[at(arc_up_[at(v)])].tail == v;
        if (upward != tail_side || up_[at(v)] >= pivot.amount) continue;
        pivot.amount = up_[at(v)];
        pivot.leaves = v;
        pivot.on_tail_side = tail_side;
      }
    };
    bound_by(arc.tail, true);
    bound_by(arc.head, false);
    if (pivot.leaves < 0) return pivot;  // a cycle without an end: nothing is won on it
    pivot.arc = entering;
    if (pivot.amount <= zero_) return pivot;
    pivot.change = price(arc, pivot.amount);
    const auto count = [&](int from, bool tail_side) {
      for (int v = from; v != top; v = parent_[at(v)]) {
        const FlowArc& one = arcs_[at(arc_up_[at(v)])];
        const double less = (one.tail == v) == tail_side ? -pivot.amount : pivot.amount;
        pivot.change += price(one, up_[at(v)] + less) - price(one, up_[at(v)]);
      }
    };
    count(arc.tail, true);
    count(arc.head, false);
    return pivot;
  }

  void take(const Pivot& pivot) {
    const FlowArc arc = arcs_[at(pivot.arc)];
    const int top = meeting(arc.tail, arc.head);
    const auto shift = [&](int from, bool tail_side) {
      for (int v = from; v != top; v = parent_[at(v)]) {
        const bool upward = arcs_[at(arc_up_[at(v)])].tail == v;
        up_[at(v)] = std::max(0.0, up_[at(v)] + (upward == tail_side ? -1 : 1) * pivot.amount);
      }
    };
    shift(arc.tail, true);
    shift(arc.head, false);
    // The part cut off hangs from the arc's end in it now: parents turn round up to the cut.
    int v = pivot.on_tail_side ? arc.tail : arc.head;
    int parent = pivot.on_tail_side ? arc.head : arc.tail;
    int joined = pivot.arc;
    double amount = pivot.amount;
    for (;;) {
      const int above = parent_[at(v)], old = arc_up_[at(v)];
      const double flow = up_[at(v)];
      parent_[at(v)] = parent;
      arc_up_[at(v)] = joined;
      up_[at(v)] = amount;
      if (v == pivot.leaves) break;
      parent = v;
      v = above;
      joined = old;
      amount = flow;
    }
  }

  std::vector<double> flows(std::size_t count) const {
    std::vector<double> flow(count, 0.0);
    for (std::size_t v = 1; v < nodes_; ++v)
      if (at(arc_up_[v]) < count && up_[v] > zero_) flow[at(arc_up_[v])] += up_[v];
    return flow;
  }

 private:
  double price(const FlowArc& arc, double flow) const {
    return flow > zero_ ? arc.fixed + arc.cost * flow : 0;
  }

  int meeting(int a, int b) {
    ++round_;
    for (int v = a; v >= 0; v = parent_[at(v)]) seen_[at(v)] = round_;
    int v = b;
    while (seen_[at(v)] != round_) v = parent_[at(v)];
    return v;
  }

  /// Every node hangs by a dear arc from node 0.
  void hang(const std::vector<double>& balance) {
    parent_.assign(nodes_, -1);
    arc_up_.assign(nodes_, -1);
    up_.assign(nodes_, 0.0);
    seen_.assign(nodes_, 0);
    for (int v = 1; v < static_cast<int>(nodes_); ++v) {
      const bool gives = balance[at(v)] > 0;
      arcs_.push_back({gives ? v : 0, gives ? 0 : v, dear_, dear_, kUnlimited});
      parent_[at(v)] = 0;
      arc_up_[at(v)] = static_cast<int>(arcs_.size()) - 1;
      up_[at(v)] = std::abs(balance[at(v)]);
    }
  }

  std::size_t nodes_;
  std::vector<FlowArc> arcs_;  ///< of the problem, then the dear ones
  double dear_ = 1, total_ = 0, zero_ = 0;
  std::vector<int> parent_, arc_up_;
  std::vector<double> up_;  ///< flow of the arc above a node
  std::vector<std::uint64_t> seen_;
  std::uint64_t round_ = 0;
};

}  // namespace

std::vector<double> anneal_trees(const PooledFlow& flow, std::int64_t pivots, std::uint64_t seed,
                                 double deadline) {
  if (flow.arcs.empty()) return {};
  FlowTree tree(flow);
  std::mt19937_64 random(seed);
  const auto share = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
  const auto any = [&] {
    return static_cast<int>(random() % static_cast<std::uint64_t>(flow.arcs.size()));
  };
  double cost = tree.cost(), least = tree.most();
  std::vector<double> best;
  const auto move = [&](double heat) {
    const FlowTree::Pivot pivot = tree.look(any());
    if (pivot.arc < 0) return;
    if (pivot.change > 0 && share() >= std::exp(-pivot.change / heat)) return;
    tree.take(pivot);
    cost += pivot.change;
    if (cost >= least * (1 - 1e-12)) return;
    least = cost;
    best = tree.flows(flow.arcs.size());
  };
  // Downhill first, out of the dear arcs; then from heat at which a twentieth of what an average
  // node's share costs counts little, to a thousandth of it.
  for (std::int64_t i = 0; i < pivots / 10; ++i) move(1e-9 * tree.most());
  const double hot =
      0.05 * std::min(cost, tree.most()) / std::sqrt(static_cast<double>(flow.balance.size()));
  for (std::int64_t i = 0; i < pivots; ++i) {
    if (i % 1024 == 0 && now() > deadline) break;
    move(hot * std::pow(1e-3, static_cast<double>(i) / static_cast<double>(pivots)));
  }
  return best;
}

}  // namespace roomloom::network
