#include "network/contracted_sets.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <utility>

namespace roomloom::network {
namespace {

constexpr int kParts = 11;
constexpr std::size_t kSizes = 24;     ///< of what sets need, each half of the next
constexpr double kMostShare = 0.9999;  ///< of what a set needs, for a cut to count as violated

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

class Contraction {
 public:
  Contraction(const PooledFlow& flow, std::span<const double> openings,
              std::span<const double> amounts)
      : flow_(flow), openings_(openings), amounts_(amounts), above_(flow.balance.size()) {
    for (const double b : flow.balance) total_ += std::max(0.0, b);
    for (std::size_t a = 0; a < flow.arcs.size(); ++a)
      if (amounts[a] > 1e-9 && flow.arcs[a].tail != flow.arcs[a].head)
        carrying_.push_back(static_cast<int>(a));
  }

  void run(std::mt19937_64& random, std::vector<std::vector<char>>& sets) {
    contract(random);
    number_parts();
    look_at_unions(sets);
  }

 private:
  int part_of(int v) {
    while (above_[at(v)] != v) v = above_[at(v)] = above_[at(above_[at(v)])];
    return v;
  }

  void contract(std::mt19937_64& random) {
    const auto share = [&] { return (static_cast<double>(random() >> 11) + 0.5) * 0x1p-53; };
    const double level = std::pow(total_, share());
    std::vector<std::pair<double, int>> order;
    for (const int a : carrying_)
      order.emplace_back(
          -std::log(share()) / (1e-9 + std::min(amounts_[at(a)] / level, openings_[at(a)])), a);
    std::sort(order.begin(), order.end());
    std::iota(above_.begin(), above_.end(), 0);
    std::vector<char> touched(above_.size(), 0);
    int parts = 0;
    for (const int a : carrying_)
      for (const int v : {flow_.arcs[at(a)].tail, flow_.arcs[at(a)].head})
        if (!std::exchange(touched[at(v)], 1)) ++parts;
    for (const auto& [when, a] : order) {
      if (parts <= kParts) break;
      const int tail = part_of(flow_.arcs[at(a)].tail), head = part_of(flow_.arcs[at(a)].head);
      if (tail == head) continue;
      above_[at(tail)] = head;
      --parts;
    }
  }

  /// Nodes that nothing flows through are in no part. Of a relaxation's solution in more pieces
  /// than there may be parts, the rest counts as one.
  void number_parts() {
    number_.assign(above_.size(), -1);
    count_ = 0;
    const auto visit = [&](int v) {
      int& number = number_[at(part_of(v))];
      if (number < 0) number = std::min(count_++, kParts - 1);
      number_[at(v)] = number;
    };
    for (const int a : carrying_) {
      visit(flow_.arcs[at(a)].tail);
      visit(flow_.arcs[at(a)].head);
    }
    count_ = std::min(count_, kParts);
    needed_.assign(at(count_), 0.0);
    for (std::size_t v = 0; v < number_.size(); ++v)
      if (number_[v] >= 0) needed_[at(number_[v])] -= flow_.balance[v];
    crossing_.clear();
    for (const int a : carrying_) {
      const int from = number_[at(flow_.arcs[at(a)].tail)];
      const int to = number_[at(flow_.arcs[at(a)].head)];
      if (from != to)
        crossing_.push_back({1U << from, 1U << to, amounts_[at(a)], openings_[at(a)]});
    }
  }

  /// Keeps for each size of need the union that has the least share of it.
  void look_at_unions(std::vector<std::vector<char>>& sets) {
    struct Union {
      double share = kMostShare;
      std::uint32_t parts = 0;
    };
    std::vector<Union> best(kSizes);
    std::uint32_t parts = 0;
    double needed = 0;
    for (std::uint32_t i = 1; i < 1U << count_; ++i) {
      int flip = 0;  // of a Gray code
      while (!(i >> flip & 1U)) ++flip;
      parts ^= 1U << flip;
      needed += (parts >> flip & 1U ? 1 : -1) * needed_[at(flip)];
      if (needed <= 1e-7 * total_) continue;
      const double size = std::min(std::log2(total_ / needed), static_cast<double>(kSizes) - 1);
      Union& one = best[static_cast<std::size_t>(std::max(0.0, size))];
      const double most = one.share * needed;
      double sum = 0;
      for (const Crossing& c : crossing_) {
        if (!(parts & c.to) || parts & c.from) continue;
        sum += std::min(c.amount, needed * c.opening);
        if (sum >= most) break;
      }
      if (sum < most) one = {sum / needed, parts};
    }
    for (const Union& one : best) {
      if (one.parts == 0) continue;
      sets.emplace_back(number_.size(), 0);
      for (std::size_t v = 0; v < number_.size(); ++v)
        sets.back()[v] = number_[v] >= 0 && one.parts >> number_[v] & 1U;
    }
  }

  struct Crossing {
    std::uint32_t from, to;  ///< bits of the parts
    double amount, opening;
  };

  const PooledFlow& flow_;
  std::span<const double> openings_, amounts_;
  double total_ = 0;
  std::vector<int> carrying_;  ///< arcs
  std::vector<int> above_;     ///< of a node towards the one that stands for its part
  std::vector<int> number_;    ///< of a node's part; -1: none
  int count_ = 0;
  std::vector<double> needed_;  ///< by a part
  std::vector<Crossing> crossing_;
};

}  // namespace

std::vector<std::vector<char>> contracted_sets(const PooledFlow& flow,
                                               std::span<const double> openings,
                                               std::span<const double> amounts,
                                               std::mt19937_64& random, double deadline) {
  std::vector<std::vector<char>> sets;
  Contraction contraction(flow, openings, amounts);
  const std::size_t count = 20 + flow.balance.size();
  for (std::size_t i = 0; i < count && now() < deadline; ++i) contraction.run(random, sets);
  return sets;
}

}  // namespace roomloom::network
