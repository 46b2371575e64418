#include "takeoff/set_cover.h"

#include <algorithm>

namespace roomloom {
namespace {

class Search {
 public:
  Search(int elements, const std::vector<std::vector<int>>& sets, long most_steps)
      : sets_(sets), holders_(static_cast<std::size_t>(elements)), steps_left_(most_steps) {
    for (std::size_t s = 0; s < sets.size(); ++s)
      for (const int e : sets[s])
        holders_[static_cast<std::size_t>(e)].push_back(static_cast<int>(s));
    covered_.assign(static_cast<std::size_t>(elements), 0);
  }

  SetCover run() {
    best_ = greedy();
    branch();
    std::sort(best_.begin(), best_.end());
    return {best_, steps_left_ > 0};
  }

 private:
  void take(int set, int by) {
    for (const int e : sets_[static_cast<std::size_t>(set)])
      covered_[static_cast<std::size_t>(e)] += by;
  }

  int gain(int set) const {
    int count = 0;
    for (const int e : sets_[static_cast<std::size_t>(set)])
      if (covered_[static_cast<std::size_t>(e)] == 0) ++count;
    return count;
  }

  std::vector<int> greedy() {
    std::vector<int> chosen;
    while (true) {
      int best = -1, most = 0;
      for (std::size_t s = 0; s < sets_.size(); ++s) {
        const int more = gain(static_cast<int>(s));
        if (more > most) {
          most = more;
          best = static_cast<int>(s);
        }
      }
      if (best < 0) break;
      take(best, 1);
      chosen.push_back(best);
    }
    for (const int set : chosen) take(set, -1);
    return chosen;
  }

  /// Elements no two of which share a set: each needs a set of its own.
  std::size_t least_further() const {
    std::vector<char> used(sets_.size(), 0);
    std::size_t count = 0;
    for (std::size_t e = 0; e < holders_.size(); ++e) {
      if (covered_[e] != 0) continue;
      const bool alone = std::none_of(holders_[e].begin(), holders_[e].end(), [&](int s) {
        return used[static_cast<std::size_t>(s)] != 0;
      });
      if (!alone) continue;
      ++count;
      for (const int s : holders_[e]) used[static_cast<std::size_t>(s)] = 1;
    }
    return count;
  }

  void branch() {
    if (--steps_left_ <= 0) return;
    std::size_t hardest = holders_.size();
    for (std::size_t e = 0; e < holders_.size(); ++e)
      if (covered_[e] == 0 &&
          (hardest == holders_.size() || holders_[e].size() < holders_[hardest].size()))
        hardest = e;
    if (hardest == holders_.size()) {
      if (taken_.size() < best_.size()) best_ = taken_;
      return;
    }
    if (taken_.size() + least_further() >= best_.size()) return;
    std::vector<int> choices = holders_[hardest];
    std::stable_sort(choices.begin(), choices.end(),
                     [&](int a, int b) { return gain(a) > gain(b); });
    for (const int set : choices) {
      take(set, 1);
      taken_.push_back(set);
      branch();
      taken_.pop_back();
      take(set, -1);
    }
  }

  const std::vector<std::vector<int>>& sets_;
  std::vector<std::vector<int>> holders_;
  std::vector<int> covered_, taken_, best_;
  long steps_left_;
};

}  // namespace

SetCover fewest_sets(int elements, const std::vector<std::vector<int>>& sets, long most_steps) {
  return Search(elements, sets, most_steps).run();
}

}  // namespace roomloom
