#include "cutting/solve.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "cutting/completion.h"
#include "cutting/enumeration.h"
#include "cutting/filling.h"
#include "cutting/heuristics.h"
#include "cutting/knapsack.h"
#include "cutting/relaxation.h"

namespace roomloom::cutting {
namespace {

constexpr double kWhole = 1e-6;
constexpr int kMostPiecesToComplete = 80;
constexpr int kMostRoundsOfSpending = 60;
constexpr std::size_t kMostWaysToSpend = 40;
constexpr long kStepsOfSpending = 20000;
constexpr int kMostRoundsOfFilling = 12;
constexpr std::int64_t kStepsOfFilling = 40'000'000;
constexpr int kNodesBetweenDives = 10;
constexpr std::size_t kPatternsAtRoot = 20000;
constexpr std::size_t kPatternsAtNode = 1500;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double fraction(double value) { return value - std::floor(value + kWhole); }

struct Node {
  Problem problem;
  std::vector<Pattern> pool;
  std::int64_t bound = 0;
};

/// The columns with what they hold beyond the demand taken out, so that each piece is held once.
std::vector<std::pair<Pattern, double>> exact_cover(const Problem& problem,
                                                    const Relaxation& relaxation) {
  std::vector<double> left;
  for (const PieceType& type : problem.types) left.push_back(type.demand());
  std::vector<std::pair<Pattern, double>> result;
  for (std::size_t p = 0; p < relaxation.patterns.size(); ++p) {
    double amount = relaxation.amounts[p];
    Pattern pattern = relaxation.patterns[p];
    while (amount > kWhole) {
      double times = amount;
      std::vector<std::pair<int, int>> kept;
      for (const auto& [type, count] : pattern.counts)
        if (left[at(type)] > kWhole) kept.emplace_back(type, count);
      for (auto& [type, count] : kept) {
        while (count > 1 && left[at(type)] < count * kWhole) --count;
        times = std::min(times, left[at(type)] / count);
      }
      if (kept.empty()) break;
      for (const auto& [type, count] : kept) left[at(type)] -= times * count;
      result.emplace_back(Pattern{pattern.kind, kept}, times);
      amount -= times;
    }
  }
  return result;
}

/// The problem with just so many bars of each kind.
Problem counted(Problem problem, const std::vector<int>& counts) {
  for (std::size_t k = 0; k < counts.size(); ++k)
    problem.kinds[k].least = problem.kinds[k].most = counts[k];
  return problem;
}

class Search {
 public:
  Search(std::int64_t useful_below, const Work& work, Budget& budget)
      : useful_below_(useful_below), work_(work), budget_(budget) {}

  Solved run(const Problem& problem) {
    bound_ = next_reachable_cost(problem, 0);
    if (bound_ >= useful_below_) return {best_, bound_};
    start(problem);
    Node root{problem, {}, 0};
    seed(root.pool);
    if (!settle_root(root)) {
      branch(std::move(root));
      std::int64_t bound = cutoff();
      for (const Node& node : open_) bound = std::min(bound, node.bound);
      if (unresolved_) bound = std::min(bound, *unresolved_);
      bound_ = std::max(bound_, bound);
    }
    if (bound_ >= ceiling_) bound_ = Packing::no_cost;
    return {best_, std::min(bound_, best_.cost)};
  }

 private:
  std::int64_t cutoff() const { return std::min({best_.cost, useful_below_, ceiling_}); }

  void start(const Problem& problem) {
    // No packing costs more than all stock together.
    ceiling_ = 1;
    for (const StockKind& kind : problem.kinds) ceiling_ += kind.cost * kind.most;
    for (const Filling filling : {Filling::longest_first, Filling::fullest}) {
      Packing packing = fill_greedily(problem, filling);
      if (packing.cost < best_.cost) best_ = std::move(packing);
    }
    problem_ = &problem;
  }

