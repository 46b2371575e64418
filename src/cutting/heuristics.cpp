#include "cutting/heuristics.h"

#include <algorithm>
#include <cmath>

#include "cutting/knapsack.h"
#include "cutting/relaxation.h"

namespace roomloom::cutting {
namespace {

constexpr int kDepthOfChoices = 4;
constexpr double kNearlyOne = 0.9;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Adds the longest pieces that still fit to a pattern.
Pattern filled_longest_first(const Problem& problem, Pattern pattern) {
  std::int64_t room = problem.kinds[at(pattern.kind)].capacity - pattern_length(problem, pattern);
  std::vector<int> counts(problem.types.size(), 0);
  for (const auto& [type, count] : pattern.counts) counts[at(type)] = count;
  for (std::size_t t = 0; t < counts.size(); ++t) {
    const PieceType& type = problem.types[t];
    const bool clash = std::any_of(type.apart.begin(), type.apart.end(),
                                   [&counts](int other) { return counts[at(other)] > 0; });
    if (clash) continue;
    while (counts[t] < std::min(type.demand(), type.per_bar) && type.length <= room) {
      ++counts[t];
      room -= type.length;
    }
  }
  Pattern result{pattern.kind, {}};
  for (std::size_t t = 0; t < counts.size(); ++t)
    if (counts[t] > 0) result.counts.emplace_back(static_cast<int>(t), counts[t]);
  return result;
}

/// The longest piece and what goes with it so that least is left over.
Pattern fullest(const Problem& problem, int kind) {
  Problem rest = problem;
  const std::int64_t capacity = problem.kinds[at(kind)].capacity;
  std::size_t first = 0;
  while (first < rest.types.size() &&
         (rest.types[first].demand() == 0 || rest.types[first].length > capacity))
    ++first;
  if (first == rest.types.size()) return {kind, {}};
  PieceType& type = rest.types[first];
  const std::vector<int> apart = type.apart;
  rest.kinds[at(kind)].capacity -= type.length;
  type.bundles.pop_back();
  if (type.per_bar == 1) type.bundles.clear();
  for (const int other : apart) rest.types[at(other)].bundles.clear();
  std::vector<std::int64_t> worth;
  for (const PieceType& each : rest.types) worth.push_back(each.length);
  const Priced priced = price_patterns(rest, kind, worth, 0);
  Pattern pattern{kind, {}};
  if (!priced.patterns.empty()) pattern = priced.patterns.front();
  const int index = static_cast<int>(first);
  auto place =
      std::lower_bound(pattern.counts.begin(), pattern.counts.end(), std::pair<int, int>{index, 0});
  if (place != pattern.counts.end() && place->first == index)
    ++place->second;
  else
    pattern.counts.insert(place, {index, 1});
  return trimmed(problem, pattern);
}

int pieces_in(const Pattern& pattern) {
  int sum = 0;
  for (const auto& [type, count] : pattern.counts) sum += count;
  return sum;
}

/// The cheapest bar that finishes the job, else the one that costs least for its length.
Pattern best_bar(const Problem& problem, Filling filling) {
  const int left = total_demand(problem);
  Pattern best;
  bool best_finishes = false;
  double best_score = 0;
  for (int k = 0; k < static_cast<int>(problem.kinds.size()); ++k) {
    const StockKind& kind = problem.kinds[at(k)];
    if (kind.most <= 0) continue;
    Pattern pattern = filled_longest_first(problem, {k, {}});
    const bool finishes = pieces_in(pattern) == left;
    if (filling == Filling::fullest && !finishes) pattern = fullest(problem, k);
    const double length = static_cast<double>(pattern_length(problem, pattern));
    if (pattern.counts.empty()) continue;
    const double score = finishes ? static_cast<double>(kind.cost)
                                  : static_cast<double>(kind.cost) / std::max(length, 1e-9);
    const bool better = best.counts.empty() || (finishes && !best_finishes) ||
                        (finishes == best_finishes && score < best_score);
    if (!better) continue;
    best = pattern;
    best_finishes = finishes;
    best_score = score;
  }
  return best;
}

}  // namespace

Packing fill_greedily(const Problem& problem, Filling filling) {
  Problem rest = problem;
  Packing packing;
  packing.cost = 0;
  while (total_demand(rest) > 0) {
    const Pattern pattern = best_bar(rest, filling);
    if (pattern.counts.empty()) {
      packing.cost = Packing::no_cost;
      return packing;
    }
    cut_bars(rest, pattern, 1, packing);
  }
  for (std::size_t k = 0; k < rest.kinds.size(); ++k)
    if (rest.kinds[k].least > 0) packing.cost = Packing::no_cost;
  return packing;
}

namespace {

class Diver {
 public:
  Diver(std::int64_t enough, Packing& best, Budget& budget)
      : enough_(enough), best_(best), budget_(budget) {}

