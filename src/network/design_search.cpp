#include "network/design_search.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "network/design_lp.h"
#include "network/large_search.h"
#include "network/open_nodes.h"
#include "network/price_polish.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Above this many pairs of demand and arc a relaxation takes seconds: first rule out more.
constexpr long long kComfortablePairs = 60'000;

/// Below this many a relaxation is solved soon, unless moving prices once more still leaves less
/// than that share of them.
constexpr long long kFewPairs = 10'000;
constexpr double kWorthRulingOut = 0.7;

/// A relaxation of the nearest so many pairs takes less time than a led plan's local search, and is
/// mostly whole: its plan is the best of what the led plan and the prices tell. (Rooms of 60 runs:
/// 0.05 to 0.1 s; from 8,000 on some take over a second.)
constexpr std::size_t kNearPairs = 4'000;

/// Beyond this share of all pairs it takes as long as that of all.
constexpr double kMostNear = 0.75;

/// Farther than this share from the plan, prices rule out next to nothing.
constexpr double kTooFar = 0.015;

/// Ascents within this share of the best are means to begin from.
constexpr double kNearBest = 0.005;

/// Moving prices ends when a part of it closes less than this share of the gap.
constexpr double kWorthAPart = 0.03;

/// Beyond this share of the plan, ascents made better one by one rise too slowly.
constexpr double kFarFromPlan = 0.01;

/// Plans kept besides the best.
constexpr std::size_t kMostOthers = 6;

class Search {
 public:
  Search(const Model& model, const Budget& budget)
      : model_(model),
        lines_(model.is_stepped() ? relaxed_ : model),
        budget_(budget),
        router_(model),
        permitted_(everything(model)),
        grain_(grain_of(model)) {}

  Outcome run(const std::vector<Plan>& start) {
    out_.plan = empty_plan(model_);
    if (model_.demands.empty()) {
      out_.dual = empty_dual(model_);
      return std::move(out_);
    }
    for (const Plan& plan : start) {
      Plan copy = plan;
      if (model_.capacitated) {
        polish(copy, permitted_);
      } else {
        router_.reroute(all_demands(model_), permitted_, copy);
        note_plan(copy);
      }
    }
    first_plans();
    if (model_.is_stepped())
      relaxed_ = relax_steps(
          model_, have_plan_ ? out_.plan.edge_load : std::vector<double>(model_.own.size(), 0.0));
    duals_ = first_duals(lines_, permitted_, ways(), &router_);
    out_.dual = dual_ = duals_.front();
    note_bound(dual_.bound);
    rounds();
    if (!done() && !late() && !enough()) polish_prices();
    if (!done()) relax();
    // Nothing lies between the limit and the plan.
    if (done() || out_.bound > out_.plan.objective) out_.bound = out_.plan.objective;
    return std::move(out_);
  }

 private:
  bool late() {
    if (budget_.out_of_time && budget_.out_of_time()) out_.timed_out = true;
    return out_.timed_out;
  }

  bool enough() {
    if (!enough_) enough_ = budget_.enough && has_plan() && budget_.enough(out_.plan, out_.bound);
    return enough_;
  }

  double seconds_left() const { return budget_.seconds_left ? budget_.seconds_left() : kInfinity; }

  bool has_plan() const { return have_plan_; }

  /// Only plans below this are of interest.
  double limit() const {
    if (!has_plan() || out_.plan.misfit > 1e-9) return kInfinity;
    const double objective = out_.plan.objective;
    return objective - std::max(0.99 * grain_, 2e-9 * std::abs(objective));
  }

  bool done() const { return out_.bound >= limit() - 1e-10 * std::abs(out_.plan.objective); }

  void note_bound(double bound) { out_.bound = std::max(out_.bound, bound); }

  void note_plan(const Plan& plan) {
    if (has_plan() && !better(plan, out_.plan)) {
      note_other(plan);
      return;
    }
    if (has_plan()) note_other(out_.plan);
    out_.plan = plan;
    out_.plan.objective = price(model_, plan);
    have_plan_ = true;
  }

  /// Keeps a plan that is nearly as good, for those who know costs that the model leaves out.
  void note_other(const Plan& plan) {
    if (plan.misfit > 1e-9) return;
    const double cost = price(model_, plan);
    auto& others = out_.others;
    const auto place = std::find_if(others.begin(), others.end(), [&](const auto& other) {
      return cost <= other.first + 1e-9 * std::abs(cost);
    });
    if (place != others.end() && place->first <= cost + 1e-9 * std::abs(cost)) return;
    others.insert(place, {cost, plan.paths});
    if (others.size() > kMostOthers) others.pop_back();
  }