  /// The patterns of the best packing, and each type as often as it fits.
  void seed(std::vector<Pattern>& pool) const {
    std::map<int, int> type_of;
    for (std::size_t t = 0; t < problem_->types.size(); ++t)
      for (const auto& bundle : problem_->types[t].bundles)
        type_of[bundle.front()] = static_cast<int>(t);
    for (const Bar& bar : best_.bars) {
      std::map<int, int> counts;
      for (const int piece : bar.pieces)
        if (type_of.count(piece) > 0) ++counts[type_of[piece]];
      pool.push_back({bar.kind, {counts.begin(), counts.end()}});
    }
    for (int k = 0; k < static_cast<int>(problem_->kinds.size()); ++k)
      for (std::size_t t = 0; t < problem_->types.size(); ++t) {
        const PieceType& type = problem_->types[t];
        const std::int64_t fit =
            problem_->kinds[at(k)].capacity / std::max<std::int64_t>(1, type.length);
        const int copies =
            static_cast<int>(std::min<std::int64_t>({fit, type.demand(), type.per_bar}));
        if (copies > 0) pool.push_back({k, {{static_cast<int>(t), copies}}});
      }
  }

  /// @return whether nothing is left to search
  bool settle_root(Node& root) {
    if (bound_ >= cutoff() || spend_upwards(root.problem)) return true;
    fill_upwards(root.problem);
    if (bound_ >= cutoff()) return true;
    const Relaxation relaxation = relax(root.problem, root.pool, cutoff(), Until::optimal, budget_);
    root.bound = next_reachable_cost(root.problem, relaxation.bound);
    bound_ = std::max(bound_, root.bound);
    if (bound_ >= cutoff() || !relaxation.complete) return true;
    for (int discrepancies = 0; discrepancies <= work_.discrepancies; ++discrepancies) {
      dive(root.problem, root.pool, discrepancies, bound_, best_, budget_);
      if (bound_ >= cutoff() || budget_.is_spent()) return true;
    }
    // Several kinds are counted out by branching first: their patterns are many, and alike in cost.
    if (root.problem.kinds.size() > 1) return false;
    if (complete_with_fewer(root.problem) || finish(root.problem, relaxation, kPatternsAtRoot)) {
      bound_ = std::max(bound_, cutoff());
      return true;
    }
    return bound_ >= cutoff();
  }

  /// For few pieces: tries every way to spend the bound, and raises it while there is none.
  /// @return whether nothing is left to search
  bool spend_upwards(const Problem& problem) {
    if (total_demand(problem) > kMostPiecesToComplete) return false;
    for (int round = 0; round < kMostRoundsOfSpending && bound_ < cutoff(); ++round) {
      std::vector<std::vector<int>> ways;
      if (!list_counts(problem, bound_, kMostWaysToSpend, ways)) return false;
      for (const std::vector<int>& counts : ways) {
        Packing packing;
        const Verdict verdict = complete_bars(counted(problem, counts), kStepsOfSpending, packing);
        if (verdict == Verdict::packed && packing.cost < best_.cost) best_ = std::move(packing);
        if (verdict == Verdict::undecided) return false;
        if (bound_ >= cutoff()) return true;
      }
      bound_ = next_reachable_cost(problem, bound_ + 1);
    }
    return bound_ >= cutoff();
  }

  /// The cheapest bars, from the bound on, that filling finds to hold the pieces.
  void fill_upwards(const Problem& problem) {
    std::int64_t cost = bound_, left = work_.filling_steps;
    for (int round = 0; round < kMostRoundsOfFilling && cost < cutoff(); ++round) {
      std::vector<std::vector<int>> ways;
      if (!list_counts(problem, cost, kMostWaysToSpend, ways)) return;
      for (const std::vector<int>& counts : ways) {
        const std::int64_t given = std::min(left, kStepsOfFilling);
        std::int64_t unspent = given;
        Packing packing = fill_bars(counted(problem, counts), unspent);
        left -= given - unspent;
        if (packing.cost < best_.cost) best_ = std::move(packing);
        if (best_.cost <= cost || left <= 0) return;
      }
      cost = next_reachable_cost(problem, cost + 1);
    }
  }

