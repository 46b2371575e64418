#include "cutting/cutting.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <set>

#include "cutting/completion.h"
#include "cutting/solve.h"

namespace roomloom {
namespace {

using cutting::Budget;
using cutting::Packing;
using cutting::PieceType;
using cutting::Problem;
using cutting::Solved;
using cutting::StockKind;

constexpr double kMicrometres = 1e6;
constexpr double kPriceUnits = 1e4;
constexpr double kLongest_m = 1e6;
constexpr double kDearest = 1e9;
constexpr int kMostPiecesForLeftover = 200;
constexpr std::int64_t kLeftoverStep_um = 1000;  // remainders are told apart to a millimetre
constexpr long kLeftoverSteps = 60000;
constexpr std::size_t kMostCounts = 60;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

std::int64_t micrometres(double metres) { return std::llround(metres * kMicrometres); }

bool in_range(double value, double low, double high) {
  return std::isfinite(value) && value >= low && value <= high;
}

Error input_error(const std::string& what, const std::string& where) {
  return {"cutting.input", what, where, "Give lengths in metres above zero, and prices from zero."};
}

Status validate(const CutJob& job) {
  std::set<std::string> ids;
  for (const CutPiece& piece : job.pieces) {
    if (!in_range(piece.length_m, 1e-6, kLongest_m))
      return input_error("The length of a piece is out of range.", piece.id);
    if (!ids.insert(piece.id).second) return input_error("Two pieces have one name.", piece.id);
  }
  ids.clear();
  for (const CutStock& stock : job.stock) {
    if (!in_range(stock.length_m, 1e-6, kLongest_m))
      return input_error("The length of a stock piece is out of range.", stock.id);
    if (!in_range(stock.price, 0, kDearest))
      return input_error("The price of a stock piece is out of range.", stock.id);
    if (stock.available && *stock.available < 0)
      return input_error("The number of stock pieces is below zero.", stock.id);
    if (!ids.insert(stock.id).second)
      return input_error("Two kinds of stock have one name.", stock.id);
  }
  if (!in_range(job.kerf_m, 0, kLongest_m)) return input_error("The kerf is out of range.", "kerf");
  if (!in_range(job.minimum_remainder_m, 0, kLongest_m))
    return input_error("The least remainder is out of range.", "minimum remainder");
  return Done{};
}

/// The job in integers: every piece longer by the kerf, and the capacity by one kerf, since the
/// last piece of a full bar needs no cut of its own.
class Model {
 public:
  explicit Model(const CutJob& job) : job_(job), kerf_(micrometres(job.kerf_m)) {
    add_pieces();
    add_kinds();
  }

  const Problem& problem() const { return problem_; }
  std::int64_t kerf() const { return kerf_; }

  std::int64_t remainder_um(const CutBar& bar) const {
    std::int64_t left = micrometres(job_.stock[at(bar.stock)].length_m);
    for (const int piece : bar.pieces) left -= micrometres(job_.pieces[at(piece)].length_m) + kerf_;
    return std::max<std::int64_t>(0, left);
  }

  /// The same problem with one bar of the kind, at least, keeping `remainder` uncut. That bar is
  /// the last kind.
  Problem with_remainder(int kind, std::int64_t remainder) const {
    Problem changed = problem_;
    StockKind& whole = changed.kinds[at(kind)];
    StockKind part = whole;
    part.capacity = (length_[at(kind)] - remainder) / unit_;
    part.least = part.most = 1;
    whole.most -= 1;
    changed.kinds.push_back(part);
    return changed;
  }

  std::int64_t length_um(int kind) const { return length_[at(kind)]; }

  CutPlan plan(const Solved& solved) const;

 private:
  void add_pieces() {
    std::vector<int> order(job_.pieces.size());
    std::iota(order.begin(), order.end(), 0);
    // Copies are taken from the back: those of one length come out by their ids.
    std::sort(order.begin(), order.end(), [this](int a, int b) {
      const std::int64_t left = micrometres(job_.pieces[at(a)].length_m);
      const std::int64_t right = micrometres(job_.pieces[at(b)].length_m);
      return left != right ? left > right : job_.pieces[at(a)].id > job_.pieces[at(b)].id;
    });
    for (const int piece : order)
      unit_ = std::gcd(unit_, micrometres(job_.pieces[at(piece)].length_m) + kerf_);
    unit_ = std::max<std::int64_t>(1, unit_);
    for (const int piece : order) {
      const std::int64_t length = (micrometres(job_.pieces[at(piece)].length_m) + kerf_) / unit_;
      if (problem_.types.empty() || problem_.types.back().length != length) {
        problem_.types.emplace_back();
        problem_.types.back().length = length;
      }
      problem_.types.back().bundles.push_back({piece});
    }
  }