  /// Local search from a whole plan; keeps it when it is the best so far.
  void polish(Plan& plan, const Permitted& permitted) {
    router_.reroute(all_demands(model_), permitted, plan);
    while (plan.misfit > 1e-9 && router_.mend(permitted, plan)) {
    }
    if (budget_.plan_work > 0) {
      const long long stop = router_.work + budget_.plan_work;
      while (router_.work < stop && router_.close_groups(permitted, plan, stop - router_.work)) {
      }
    }
    note_plan(plan);
  }

  bool insert_all(const std::vector<int>& order, const Permitted& permitted, Plan& plan) {
    plan = empty_plan(model_);
    for (int k : order)
      if (!router_.insert(k, permitted, plan)) return false;
    return true;
  }

  void first_plans() {
    Plan plan;
    if (!insert_all(all_demands(model_), permitted_, plan)) return;
    router_.reroute(all_demands(model_), permitted_, plan);
    if (model_.capacitated) polish(plan, permitted_);
    note_plan(plan);
  }

  /// A plan among the arcs that a dual solution finds nearly free.
  void guided_plan(const Dual& dual, double share) {
    const double top = std::isinf(limit()) ? 1.5 * dual.bound : limit();
    Permitted narrow = permitted_;
    fix_arcs(lines_, dual, dual.bound + share * (top - dual.bound) + 1e-9 * top, narrow, &router_);
    std::vector<int> order = all_demands(model_);
    shuffle(order, random_);
    Plan plan;
    if (insert_all(order, narrow, plan)) polish(plan, narrow);
  }

  void guided_plans(const Dual& dual) {
    constexpr double kShares[] = {0.1, 0.3, 0.02};
    for (int i = 0; i < budget_.guided_plans; ++i)
      if (!done() && !late()) guided_plan(dual, kShares[i % 3]);
  }

  void fix() {
    if (!std::isinf(limit())) fix_arcs(lines_, dual_, limit(), permitted_, &router_);
    keep_plan_permitted(permitted_);
  }

  /// The best plan's own arcs stay, so that searches within the rest can find it again.
  void keep_plan_permitted(Permitted& permitted) const {
    for (std::size_t k = 0; k < out_.plan.paths.size(); ++k)
      for (int arc : out_.plan.paths[k]) permitted[k][at(arc)] = 1;
  }

  void rounds() {
    for (int round = 0; round < budget_.rounds && !done() && !late(); ++round) {
      guided_plans(dual_);
      if (enough()) return;
      fix();
      // Lines in place of steps leave little to gain: prices that know the steps do better. So do
      // prices moved together where the ascent is far from the plan.
      const bool far = limit() - dual_.bound > kFarFromPlan * limit();
      if (done() || model_.is_stepped() || (far && prices_follow())) break;
      const double before = dual_.bound;
      improve_dual(lines_, permitted_, out_.plan, budget_.dual_rounds, limit(), router_, random_,
                   dual_);
      note_bound(dual_.bound);
      fix();
      const double left = limit() - dual_.bound;
      if (round > 0 && dual_.bound - before < 0.1 * left) break;
    }
  }

  /// In how many ways demands take turns in the first ascents.
  int ways() const { return model_.is_stepped() ? 1 : 2; }

  bool prices_follow() const {
    return budget_.price_rounds > 0 && (model_.demands.size() > 1 || model_.has_sized);
  }

  /// Prices made better step by step; what they rule out, and plans led by what their paths use.
  void polish_prices() {
    if (!prices_follow()) return;
    PricePolish prices(model_, permitted_);
    prices.start_from(duals_to_start_from(), out_.plan);
    lifts_ = !model_.is_stepped();
    std::size_t near = kNearPairs;
    // Of few pairs the last relaxation takes no longer than these.
    const bool many = count_permitted(permitted_) > kComfortablePairs;
    for (int part = 0; part < budget_.price_parts && !done() && !late(); ++part) {
      const double own_before = prices.bound();
      const double before = std::max(own_before, dual_.bound);
      for (int rounds = 0; rounds < budget_.price_rounds && !late(); rounds += 5)
        prices.improve(5, limit());
      note_bound(std::min(prices.bound(), limit()));
      const double gained = prices.bound() - before, left = limit() - prices.bound();
      // Prices of sizes may start far below the ascent's and pass it later.
      const bool over = prices.bound() <= own_before || (part > 2 && gained < kWorthAPart * left);
      const long long pairs = count_permitted(permitted_);
      rule_out(over, prices);
      if (done()) break;
      const double limit_before = limit();
      led_plan(prices.closedness());
      const bool looked = many && near_plan(near, prices);
      if (done()) break;
      keep_plan_permitted(permitted_);
      const long long remain = count_permitted(permitted_);
      // Of sizes the relaxation knows lines only: prices prove more, however few pairs are left.
      const bool few = !model_.is_stepped() && remain < std::min(budget_.lp_pairs, kFewPairs);
      if (!over &&
          !(few && static_cast<double>(remain) > kWorthRulingOut * static_cast<double>(pairs)))
        continue;
      // A better plan leaves less for the last relaxation, which takes the longest.
      if (!looked) break;
      if (limit() >= limit_before) near += near / 2;
    }
  }