  void go(Problem rest, Packing partial, std::vector<Pattern> pool, int discrepancies, int depth,
          std::vector<Pattern> refused) {
    for (;;) {
      if (best_.cost <= enough_ || budget_.is_spent()) return;
      try_to_finish(rest, partial);
      if (total_demand(rest) == 0 || best_.cost <= enough_) return;
      const Relaxation relaxation =
          relax(rest, pool, best_.cost - partial.cost, Until::bound_is_clear, budget_);
      if (partial.cost + relaxation.bound >= best_.cost || !relaxation.complete) return;
      if (fix_at_least(relaxation, 1, rest, partial)) continue;
      if (refused.empty() && fix_at_least(relaxation, kNearlyOne, rest, partial)) continue;
      Pattern choice;
      for (int alternative = 0; alternative <= discrepancies; ++alternative) {
        if (!choose(relaxation, rest, refused, choice)) return;
        Problem next = rest;
        Packing longer = partial;
        cut_bars(next, choice, 1, longer);
        if (depth >= kDepthOfChoices || discrepancies == 0) {
          rest = std::move(next);
          partial = std::move(longer);
          refused.clear();
          break;
        }
        go(std::move(next), std::move(longer), pool, discrepancies - alternative, depth + 1,
           refused);
        refused.push_back(choice);
      }
      if (depth < kDepthOfChoices && discrepancies > 0) return;
    }
  }

 private:
  void try_to_finish(const Problem& rest, const Packing& partial) {
    Packing end = fill_greedily(rest, Filling::longest_first);
    if (end.cost == Packing::no_cost || partial.cost + end.cost >= best_.cost) return;
    best_ = partial;
    best_.cost += end.cost;
    best_.bars.insert(best_.bars.end(), end.bars.begin(), end.bars.end());
  }

  /// Cuts every column as often as the whole part of its amount, if that is at least `least`
  /// (below one: once). @return whether any was cut
  static bool fix_at_least(const Relaxation& relaxation, double least, Problem& rest,
                           Packing& partial) {
    bool any = false;
    for (std::size_t p = 0; p < relaxation.patterns.size(); ++p) {
      if (relaxation.amounts[p] < least - 1e-6) continue;
      int times = std::max(1, static_cast<int>(std::floor(relaxation.amounts[p] + 1e-6)));
      while (times-- > 0) {
        const Pattern pattern = trimmed(rest, relaxation.patterns[p]);
        const bool whole = least >= 1 || pattern == relaxation.patterns[p];
        if (pattern.counts.empty() || !whole || rest.kinds[at(pattern.kind)].most <= 0) break;
        cut_bars(rest, pattern, 1, partial);
        any = true;
      }
    }
    return any;
  }

  static bool choose(const Relaxation& relaxation, const Problem& rest,
                     const std::vector<Pattern>& refused, Pattern& choice) {
    double best = 0;
    for (std::size_t p = 0; p < relaxation.patterns.size(); ++p) {
      const Pattern& pattern = relaxation.patterns[p];
      if (std::find(refused.begin(), refused.end(), pattern) != refused.end()) continue;
      if (trimmed(rest, pattern) != pattern || pattern.counts.empty()) continue;
      if (relaxation.amounts[p] <= best + 1e-7) continue;
      best = relaxation.amounts[p];
      choice = pattern;
    }
    return best > 0;
  }

  std::int64_t enough_;
  Packing& best_;
  Budget& budget_;
};

}  // namespace

void dive(const Problem& problem, const std::vector<Pattern>& pool, int discrepancies,
          std::int64_t enough, Packing& best, Budget& budget) {
  Packing start;
  start.cost = 0;
  Diver(enough, best, budget).go(problem, start, pool, discrepancies, 0, {});
}

}  // namespace roomloom::cutting
