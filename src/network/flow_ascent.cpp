#include "network/flow_ascent.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace roomloom::network {
namespace {

/// Of all cuts together: in dense graphs the relaxation would drown in them.
constexpr std::size_t kMostParts = 200'000;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

class FlowAscent {
 public:
  explicit FlowAscent(const PooledFlow& flow)
      : flow_(flow), from_(flow.balance.size()), into_(flow.balance.size()) {
    for (std::size_t a = 0; a < flow.arcs.size(); ++a) {
      left_.push_back(flow.arcs[a].fixed);
      from_[at(flow.arcs[a].tail)].push_back(static_cast<int>(a));
      into_[at(flow.arcs[a].head)].push_back(static_cast<int>(a));
    }
    for (const double b : flow.balance) zero_ += 1e-9 * std::abs(b);
  }

  std::vector<FlowCut> run() {
    std::vector<int> active;
    for (std::size_t v = 0; v < flow_.balance.size(); ++v)
      if (std::abs(flow_.balance[v]) > zero_) active.push_back(static_cast<int>(v));
    // The smaller sets first, as those of all ends in turn grow: once round, a step each.
    while (!active.empty() && parts_ < kMostParts) {
      std::size_t kept = 0;
      for (const int end : active)
        if (step(end)) active[kept++] = end;
      active.resize(kept);
    }
    return std::move(cuts_);
  }

 private:
  /// @return false: the end has no cut left that is unpaid
  bool step(int end) {
    const bool takes = flow_.balance[at(end)] < 0;
    const auto& arcs = takes ? into_ : from_;
    std::vector<char> in(flow_.balance.size(), 0);
    std::vector<int> set{end};
    in[at(end)] = 1;
    double needed = 0;
    for (std::size_t i = 0; i < set.size(); ++i) {
      needed += (takes ? -1 : 1) * flow_.balance[at(set[i])];
      for (const int a : arcs[at(set[i])]) {
        const int other = takes ? flow_.arcs[at(a)].tail : flow_.arcs[at(a)].head;
        if (in[at(other)] || left_[at(a)] > 0) continue;
        in[at(other)] = 1;
        set.push_back(other);
      }
    }
    if (needed <= zero_) return false;
    FlowCut cut;
    cut.needed = needed;
    double least = kUnlimited;
    for (const int v : set) {
      for (const int a : arcs[at(v)]) {
        if (in[at(takes ? flow_.arcs[at(a)].tail : flow_.arcs[at(a)].head)]) continue;
        cut.parts.push_back({a, true});
        least = std::min(least, left_[at(a)]);
      }
    }
    if (cut.parts.empty()) return false;
    for (const FlowCut::Part& part : cut.parts) {
      double& left = left_[at(part.arc)];
      left = left <= least * (1 + 1e-12) ? 0 : left - least;
    }
    parts_ += cut.parts.size();
    cuts_.push_back(std::move(cut));
    return true;
  }

  const PooledFlow& flow_;
  std::vector<std::vector<int>> from_, into_;  ///< arcs of a node
  std::vector<double> left_;                   ///< of the price of an arc's opening
  double zero_ = 0;
  std::vector<FlowCut> cuts_;
  std::size_t parts_ = 0;
};

}  // namespace

std::vector<FlowCut> ascent_cuts(const PooledFlow& flow) { return FlowAscent(flow).run(); }

}  // namespace roomloom::network
