#include "cutting/relaxation.h"

#include <algorithm>
#include <cmath>
#include <coin/ClpSimplex.hpp>
#include <set>

#include "cutting/knapsack.h"

namespace roomloom::cutting {
namespace {

constexpr double kWorthOfDearest = 2e10;      // integer worth of the dearest bar: ten digits
constexpr std::int64_t kWorthTolerance = 40;  // a pattern must gain more than this
constexpr double kUncoveredCost = 2000;       // in dearest bars
constexpr double kKeptReducedCost = 0.1;      // of columns that stay in the pool

std::size_t at(int index) { return static_cast<std::size_t>(index); }

std::int64_t rounded_up(std::int64_t value, std::int64_t unit) {
  return value <= 0 ? 0 : (value + unit - 1) / unit;
}

class Generation {
 public:
  Generation(const Problem& problem, std::int64_t cutoff) : problem_(problem), cutoff_(cutoff) {
    for (const StockKind& kind : problem.kinds) dearest_ = std::max(dearest_, kind.cost);
    result_.scale = std::max<std::int64_t>(
        1, static_cast<std::int64_t>(kWorthOfDearest / static_cast<double>(dearest_)));
    result_.worth_bound = INT64_MIN;
  }

  Relaxation run(std::vector<Pattern>& pool, Until until, Budget& budget) {
    build(pool);
    for (;;) {
      simplex_.primal();
      budget.spend(effort_of_round(problem_.types.size()));
      result_.value = simplex_.objectiveValue() * static_cast<double>(dearest_);
      const std::vector<Pattern> found = price();
      if (result_.bound >= cutoff_ || found.empty() || is_clear(until)) break;
      if (budget.is_spent()) {
        result_.complete = false;
        break;
      }
      if (!add_columns(found)) break;
    }
    read_solution();
    keep_columns(pool);
    return std::move(result_);
  }

 private:
  bool is_clear(Until until) const {
    return until == Until::bound_is_clear &&
           static_cast<double>(result_.bound) >= std::ceil(result_.value - 1e-6);
  }

  void build(const std::vector<Pattern>& pool) {
    simplex_.setLogLevel(0);
    add_rows();
    for (int t = 0; t < type_count(); ++t) {
      const double one = 1;
      simplex_.addColumn(1, &t, &one, 0, COIN_DBL_MAX, kUncoveredCost);
    }
    for (int k = 0; k < static_cast<int>(problem_.kinds.size()); ++k)
      if (problem_.kinds[at(k)].least > 0) add_columns({Pattern{k, {}}});
    std::vector<Pattern> start;
    for (const Pattern& pattern : pool) start.push_back(trimmed(problem_, pattern));
    add_columns(start);
  }

  void add_rows() {
    std::vector<double> low, high;
    for (const PieceType& type : problem_.types) {
      low.push_back(type.demand());
      high.push_back(COIN_DBL_MAX);
    }
    const int pieces = total_demand(problem_);
    for (const StockKind& kind : problem_.kinds) {
      const bool limited = kind.least > 0 || kind.most < pieces;
      kind_row_.push_back(limited ? static_cast<int>(low.size()) : -1);
      if (!limited) continue;
      low.push_back(kind.least);
      high.push_back(kind.most);
    }
    simplex_.resize(static_cast<int>(low.size()), 0);
    for (int row = 0; row < static_cast<int>(low.size()); ++row)
      simplex_.setRowBounds(row, low[at(row)], high[at(row)]);
  }

  int type_count() const { return static_cast<int>(problem_.types.size()); }

  /// @return whether any of them is new
  bool add_columns(const std::vector<Pattern>& patterns) {
    bool any = false;
    for (const Pattern& pattern : patterns) {
      const StockKind& kind = problem_.kinds[at(pattern.kind)];
      if (pattern.counts.empty() && kind.least == 0) continue;
      if (pattern_length(problem_, pattern) > kind.capacity) continue;
      if (!known_.insert(pattern).second) continue;
      std::vector<int> rows;
      std::vector<double> values;
      for (const auto& [type, count] : pattern.counts) {
        rows.push_back(type);
        values.push_back(count);
      }
      if (kind_row_[at(pattern.kind)] >= 0) {
        rows.push_back(kind_row_[at(pattern.kind)]);
        values.push_back(1);
      }
      const double cost = static_cast<double>(kind.cost) / static_cast<double>(dearest_);
      simplex_.addColumn(static_cast<int>(rows.size()), rows.data(), values.data(), 0, COIN_DBL_MAX,
                         cost);
      columns_.push_back(pattern);
      any = true;
    }
    return any;
  }