  /// With one kind: whether one bar less than in the best packing holds the pieces.
  /// @return whether that was decided, so that nothing better is left to find
  bool complete_with_fewer(const Problem& problem) {
    Problem fewer = problem;
    StockKind& kind = fewer.kinds.front();
    while (bound_ < cutoff()) {
      kind.most = static_cast<int>(std::min<std::int64_t>(kind.most, (cutoff() - 1) / kind.cost));
      if (!complete(fewer)) return false;
      if (cutoff() > kind.cost * kind.most) return true;
    }
    return true;
  }

  /// Whether all the bars allowed hold the pieces. @return whether that was decided
  bool complete(const Problem& problem) {
    if (!is_plain(problem) || total_demand(problem) > kMostPiecesToComplete) return false;
    Packing packing;
    const Verdict verdict = complete_bars(problem, work_.completion_steps, packing);
    if (verdict == Verdict::packed && packing.cost < best_.cost) best_ = std::move(packing);
    return verdict != Verdict::undecided;
  }

  bool finish(const Problem& problem, const Relaxation& relaxation, std::size_t most_patterns) {
    Packing chosen;
    chosen.cost = cutoff();
    const std::int64_t before = chosen.cost;
    if (before >= ceiling_) return false;
    const bool decided = finish_by_enumeration(problem, relaxation, most_patterns, work_.milp_nodes,
                                               chosen, budget_);
    if (chosen.cost < before) best_ = std::move(chosen);
    return decided;
  }

  void branch(Node root) {
    open_.push_back(std::move(root));
    while (!open_.empty() && nodes_ < work_.nodes && !budget_.is_spent()) {
      Node node = std::move(open_.back());
      open_.pop_back();
      if (node.bound >= cutoff()) continue;
      if (!visit(node)) open_.push_back(std::move(node));
      if (best_.cost <= bound_) return;
    }
  }

  /// @return false where the budget ran out in between
  bool visit(Node& node) {
    const Relaxation relaxation = relax(node.problem, node.pool, cutoff(), Until::optimal, budget_);
    node.bound = std::max(node.bound, next_reachable_cost(node.problem, relaxation.bound));
    if (node.bound >= cutoff()) return true;
    if (!relaxation.complete) return false;
    if (nodes_++ % kNodesBetweenDives == 0 || are_counted(node.problem))
      dive(node.problem, node.pool, 0, node.bound, best_, budget_);
    else
      dive_shallow(node);
    if (node.bound >= cutoff()) return true;
    if (node.problem.kinds.size() == 1 || are_counted(node.problem)) {
      if (node.problem.kinds.size() > 1 && complete(node.problem)) return true;
      if (finish(node.problem, relaxation, kPatternsAtNode)) return true;
      branch_on_pair(node, relaxation);
    } else {
      branch_on_kind(node, relaxation);
    }
    return true;
  }

  /// Whether it is settled how many bars of each kind there are.
  static bool are_counted(const Problem& problem) {
    return std::all_of(problem.kinds.begin(), problem.kinds.end(),
                       [](const StockKind& kind) { return kind.least == kind.most; });
  }

  void dive_shallow(const Node& node) {
    Packing packing = fill_greedily(node.problem, Filling::fullest);
    if (packing.cost < cutoff()) best_ = std::move(packing);
  }