  std::int64_t capacity_of(const CutStock& stock) const {
    const std::int64_t length = micrometres(stock.length_m);
    const std::int64_t kept = micrometres(job_.minimum_remainder_m);
    return std::max<std::int64_t>(0, kept > 0 ? length - kept : length + kerf_) / unit_;
  }

  static std::int64_t price_of(const CutStock& stock) {
    return stock.on_shelf ? 0 : std::llround(stock.price * kPriceUnits);
  }

  void add_kinds() {
    const int pieces = static_cast<int>(job_.pieces.size());
    std::int64_t unit = 0;
    for (const CutStock& stock : job_.stock) unit = std::gcd(unit, price_of(stock));
    price_unit_ = std::max<std::int64_t>(1, unit);
    std::vector<int> order(job_.stock.size());
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [this](int a, int b) {
      const CutStock &left = job_.stock[at(a)], &right = job_.stock[at(b)];
      if (left.length_m != right.length_m) return left.length_m > right.length_m;
      const std::int64_t price = price_of(left), other = price_of(right);
      return price != other ? price < other : left.id < right.id;
    });
    for (const int index : order) {
      const CutStock& stock = job_.stock[at(index)];
      const int most = std::min(pieces, stock.available.value_or(stock.on_shelf ? 1 : pieces));
      const std::int64_t cost = price_of(stock) / price_unit_ * (pieces + 1) + 1;
      const std::int64_t capacity = capacity_of(stock);
      if (most == 0 || capacity == 0 || is_surpassed(capacity, cost)) continue;
      problem_.kinds.push_back({capacity, cost, 0, most});
      source_.push_back(index);
      length_.push_back(micrometres(stock.length_m));
    }
    cost_unit_ = 0;
    for (const StockKind& kind : problem_.kinds) cost_unit_ = std::gcd(cost_unit_, kind.cost);
    cost_unit_ = std::max<std::int64_t>(1, cost_unit_);
    for (StockKind& kind : problem_.kinds) kind.cost /= cost_unit_;
  }

  /// An unlimited kind as long or longer costs no more.
  bool is_surpassed(std::int64_t capacity, std::int64_t cost) const {
    const int pieces = static_cast<int>(job_.pieces.size());
    return std::any_of(problem_.kinds.begin(), problem_.kinds.end(), [=](const StockKind& kind) {
      return kind.most == pieces && kind.capacity >= capacity && kind.cost <= cost;
    });
  }

