#include "network/flow_cuts.h"

#include <algorithm>
#include <chrono>
#include <random>
#include <set>
#include <utility>

#include "network/contracted_sets.h"

namespace roomloom::network {
namespace {

constexpr std::size_t kMostCuts = 150;    ///< of one search, and as many of contractions
constexpr double kLeastViolation = 1e-4;  ///< as a share of what the set needs

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

class CutSearch {
 public:
  CutSearch(const PooledFlow& flow, std::span<const double> openings,
            std::span<const double> amounts, std::uint64_t seed)
      : flow_(flow), openings_(openings), amounts_(amounts), random_(seed) {
    touching_.resize(flow.balance.size());
    for (const double b : flow.balance) total_ += std::max(0.0, b);
    for (std::size_t a = 0; a < flow.arcs.size(); ++a) {
      if (flow.arcs[a].tail == flow.arcs[a].head || amounts[a] <= 1e-9) continue;
      carrying_.push_back(static_cast<int>(a));
      touching_[at(flow.arcs[a].tail)].push_back(static_cast<int>(a));
      touching_[at(flow.arcs[a].head)].push_back(static_cast<int>(a));
    }
  }

  std::vector<FlowCut> run(double deadline) {
    const std::size_t nodes = flow_.balance.size();
    for (std::size_t i = 0; i < 3 * nodes && cuts_.size() < kMostCuts && now() < deadline; ++i) {
      in_.assign(nodes, 0);
      i < nodes ? static_cast<void>(in_[i] = 1) : grow();
      needed_ = needed();
      if (needed_ < 0) {
        for (char& in : in_) in = !in;
        needed_ = -needed_;
      }
      if (needed_ <= 1e-9) continue;
      improve(i);
      if (share_ < 1 - kLeastViolation && seen_.insert(in_).second) keep();
    }
    for (std::vector<char>& set : contracted_sets(flow_, openings_, amounts_, random_, deadline)) {
      if (cuts_.size() >= 2 * kMostCuts) break;
      in_ = std::move(set);
      needed_ = needed();
      share_ = share(needed_);
      if (share_ < 1 - kLeastViolation && seen_.insert(in_).second) keep();
    }
    return std::move(cuts_);
  }

 private:
  const FlowArc& arc(int a) const { return flow_.arcs[at(a)]; }
  double random_share() { return static_cast<double>(random_() >> 11) * 0x1p-53; }

  /// Adds nodes one by one over arcs with much flow and little opening.
  void grow() {
    const std::size_t nodes = in_.size();
    std::size_t size = 2 + random_() % std::max<std::size_t>(1, nodes / 2);
    std::vector<int> set{static_cast<int>(random_() % nodes)};
    in_[at(set[0])] = 1;
    std::vector<std::pair<int, double>> next;
    for (; set.size() < size;) {
      next.clear();
      double sum = 0;
      for (const int v : set) {
        for (const int a : touching_[at(v)]) {
          const int other = arc(a).tail == v ? arc(a).head : arc(a).tail;
          if (in_[at(other)] || amounts_[at(a)] <= 1e-9) continue;
          next.emplace_back(other, amounts_[at(a)] * (1.01 - openings_[at(a)]));
          sum += next.back().second;
        }
      }
      if (next.empty()) return;
      double pick = sum * random_share();
      int chosen = next.back().first;
      for (const auto& [other, weight] : next) {
        pick -= weight;
        if (pick >= 0) continue;
        chosen = other;
        break;
      }
      in_[at(chosen)] = 1;
      set.push_back(chosen);
    }
  }

  double needed() const {
    double sum = 0;
    for (std::size_t v = 0; v < in_.size(); ++v)
      if (in_[v]) sum -= flow_.balance[v];
    return sum;
  }

  double part(int a, double needed) const {
    return std::min(amounts_[at(a)], needed * openings_[at(a)]);
  }

