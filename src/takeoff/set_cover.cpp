#include "takeoff/set_cover.h"

#include <algorithm>
#include <numeric>

namespace roomloom {
namespace {

using Sets = std::vector<std::vector<int>>;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// For each element, ascending, the sets that hold it.
Sets holders_of(int elements, const Sets& sets) {
  Sets holders(at(elements));
  for (std::size_t s = 0; s < sets.size(); ++s)
    for (const int e : sets[s]) holders[at(e)].push_back(static_cast<int>(s));
  return holders;
}

bool includes(const std::vector<int>& all, const std::vector<int>& some) {
  return std::includes(all.begin(), all.end(), some.begin(), some.end());
}

/// Of two that hold the same the earlier stays.
bool yields(const Sets& lists, int a, int b) {
  return a != b && !lists[at(b)].empty() && (lists[at(a)].size() != lists[at(b)].size() || b < a);
}

/// Empties sets that another set holds wholly.
bool drop_small_sets(Sets& sets, const Sets& holders) {
  bool dropped = false;
  for (int a = 0; a < static_cast<int>(sets.size()); ++a) {
    if (sets[at(a)].empty()) continue;
    const auto& rivals = holders[at(sets[at(a)].front())];
    if (std::none_of(rivals.begin(), rivals.end(), [&](int b) {
          return yields(sets, a, b) && includes(sets[at(b)], sets[at(a)]);
        }))
      continue;
    sets[at(a)].clear();
    dropped = true;
  }
  return dropped;
}

/// Empties the holders of elements that are covered whenever another one is.
bool drop_easy_elements(Sets& holders, const Sets& sets) {
  bool dropped = false;
  for (int a = 0; a < static_cast<int>(holders.size()); ++a) {
    const auto& own = holders[at(a)];
    if (std::none_of(own.begin(), own.end(), [&](int s) {
          return std::any_of(sets[at(s)].begin(), sets[at(s)].end(), [&](int b) {
            return yields(holders, a, b) && includes(own, holders[at(b)]);
          });
        }))
      continue;
    holders[at(a)].clear();
    dropped = true;
  }
  return dropped;
}

/// What is left to decide, once neither drops anything more.
Sets reduced(int elements, Sets sets) {
  for (std::vector<int>& set : sets) std::sort(set.begin(), set.end());
  while (true) {
    const bool smaller = drop_small_sets(sets, holders_of(elements, sets));
    Sets holders = holders_of(elements, sets);
    if (!drop_easy_elements(holders, sets) && !smaller) return sets;
    sets = holders_of(static_cast<int>(sets.size()), holders);
  }
}

/// Sets in groups that have no element in common.
Sets groups_of(const Sets& sets, const Sets& holders) {
  std::vector<int> leader(sets.size());
  std::iota(leader.begin(), leader.end(), 0);
  const auto leader_of = [&](int s) {
    while (leader[at(s)] != s) s = leader[at(s)] = leader[at(leader[at(s)])];
    return s;
  };
  for (const auto& held_by : holders)
    for (const int s : held_by)
      leader[at(std::max(leader_of(s), leader_of(held_by[0])))] =
          std::min(leader_of(s), leader_of(held_by[0]));
  Sets groups(sets.size());
  for (std::size_t s = 0; s < sets.size(); ++s)
    if (!sets[s].empty()) groups[at(leader_of(static_cast<int>(s)))].push_back(static_cast<int>(s));
  std::erase_if(groups, [](const auto& group) { return group.empty(); });
  return groups;
}

/// Of `group`, the set that covers most of what is not yet covered, over and over; of equal ones
/// the earlier.
std::vector<int> greedy(const std::vector<int>& group, const Sets& sets, const Sets& holders) {
  std::vector<char> covered(holders.size(), 0);
  std::vector<std::size_t> gain(sets.size(), 0);
  for (const int s : group) gain[at(s)] = sets[at(s)].size();
  std::vector<int> chosen;
  while (true) {
    const auto best = std::max_element(group.begin(), group.end(),
                                       [&](int a, int b) { return gain[at(a)] < gain[at(b)]; });
    if (best == group.end() || gain[at(*best)] == 0) return chosen;
    chosen.push_back(*best);
    for (const int e : sets[at(*best)]) {
      if (covered[at(e)] != 0) continue;
      covered[at(e)] = 1;
      for (const int s : holders[at(e)]) --gain[at(s)];
    }
  }
}

/// The fewest of the sets of one group that cover what they hold.
class Search {
 public:
  Search(const std::vector<int>& group, const Sets& sets, const Sets& holders, long& steps_left)
      : sets_(sets), holders_(holders), steps_left_(steps_left), covered_(holders.size(), 0) {
    for (const int s : group)
      elements_.insert(elements_.end(), sets[at(s)].begin(), sets[at(s)].end());
    std::sort(elements_.begin(), elements_.end());
    elements_.erase(std::unique(elements_.begin(), elements_.end()), elements_.end());
    used_.assign(sets.size(), 0);
  }