  /// The best plan of the relaxation over the pairs that the prices find nearest.
  /// @return false: not looked for
  bool near_plan(std::size_t size, PricePolish& prices) {
    if (model_.needs_loads() || done() || late()) return false;
    const auto pairs = static_cast<double>(count_permitted(permitted_));
    if (static_cast<double>(size) >
        std::min(kMostNear * pairs, static_cast<double>(budget_.lp_pairs)))
      return false;
    Permitted near = prices.nearest(size, permitted_);
    keep_plan_permitted(near);
    DesignLp lp(lines_, near, ties_.potentials.empty() ? dual_ : ties_);
    if (!std::isfinite(lp.solve(limit(), seconds_left()))) return !late();
    take_plan_from(lp, near);
    return true;
  }

  /// Means of several are smoother than the best alone, and gain sooner. Those that start from what
  /// arcs cost prove most by themselves, but prices stay where they are when they start from them
  /// alone (rooms of 60 runs: no gain in 80 rounds).
  std::vector<Dual> duals_to_start_from() {
    std::vector<Dual> duals = first_duals(lines_, permitted_, ways());
    for (const Dual& dual : duals_)
      if (dual.bound >= dual_.bound - kNearBest * std::abs(dual_.bound)) duals.push_back(dual);
    return duals;
  }

  /// An ascent shares out what the prices leave of charges, and proves more than they do. Ruling
  /// out pays where a relaxation of what is left follows.
  void rule_out(bool always, PricePolish& prices) {
    Dual lifted;
    if (lifts_) {
      lifted = dual_with(prices.own_prices());
      lifts_ = lifted.bound > prices.bound();
      if (lifts_) note_bound(std::min(lifted.bound, limit()));
    }
    if (budget_.lp_pairs <= 0 || done()) return;
    if (!always && limit() - out_.bound > kTooFar * limit()) return;
    if (lifts_) fix_arcs(lines_, lifted, limit(), permitted_, &router_);
    prices.fix(limit(), permitted_);
    keep_plan_permitted(permitted_);
    if (lifts_) ties_ = std::move(lifted);
  }

  /// An ascent in which each demand first draws what is set aside for it.
  Dual dual_with(std::vector<std::vector<double>> reserve) {
    fit_reserve(lines_, reserve);
    AscentOptions options;
    options.turns = Turns::smallest_cut;
    options.order = all_demands(model_);
    options.reserve = &reserve;
    options.router = &router_;
    Dual dual = empty_dual(lines_);
    raise(lines_, permitted_, options, dual);
    return dual;
  }

  /// A plan laid where the running mean of paths goes.
  void led_plan(const std::vector<double>& closedness) {
    router_.own_weight = closedness;
    std::vector<int> order = all_demands(model_);
    shuffle(order, random_);
    Plan plan;
    const bool whole = insert_all(order, permitted_, plan);
    router_.own_weight.clear();
    if (whole) polish(plan, permitted_);
  }

  bool can_reserve() const { return lines_.families.size() == 1 && !lines_.capacitated; }

  /// A relaxation over the cheap arcs gives prices that lift the dual solution of the whole.
  void lift_by_narrow_relaxation(double share) {
    Permitted narrow = permitted_;
    fix_arcs(lines_, dual_, dual_.bound + share * (limit() - dual_.bound), narrow, &router_);
    keep_plan_permitted(narrow);
    if (count_permitted(narrow) > std::min(budget_.lp_pairs, kComfortablePairs)) return;
    DesignLp lp(lines_, narrow, dual_);
    const double value = lp.solve(kInfinity, seconds_left());
    if (!std::isfinite(value)) return;
    take_plan_from(lp, narrow);
    if (!can_reserve()) return;
    std::vector<std::vector<double>> reserve;
    for (std::size_t k = 0; k < model_.demands.size(); ++k)
      reserve.push_back(lp.drawn(static_cast<int>(k)));
    // What ties earn on an edge with shared charges is not all its own.
    for (std::vector<double>& row : reserve)
      for (std::size_t arc = 0; arc < row.size(); ++arc)
        if (lines_.shared_begin[arc / 2] < lines_.shared_begin[arc / 2 + 1]) row[arc] = 0;
    Dual lifted = dual_with(std::move(reserve));
    improve_dual(lines_, permitted_, out_.plan, budget_.dual_rounds / 4, limit(), router_, random_,
                 lifted);
    if (lifted.bound <= dual_.bound) return;
    dual_ = std::move(lifted);
    note_bound(dual_.bound);
  }