  /// What the cut of the set has, as a share of what it needs; below 1 it is violated.
  double share(double needed) const {
    double sum = 0;
    for (const int a : carrying_)
      if (!in_[at(arc(a).tail)] && in_[at(arc(a).head)]) sum += part(a, needed);
    return sum / needed;
  }

  bool at_border(int v) const {
    return std::any_of(touching_[at(v)].begin(), touching_[at(v)].end(),
                       [&](int a) { return in_[at(arc(a).tail)] != in_[at(arc(a).head)]; });
  }

  /// Share when v changes sides.
  double share_after(int v) {
    const double needed = needed_ + (in_[at(v)] ? 1 : -1) * flow_.balance[at(v)];
    if (needed <= 1e-9) return kUnlimited;
    if (flow_.balance[at(v)] != 0) {
      in_[at(v)] = !in_[at(v)];
      const double after = share(needed);
      in_[at(v)] = !in_[at(v)];
      return after;
    }
    double sum = share_ * needed_;
    for (const int a : touching_[at(v)]) {
      const bool comes = arc(a).head == v;  // else it leaves v
      const char other = in_[at(comes ? arc(a).tail : arc(a).head)];
      if (in_[at(v)]) {
        if (comes && !other) sum -= part(a, needed_);
        if (!comes && other) sum += part(a, needed_);
      } else {
        if (comes && !other) sum += part(a, needed_);
        if (!comes && other) sum -= part(a, needed_);
      }
    }
    return sum / needed_;
  }

  void improve(std::size_t first) {
    const int nodes = static_cast<int>(in_.size());
    share_ = share(needed_);
    bool better = true;
    for (int pass = 0; pass < 20 && better; ++pass) {
      better = false;
      for (int i = 0; i < nodes; ++i) {
        const int v = static_cast<int>((at(i) + first) % in_.size());
        if (flow_.balance[at(v)] == 0 && !at_border(v)) continue;
        const double after = share_after(v);
        if (after >= share_ - 1e-9) continue;
        needed_ += (in_[at(v)] ? 1 : -1) * flow_.balance[at(v)];
        in_[at(v)] = !in_[at(v)];
        share_ = after;
        better = true;
      }
    }
  }

  /// Whether the arc counts by its opening, not by its flow: the lesser of the two. Where they are
  /// alike, mostly none, what it would cost a plan to fill the cut by one or the other decides.
  bool by_opening(int a, double needed) const {
    const double flow = amounts_[at(a)], opening = needed * openings_[at(a)];
    if (std::abs(flow - opening) > 1e-7 * needed) return flow > opening;
    return arc(a).fixed / needed > arc(a).cost + arc(a).fixed / total_;
  }

  void keep() {
    FlowCut cut;
    // Summed anew: what was added and taken off along the search may have left a trace.
    cut.needed = needed();
    for (int a = 0; a < static_cast<int>(flow_.arcs.size()); ++a)
      if (!in_[at(arc(a).tail)] && in_[at(arc(a).head)])
        cut.parts.push_back({a, by_opening(a, cut.needed)});
    cuts_.push_back(std::move(cut));
  }

  const PooledFlow& flow_;
  std::span<const double> openings_, amounts_;
  std::mt19937_64 random_;
  std::vector<std::vector<int>> touching_;  ///< arcs with flow of a node
  std::vector<char> in_;
  double total_ = 0;           ///< of what is given
  std::vector<int> carrying_;  ///< arcs with flow
  double needed_ = 0;          ///< by the set
  double share_ = 0;           ///< of it that the solution has
  std::set<std::vector<char>> seen_;
  std::vector<FlowCut> cuts_;
};

}  // namespace

std::vector<FlowCut> violated_cuts(const PooledFlow& flow, std::span<const double> openings,
                                   std::span<const double> amounts, std::uint64_t seed,
                                   double deadline) {
  return CutSearch(flow, openings, amounts, seed).run(deadline);
}

}  // namespace roomloom::network
