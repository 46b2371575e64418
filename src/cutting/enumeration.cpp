#include "cutting/enumeration.h"

#include <algorithm>
#include <cmath>
#include <coin/OsiClpSolverInterface.hpp>
#include <string>

#include "integer/branch.h"

namespace roomloom::cutting {
namespace {

constexpr std::int64_t kMostTableEntries = 6000000;
constexpr long kMostSteps = 20000000;
constexpr long kNodesToARound = 20;  // of the MILP solver: about as much work as one round

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Depth first over the types, cut off where the best completion cannot be worth enough.
class Lister {
 public:
  Lister(const Problem& problem, const Relaxation& relaxation, std::size_t most)
      : problem_(problem), worth_(relaxation.worth), most_(most) {
    std::int64_t capacity = 0;
    for (const StockKind& kind : problem.kinds) capacity = std::max(capacity, kind.capacity);
    width_ = capacity + 1;
    const auto rows = static_cast<std::int64_t>(problem.types.size() + 1);
    if (rows * width_ <= kMostTableEntries) fill_table();
    fill_ratios();
  }

  /// @return whether all were listed
  bool list(int kind, std::int64_t least_worth) {
    kind_ = kind;
    least_ = least_worth;
    counts_.assign(problem_.types.size(), 0);
    visit(0, problem_.kinds[at(kind)].capacity, 0);
    return !gave_up_;
  }

  std::vector<Pattern> patterns;

 private:
  int most_copies(std::size_t t, std::int64_t room) const {
    const PieceType& type = problem_.types[t];
    const std::int64_t fit = type.length > 0 ? room / type.length : type.demand();
    return static_cast<int>(std::min<std::int64_t>({fit, type.demand(), type.per_bar}));
  }

  void fill_table() {
    table_.assign((problem_.types.size() + 1) * static_cast<std::size_t>(width_), 0);
    for (std::size_t t = problem_.types.size(); t-- > 0;) {
      for (std::int64_t room = 0; room < width_; ++room) {
        std::int64_t best = 0;
        for (int copies = most_copies(t, room); copies >= 0; --copies)
          best = std::max(best, copies * worth_[t] + entry(t + 1, room - copies * length(t)));
        table_[t * static_cast<std::size_t>(width_) + static_cast<std::size_t>(room)] = best;
      }
    }
  }

  void fill_ratios() {
    ratio_.assign(problem_.types.size() + 1, 0);
    for (std::size_t t = problem_.types.size(); t-- > 0;)
      ratio_[t] =
          std::max(ratio_[t + 1],
                   static_cast<double>(worth_[t]) /
                       static_cast<double>(std::max<std::int64_t>(1, problem_.types[t].length)));
  }

  std::int64_t length(std::size_t t) const { return problem_.types[t].length; }

  std::int64_t entry(std::size_t t, std::int64_t room) const {
    return table_[t * static_cast<std::size_t>(width_) + static_cast<std::size_t>(room)];
  }

  std::int64_t completion(std::size_t t, std::int64_t room) const {
    if (!table_.empty()) return entry(t, room);
    return static_cast<std::int64_t>(ratio_[t] * static_cast<double>(room)) + 2;
  }

  bool clashes(std::size_t t) const {
    for (const int other : problem_.types[t].apart)
      if (counts_[at(other)] > 0) return true;
    return false;
  }

  void visit(std::size_t t, std::int64_t room, std::int64_t worth) {
    if (gave_up_ || worth + completion(t, room) < least_) return;
    if (++steps_ > kMostSteps) gave_up_ = true;
    if (t == counts_.size()) {
      keep();
      return;
    }
    if (!clashes(t)) {
      for (int copies = most_copies(t, room); copies > 0; --copies) {
        counts_[t] = copies;
        visit(t + 1, room - copies * length(t), worth + copies * worth_[t]);
      }
    }
    counts_[t] = 0;
    visit(t + 1, room, worth);
  }

  void keep() {
    Pattern pattern{kind_, {}};
    for (std::size_t t = 0; t < counts_.size(); ++t)
      if (counts_[t] > 0) pattern.counts.emplace_back(static_cast<int>(t), counts_[t]);
    if (pattern.counts.empty()) return;
    patterns.push_back(std::move(pattern));
    if (patterns.size() > most_) gave_up_ = true;
  }