  /// Prices every kind at the present duals and raises the bound.
  std::vector<Pattern> price() {
    const double unit = static_cast<double>(dearest_) * static_cast<double>(result_.scale);
    const double* dual = simplex_.dualRowSolution();
    std::vector<std::int64_t> worth;
    for (int t = 0; t < type_count(); ++t)
      worth.push_back(problem_.types[at(t)].demand() == 0
                          ? 0
                          : static_cast<std::int64_t>(std::max(0.0, dual[t]) * unit));
    std::vector<Pattern> found;
    std::vector<std::int64_t> best;
    for (int k = 0; k < static_cast<int>(problem_.kinds.size()); ++k) {
      const StockKind& kind = problem_.kinds[at(k)];
      const double row_dual = kind_row_[at(k)] >= 0 ? dual[kind_row_[at(k)]] : 0;
      const std::int64_t threshold =
          std::max<std::int64_t>(
              0, kind.cost * result_.scale - static_cast<std::int64_t>(row_dual * unit)) +
          kWorthTolerance;
      Priced priced{0, {}};
      if (kind.most > 0) priced = price_patterns(problem_, k, worth, threshold);
      best.push_back(priced.best);
      found.insert(found.end(), priced.patterns.begin(), priced.patterns.end());
    }
    raise_bound(worth, best);
    return found;
  }

  void raise_bound(const std::vector<std::int64_t>& worth, const std::vector<std::int64_t>& best) {
    std::int64_t sum = 0;
    for (int t = 0; t < type_count(); ++t) sum += problem_.types[at(t)].demand() * worth[at(t)];
    std::int64_t lagrange = sum;
    double ratio = 1;
    for (std::size_t k = 0; k < best.size(); ++k) {
      const StockKind& kind = problem_.kinds[k];
      const std::int64_t gain = kind.cost * result_.scale - best[k];
      lagrange += gain < 0 ? gain * kind.most : gain * kind.least;
      if (gain < 0)
        ratio = std::min(
            ratio, static_cast<double>(kind.cost * result_.scale) / static_cast<double>(best[k]));
    }
    // Farley 1990: all worths shrunk until no pattern is worth more than it costs.
    const auto farley =
        static_cast<std::int64_t>(static_cast<double>(sum) * ratio * (1 - 1e-14)) - 1;
    result_.bound = std::max(
        {result_.bound, rounded_up(lagrange, result_.scale), rounded_up(farley, result_.scale)});
    if (lagrange <= result_.worth_bound) return;
    result_.worth_bound = lagrange;
    result_.worth = worth;
    result_.best_worth = best;
  }

  void read_solution() {
    const double* amount = simplex_.primalColumnSolution();
    for (int t = 0; t < type_count(); ++t) result_.uncovered += amount[t];
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const double value = amount[c + at(type_count())];
      if (value < 1e-9) continue;
      result_.patterns.push_back(columns_[c]);
      result_.amounts.push_back(value);
    }
  }

  void keep_columns(std::vector<Pattern>& pool) const {
    const double* reduced = simplex_.dualColumnSolution();
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const double value = reduced[c + at(type_count())];
      if (value < kKeptReducedCost) order.emplace_back(value, c);
    }
    std::sort(order.begin(), order.end());
    if (order.size() > 4 * problem_.types.size() + 200)
      order.resize(4 * problem_.types.size() + 200);
    pool.clear();
    for (const auto& [value, c] : order) pool.push_back(columns_[c]);
    std::sort(pool.begin(), pool.end());
  }

  const Problem& problem_;
  std::int64_t cutoff_;
  std::int64_t dearest_ = 1;
  Relaxation result_;
  ClpSimplex simplex_;
  std::vector<int> kind_row_;
  std::vector<Pattern> columns_;  // simplex column minus the number of types
  std::set<Pattern> known_;
};

}  // namespace

long effort_of_round(std::size_t types) {
  constexpr std::size_t kSquares = 3200;  // so that 20,000 rounds are some ten seconds of any job
  return static_cast<long>(std::max<std::size_t>(1, types * types / kSquares));
}

Relaxation relax(const Problem& problem, std::vector<Pattern>& pool, std::int64_t cutoff,
                 Until until, Budget& budget) {
  return Generation(problem, cutoff).run(pool, until, budget);
}

}  // namespace roomloom::cutting