  void take_plan_from(const DesignLp& lp, const Permitted& permitted) {
    Plan plan;
    if (lp.whole_plan(router_, plan)) {
      plan.objective = price(model_, plan);
      note_plan(plan);
      return;
    }
    router_.own_weight = lp.closedness();
    std::vector<int> order = all_demands(model_);
    shuffle(order, random_);
    const bool whole = insert_all(order, permitted, plan);
    router_.own_weight.clear();
    if (whole) polish(plan, permitted);
  }

  void relax() {
    // Lines of charges that many edges share are far below the sizes: nothing to be had from them.
    if (budget_.lp_pairs <= 0 || model_.has_sized) return;
    for (const double share : {0.1, 0.3}) {
      if (done() || late()) return;
      if (out_.bound > dual_.bound * (1 + 1e-9)) break;  // other prices are ahead of what it lifts
      lift_by_narrow_relaxation(share);
      fix();
    }
    for (int round = 0; round < 4 && count_permitted(permitted_) > kComfortablePairs; ++round) {
      if (done() || late() || budget_.lp_pairs < kComfortablePairs) return;
      rounds();
      lift_by_narrow_relaxation(0.3);
      fix();
    }
    if (!done() && !late() && !too_many_pairs()) branch();
  }

  bool too_many_pairs() const { return count_permitted(permitted_) > budget_.lp_pairs; }

  /// Columns that cannot change in any better plan.
  void fix_columns(DesignLp& lp, double value) {
    const double spare = limit() - value;
    for (int i = 0; i < lp.opening_count(); ++i) {
      const int column = lp.opening(i);
      if (lp.column_low(column) == lp.column_high(column)) continue;
      const double cost = lp.reduced_cost(column), x = lp.value(column);
      if (x < 1e-7 && cost > spare) lp.bound_column(column, 0, 0);
      if (x > 1 - 1e-7 && -cost > spare) lp.bound_column(column, 1, 1);
    }
  }

  void branch() {
    DesignLp lp(lines_, permitted_, ties_.potentials.empty() ? dual_ : ties_);
    const double root = lp.solve(limit(), seconds_left());
    if (std::isinf(root) && root < 0) return;  // the simplex gave up: the bound stays
    if (std::isinf(root)) {
      note_bound(limit());
      return;
    }
    note_bound(root);
    const std::vector<Opening> open = lp.fractional();
    take_plan_from(lp, permitted_);
    if (open.empty() || done()) {
      return;
    }
    fix_columns(lp, root);
    grow_tree(lp, root, open);
  }

  void grow_tree(DesignLp& lp, double root, const std::vector<Opening>& open) {
    OpenNodes queue;
    int numbers = 0;
    split({root, 0, {}}, open.front(), numbers, queue);
    std::vector<std::pair<int, int>> held;
    while (!queue.empty()) {
      const Node node = queue.top();
      note_bound(std::min({node.bound, limit(), least_leaf_}));
      if (node.bound >= std::min(limit(), least_leaf_)) return;
      if (out_.nodes >= budget_.search_nodes || lp.iterations() > budget_.lp_iterations || late())
        return;
      queue.pop();
      ++out_.nodes;
      hold(lp, held, node.fixed);
      const double value = lp.solve(limit(), seconds_left());
      if (std::isinf(value) && value > 0) continue;
      if (std::isinf(value)) return;  // simplex trouble: keep the bound reached
      const std::vector<Opening> fractional = lp.fractional();
      if (fractional.empty() || out_.nodes % 8 == 1) take_plan_from(lp, permitted_);
      if (fractional.empty()) {
        // Where lines stand for steps, the plan found may cost more than the relaxation tells.
        if (model_.is_stepped()) least_leaf_ = std::min(least_leaf_, value);
        continue;
      }
      split({value, 0, node.fixed}, fractional.front(), numbers, queue);
    }
    note_bound(std::min(limit(), least_leaf_));
  }

  const Model& model_;
  Model relaxed_;
  const Model& lines_;  ///< the model without steps of size: ascents and simplex know none
  const Budget& budget_;
  Router router_;
  Permitted permitted_;
  double grain_;
  Random random_;
  std::vector<Dual> duals_;  ///< first ascents, the best first
  Dual dual_;
  Dual ties_;  ///< the last ascent begun from prices, if any: its arcs are the relaxation's first
               ///< ties
  double least_leaf_ = kInfinity;  ///< least value of a whole solution met in branching
  Outcome out_;
  bool have_plan_ = false;
  bool enough_ = false;
  bool lifts_ = false;  ///< an ascent has so far proved more than the prices that it began from
};

}  // namespace

Outcome search_design(const Model& model, const Budget& budget, const std::vector<Plan>& start) {
  return is_large(model) ? search_large(model, budget, start) : Search(model, budget).run(start);
}

}  // namespace roomloom::network