  const CutJob& job_;
  std::int64_t kerf_ = 0;
  std::int64_t unit_ = 0;  // micrometres to a unit of length
  std::int64_t price_unit_ = 1, cost_unit_ = 1;
  Problem problem_;
  std::vector<int> source_;           // of each kind, the stock
  std::vector<std::int64_t> length_;  // of each kind, micrometres
};

CutPlan Model::plan(const Solved& solved) const {
  CutPlan plan;
  std::int64_t price = 0;
  for (const cutting::Bar& bar : solved.best.bars) {
    if (bar.pieces.empty()) continue;
    CutBar cut{source_[at(bar.kind)], bar.pieces, 0};
    std::sort(cut.pieces.begin(), cut.pieces.end(), [this](int a, int b) {
      const CutPiece &left = job_.pieces[at(a)], &right = job_.pieces[at(b)];
      return left.length_m != right.length_m ? left.length_m > right.length_m : left.id < right.id;
    });
    cut.remainder_m = static_cast<double>(remainder_um(cut)) / kMicrometres;
    price += price_of(job_.stock[at(cut.stock)]);
    plan.bars.push_back(std::move(cut));
  }
  std::sort(plan.bars.begin(), plan.bars.end(), [this](const CutBar& a, const CutBar& b) {
    if (a.stock != b.stock) return a.stock < b.stock;
    if (a.remainder_m != b.remainder_m) return a.remainder_m < b.remainder_m;
    return job_.pieces[at(a.pieces.front())].id < job_.pieces[at(b.pieces.front())].id;
  });
  plan.cost = static_cast<double>(price) / kPriceUnits;
  plan.proven = solved.proven();
  // cost = price * (pieces + 1) + bars, and there are at most as many bars as pieces.
  const std::int64_t pieces = static_cast<std::int64_t>(job_.pieces.size());
  const std::int64_t bound = solved.bound * cost_unit_;
  const std::int64_t price_bound = std::max<std::int64_t>(0, bound / (pieces + 1));
  plan.cost_bound = static_cast<double>(price_bound * price_unit_) / kPriceUnits;
  plan.bars_bound = static_cast<int>(
      std::max<std::int64_t>(bound > 0 ? 1 : 0, bound - price / price_unit_ * (pieces + 1)));
  return plan;
}

std::int64_t largest_remainder(const Model& model, const CutPlan& plan) {
  std::int64_t largest = 0;
  for (const CutBar& bar : plan.bars) largest = std::max(largest, model.remainder_um(bar));
  return largest;
}

/// Whether bars of this cost hold all pieces, each way to spend it tried in turn.
cutting::Verdict spend(const Problem& problem, std::int64_t cost, Packing& packing) {
  std::vector<std::vector<int>> ways;
  if (!cutting::list_counts(problem, cost, kMostCounts, ways)) return cutting::Verdict::undecided;
  cutting::Verdict verdict = cutting::Verdict::impossible;
  for (const std::vector<int>& counts : ways) {
    Problem counted = problem;
    for (std::size_t k = 0; k < counts.size(); ++k)
      counted.kinds[k].least = counted.kinds[k].most = counts[k];
    const cutting::Verdict each = cutting::complete_bars(counted, kLeftoverSteps, packing);
    if (each == cutting::Verdict::packed) return each;
    if (each == cutting::Verdict::undecided) verdict = each;
  }
  return verdict;
}

/// Halves the range in which the largest remainder can lie, kind by kind, by asking whether the
/// rest still fits at the same cost. @return whether every question was decided
bool enlarge_leftover(const Model& model, Budget& budget, Solved& solved, CutPlan& plan) {
  std::int64_t largest = largest_remainder(model, plan);
  bool decided = true;
  const int last = static_cast<int>(model.problem().kinds.size());
  for (int kind = 0; kind < last; ++kind) {
    std::int64_t high = model.length_um(kind);  // some piece is cut: never reached
    while (largest + kLeftoverStep_um <= high) {
      if (budget.is_spent()) return false;
      const std::int64_t middle =
          std::max(largest + kLeftoverStep_um, largest + (high - largest) / 2);
      Packing packing;
      const cutting::Verdict verdict =
          spend(model.with_remainder(kind, middle), solved.best.cost, packing);
      if (verdict != cutting::Verdict::packed) {
        decided = decided && verdict == cutting::Verdict::impossible;
        high = middle - 1;
        continue;
      }
      for (cutting::Bar& bar : packing.bars)
        if (bar.kind == last) bar.kind = kind;
      solved.best.bars = std::move(packing.bars);
      plan = model.plan(solved);
      largest = std::max(middle, largest_remainder(model, plan));
    }
  }
  return decided;
}

Status check_lengths(const CutJob& job, const Model& model) {
  std::int64_t capacity = 0;
  for (const StockKind& kind : model.problem().kinds) capacity = std::max(capacity, kind.capacity);
  if (model.problem().types.empty() || model.problem().types.front().length <= capacity)
    return Done{};
  const CutPiece& piece = job.pieces[at(model.problem().types.front().bundles.front().front())];
  return Error{"cutting.piece_too_long", "No stock is long enough for this piece.", piece.id,
               "Add longer stock, or split the run."};
}

}  // namespace

Result<CutPlan> plan_cuts(const CutJob& job) {
  const Status valid = validate(job);
  if (!valid) return valid.error();
  if (job.pieces.empty()) return CutPlan{{}, 0, 0, 0, true, 0, true};
  const Model model(job);
  const Status fits = check_lengths(job, model);
  if (!fits) return fits.error();
  cutting::Budget budget(job.effort);
  Solved solved = cutting::solve(model.problem(), Packing::no_cost, cutting::Work{}, budget);
  if (solved.best.cost == Packing::no_cost) {
    if (solved.bound == Packing::no_cost)
      return Error{"cutting.stock_short", "The stock at hand cannot hold all pieces.", "stock",
                   "Allow more stock pieces, or add a kind that can be bought."};
    return Error{"cutting.not_found", "No plan was found with this effort.", "stock",
                 "Allow more stock pieces or more effort."};
  }
  CutPlan plan = model.plan(solved);
  if (job.improve_leftover && plan.proven &&
      static_cast<int>(job.pieces.size()) <= kMostPiecesForLeftover)
    plan.leftover_proven = enlarge_leftover(model, budget, solved, plan);
  plan.effort_spent = job.effort - budget.left();
  return plan;
}

}  // namespace roomloom