  /// Fewer than `best`, or `best` itself.
  std::vector<int> run(std::vector<int> best) {
    best_ = std::move(best);
    branch();
    return best_;
  }

 private:
  void take(int set, int by) {
    for (const int e : sets_[at(set)]) covered_[at(e)] += by;
  }

  std::ptrdiff_t gain(int set) const {
    return std::count_if(sets_[at(set)].begin(), sets_[at(set)].end(),
                         [&](int e) { return covered_[at(e)] == 0; });
  }

  /// Elements no two of which share a set: each needs a set of its own.
  std::size_t least_further() {
    ++mark_;
    std::size_t count = 0;
    for (const int e : elements_) {
      const auto& held_by = holders_[at(e)];
      if (covered_[at(e)] != 0 ||
          std::any_of(held_by.begin(), held_by.end(), [&](int s) { return used_[at(s)] == mark_; }))
        continue;
      ++count;
      for (const int s : held_by) used_[at(s)] = mark_;
    }
    return count;
  }

  void branch() {
    if (--steps_left_ <= 0) return;
    int hardest = -1;
    for (const int e : elements_)
      if (covered_[at(e)] == 0 &&
          (hardest < 0 || holders_[at(e)].size() < holders_[at(hardest)].size()))
        hardest = e;
    if (hardest < 0) {
      if (taken_.size() < best_.size()) best_ = taken_;
      return;
    }
    if (taken_.size() + least_further() >= best_.size()) return;
    std::vector<int> choices = holders_[at(hardest)];
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

  const Sets& sets_;
  const Sets& holders_;
  long& steps_left_;
  std::vector<int> elements_, covered_, taken_, best_;
  std::vector<long> used_;  ///< by mark_, so that it need not be emptied
  long mark_ = 0;
};

}  // namespace

SetCover fewest_sets(int elements, const std::vector<std::vector<int>>& sets, long most_steps) {
  const Sets left = reduced(elements, sets);
  const Sets holders = holders_of(elements, left);
  SetCover cover;
  for (const std::vector<int>& group : groups_of(left, holders)) {
    const auto found = Search(group, left, holders, most_steps).run(greedy(group, left, holders));
    cover.chosen.insert(cover.chosen.end(), found.begin(), found.end());
  }
  cover.proven = most_steps > 0;
  // Where nothing is saved, the sets that hold most by themselves.
  std::vector<int> all(sets.size());
  std::iota(all.begin(), all.end(), 0);
  std::erase_if(all, [&](int s) { return sets[at(s)].empty(); });
  const std::vector<int> plain = greedy(all, sets, holders_of(elements, sets));
  if (plain.size() <= cover.chosen.size()) cover.chosen = plain;
  std::sort(cover.chosen.begin(), cover.chosen.end());
  return cover;
}

}  // namespace roomloom