  const Problem& problem_;
  const std::vector<std::int64_t>& worth_;
  std::size_t most_;
  std::int64_t width_ = 0;
  std::vector<std::int64_t> table_;
  std::vector<double> ratio_;
  int kind_ = 0;
  std::int64_t least_ = 0;
  std::vector<int> counts_;
  long steps_ = 0;
  bool gave_up_ = false;
};

void build(const Problem& problem, const std::vector<Pattern>& patterns,
           OsiClpSolverInterface& solver) {
  const int types = static_cast<int>(problem.types.size());
  const int kinds = static_cast<int>(problem.kinds.size());
  std::vector<int> starts{0}, rows;
  std::vector<double> values, lower, upper, cost;
  for (const Pattern& pattern : patterns) {
    int times = problem.kinds[at(pattern.kind)].most;
    for (const auto& [type, count] : pattern.counts) {
      rows.push_back(type);
      values.push_back(count);
      times = std::min(times, problem.types[at(type)].demand() / count);
    }
    rows.push_back(types + pattern.kind);
    values.push_back(1);
    starts.push_back(static_cast<int>(rows.size()));
    lower.push_back(0);
    upper.push_back(times);
    cost.push_back(static_cast<double>(problem.kinds[at(pattern.kind)].cost));
  }
  std::vector<double> row_lower, row_upper;
  for (const PieceType& type : problem.types) {
    row_lower.push_back(type.demand());
    row_upper.push_back(type.demand());
  }
  for (const StockKind& kind : problem.kinds) {
    row_lower.push_back(kind.least);
    row_upper.push_back(kind.most);
  }
  solver.loadProblem(static_cast<int>(patterns.size()), types + kinds, starts.data(), rows.data(),
                     values.data(), lower.data(), upper.data(), cost.data(), row_lower.data(),
                     row_upper.data());
  for (int c = 0; c < static_cast<int>(patterns.size()); ++c) solver.setInteger(c);
}

/// @return whether CBC decided; `amounts` is empty where nothing is below the cutoff
bool choose(const OsiClpSolverInterface& solver, double cutoff, int nodes, Budget& budget,
            std::vector<double>& amounts) {
  const long allowed = std::min<long>(nodes, kNodesToARound * std::max(1L, budget.left()));
  BranchAnswer answer = branch(solver, cutoff, {"-maxNodes", std::to_string(allowed)});
  budget.spend(1 + answer.nodes / kNodesToARound);
  amounts = std::move(answer.x);
  return answer.decided;
}

/// The chosen patterns as bars, if they hold every piece exactly.
bool cut_chosen(const Problem& problem, const std::vector<Pattern>& patterns,
                const std::vector<double>& amounts, Packing& best) {
  Problem rest = problem;
  Packing packing;
  packing.cost = 0;
  for (std::size_t p = 0; p < patterns.size(); ++p) {
    const int times = static_cast<int>(std::lround(amounts[p]));
    for (int bar = 0; bar < times; ++bar) {
      if (trimmed(rest, patterns[p]) != patterns[p]) return false;
      cut_bars(rest, patterns[p], 1, packing);
    }
  }
  if (total_demand(rest) > 0 || packing.cost >= best.cost) return false;
  best = std::move(packing);
  return true;
}

}  // namespace

bool finish_by_enumeration(const Problem& problem, const Relaxation& relaxation,
                           std::size_t most_patterns, int milp_nodes, Packing& best,
                           Budget& budget) {
  if (relaxation.worth.empty() || best.cost == Packing::no_cost) return false;
  const std::int64_t slack = (best.cost - 1) * relaxation.scale - relaxation.worth_bound;
  if (slack < 0) return true;
  if (milp_nodes <= 0) return false;
  Lister lister(problem, relaxation, most_patterns);
  for (int k = 0; k < static_cast<int>(problem.kinds.size()); ++k) {
    const StockKind& kind = problem.kinds[at(k)];
    if (kind.most <= 0) continue;
    const std::int64_t most_worth = relaxation.best_worth[at(k)];
    const std::int64_t price = kind.cost * relaxation.scale;
    const std::int64_t usual = kind.least > 0 ? most_worth : std::max(price, most_worth);
    if (!lister.list(k, usual - slack)) return false;
  }
  OsiClpSolverInterface solver;
  build(problem, lister.patterns, solver);
  std::vector<double> amounts;
  const bool decided =
      choose(solver, static_cast<double>(best.cost) - 0.5, milp_nodes, budget, amounts);
  if (!amounts.empty() && !cut_chosen(problem, lister.patterns, amounts, best)) return false;
  return decided;
}

}  // namespace roomloom::cutting
