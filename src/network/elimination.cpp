#include "network/elimination.h"

#include <algorithm>
#include <limits>
#include <queue>
#include <tuple>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

class Eliminator {
 public:
  Eliminator(const SteinerCore& core, int last, std::size_t bag_limit)
      : last_(last),
        bag_limit_(bag_limit),
        near_(at(core.node_count)),
        score_(at(core.node_count), 0),
        place_(at(core.node_count), -1) {
    for (const SteinerEdge& edge : core.edges) {
      near_[at(edge.a)].push_back(edge.b);
      near_[at(edge.b)].push_back(edge.a);
    }
    for (auto& list : near_) {
      std::sort(list.begin(), list.end());
      list.erase(std::unique(list.begin(), list.end()), list.end());
    }
  }

  Elimination run() {
    Elimination out;
    const int count = static_cast<int>(near_.size());
    for (int v = 0; v < count; ++v) rate(v);
    while (static_cast<int>(out.order.size()) < count) {
      int v = last_;
      if (static_cast<int>(out.order.size()) + 1 < count) {
        const auto [score, degree, node] = queue_.top();
        queue_.pop();
        if (place_[at(node)] >= 0 || score != score_[at(node)] || degree != near_[at(node)].size())
          continue;
        v = node;
      }
      if (near_[at(v)].size() + 1 > bag_limit_) return {};
      place_[at(v)] = static_cast<int>(out.order.size());
      out.order.push_back(v);
      out.bags.push_back(near_[at(v)]);
      out.largest_bag = std::max(out.largest_bag, near_[at(v)].size() + 1);
      take_out(v);
    }
    for (std::size_t i = 0; i < out.bags.size(); ++i) {
      auto& bag = out.bags[i];
      std::sort(bag.begin(), bag.end(),
                [&](int x, int y) { return place_[at(x)] < place_[at(y)]; });
      bag.insert(bag.begin(), out.order[i]);
    }
    return out;
  }

 private:
  bool adjacent(int a, int b) const {
    const auto& list = near_[at(a)];
    return std::binary_search(list.begin(), list.end(), b);
  }

  void rate(int v) {
    if (v == last_ || place_[at(v)] >= 0) return;
    const auto& list = near_[at(v)];
    int fill = 0;
    if (list.size() >= bag_limit_) {
      fill = std::numeric_limits<int>::max();
    } else {
      for (std::size_t i = 0; i < list.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) fill += adjacent(list[i], list[j]) ? 0 : 1;
    }
    score_[at(v)] = fill;
    queue_.emplace(fill, list.size(), v);
  }

  void take_out(int v) {
    const std::vector<int> around = near_[at(v)];
    std::vector<int> stale;
    for (int a : around) {
      auto& list = near_[at(a)];
      list.erase(std::find(list.begin(), list.end(), v));
      for (int b : around)
        if (b != a && !adjacent(a, b))
          list.insert(std::lower_bound(list.begin(), list.end(), b), b);
      if (list.size() < 4 * bag_limit_) stale.insert(stale.end(), list.begin(), list.end());
      stale.push_back(a);
    }
    std::sort(stale.begin(), stale.end());
    stale.erase(std::unique(stale.begin(), stale.end()), stale.end());
    for (int w : stale) rate(w);
  }

  int last_;
  std::size_t bag_limit_;
  std::vector<std::vector<int>> near_;  ///< neighbours not yet taken out, ascending
  std::vector<int> score_;
  std::vector<int> place_;
  using Entry = std::tuple<int, std::size_t, int>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue_;
};

}  // namespace

Elimination eliminate(const SteinerCore& core, int last, std::size_t bag_limit) {
  return Eliminator(core, last, bag_limit).run();
}

}  // namespace roomloom::network