  /// The kind whose number is least settled gets fewer, more, or just as many.
  void branch_on_kind(const Node& node, const Relaxation& relaxation) {
    std::vector<double> amount(node.problem.kinds.size(), 0);
    for (std::size_t p = 0; p < relaxation.patterns.size(); ++p)
      amount[at(relaxation.patterns[p].kind)] += relaxation.amounts[p];
    std::size_t chosen = 0;
    double most = -1;
    for (std::size_t k = 0; k < amount.size(); ++k) {
      if (node.problem.kinds[k].least == node.problem.kinds[k].most) continue;
      const double away = std::max(0.0, std::min(fraction(amount[k]), 1 - fraction(amount[k])));
      if (away <= most) continue;
      most = away;
      chosen = k;
    }
    const StockKind& kind = node.problem.kinds[chosen];
    const bool whole = most < 1e-4;
    const double settled = whole ? std::round(amount[chosen]) : std::floor(amount[chosen]);
    const int count = std::clamp(static_cast<int>(settled), kind.least, kind.most);
    push_counted(node, chosen, count + 1, kind.most);
    push_counted(node, chosen, kind.least, whole ? count - 1 : count);
    if (whole) push_counted(node, chosen, count, count);
  }

  void push_counted(const Node& node, std::size_t kind, int least, int most) {
    if (least > most) return;
    Node child = node;
    child.problem.kinds[kind].least = least;
    child.problem.kinds[kind].most = most;
    open_.push_back(std::move(child));
  }

  void branch_on_pair(const Node& node, const Relaxation& relaxation) {
    const auto pair = pair_to_decide(node.problem, relaxation);
    if (!pair || apart_types(node.problem) + 2 > kMostApartTypes) {
      unresolved_ = std::min(node.bound, unresolved_.value_or(node.bound));
      return;
    }
    for (const bool together : {false, true}) {
      const Branch branch = together ? joined(node.problem, pair->first, pair->second)
                                     : separated(node.problem, pair->first, pair->second);
      Node child{branch.problem, {}, node.bound};
      for (const Pattern& pattern : node.pool) child.pool.push_back(carried_over(branch, pattern));
      open_.push_back(std::move(child));
    }
  }

  static int apart_types(const Problem& problem) {
    return static_cast<int>(std::count_if(problem.types.begin(), problem.types.end(),
                                          [](const PieceType& t) { return !t.apart.empty(); }));
  }

  /// The two types that share a bar most undecidedly, the longer the better.
  static std::optional<std::pair<int, int>> pair_to_decide(const Problem& problem,
                                                           const Relaxation& relaxation) {
    std::map<std::pair<int, int>, double> shared;
    for (const auto& [pattern, amount] : exact_cover(problem, relaxation)) {
      for (std::size_t i = 0; i < pattern.counts.size(); ++i) {
        const auto [a, count] = pattern.counts[i];
        if (count >= 2) shared[{a, a}] += amount;
        for (std::size_t j = i + 1; j < pattern.counts.size(); ++j)
          shared[{a, pattern.counts[j].first}] += amount;
      }
    }
    std::optional<std::pair<int, int>> chosen;
    double best = 0;
    for (const auto& [pair, amount] : shared) {
      const double away = std::min(fraction(amount), 1 - fraction(amount));
      const double length = static_cast<double>(problem.types[at(pair.first)].length +
                                                problem.types[at(pair.second)].length);
      // Whole amounts come last, yet deciding on them is progress as well.
      const double score = (std::max(0.0, away) + 1e-5) * length;
      if (score <= best) continue;
      best = score;
      chosen = pair;
    }
    return chosen;
  }

  std::int64_t useful_below_;
  const Work& work_;
  Budget& budget_;
  const Problem* problem_ = nullptr;
  Packing best_;
  std::int64_t ceiling_ = 1;
  std::int64_t bound_ = 0;
  std::vector<Node> open_;
  std::optional<std::int64_t> unresolved_;
  long nodes_ = 0;
};

}  // namespace

Solved solve(const Problem& problem, std::int64_t useful_below, const Work& work, Budget& budget) {
  return Search(useful_below, work, budget).run(problem);
}

}  // namespace roomloom::cutting
