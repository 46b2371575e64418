#include "route/joint.h"

#include <algorithm>
#include <functional>
#include <map>

#include "base/units.h"
#include "route/layers.h"
#include "route/model.h"
#include "route/rules.h"

namespace roomloom::route {
namespace {

constexpr int kGroupRounds = 3;  ///< of closing and opening holes after it

const Ways& better(const Setting& setting, const Ways& a, const Ways& b) {
  return judge(setting, b) < judge(setting, a) ? b : a;
}

/// What planned runs pay before they reach their hub, and what settled runs pay; the solver's bound
/// leaves it out.
double paid_besides(const Setting& setting, const Model& model,
                    const std::vector<network::Route>& routes) {
  double sum = 0;
  std::vector<char> counted(model.least_port_cost.size(), 0);
  for (std::size_t k = 0; k < model.commodity_run.size(); ++k) {
    const auto run = static_cast<std::size_t>(model.commodity_run[k]);
    if (run >= counted.size() || counted[run] != 0 || !routes[k].reachable) continue;
    counted[run] = 1;
    sum += model.least_port_cost[run];
  }
  for (std::size_t run = 0; run < setting.runs.size(); ++run)
    for (const Step& step : setting.runs[run].settled)
      sum += run_cost(setting, static_cast<int>(run), step.edge);
  return sum;
}

/// What the solver found, but for runs that keep to where they are.
Ways kept_ways(const Setting& setting, Ways ways) {
  for (std::size_t run = 0; run < ways.size(); ++run)
    if (setting.runs[run].stays) ways[run] = setting.runs[run].written;
  return ways;
}

/// What the solver found, turned and shortened as cables lie.
Ways laid_ways(const Setting& setting, const Ways& found) {
  return improved_ways(setting, shortened_ways(setting, kept_ways(setting, found)), kRounds);
}

/// A quick search: it ends once its plan, as laid, is as near the bound as quick plans are meant to
/// be.
class QuickSearch {
 public:
  QuickSearch(const Setting& setting, const Model& model) : setting_(setting), model_(model) {}

  /// What the search asks once it has a plan and a bound.
  bool is_near(const std::vector<network::Route>& routes, double bound) {
    constexpr double kNear = 0.03;
    const double most = (1 + kNear) * (bound + paid_besides(setting_, model_, routes));
    return judge(setting_, lay(routes)) <= Judgement{0, 0, 0, most};
  }

  /// The ways of its plan: those that were asked about last, as a rule.
  const Ways& lay(const std::vector<network::Route>& routes) {
    Ways told = as_ways(setting_, model_, routes);
    if (laid_.empty() || told != told_) laid_ = laid_ways(setting_, told);
    told_ = std::move(told);
    return laid_;
  }

  network::Effort effort(network::Effort effort) {
    effort.level = network::EffortLevel::quick;
    effort.enough = [this](const auto& routes, double bound) { return is_near(routes, bound); };
    return effort;
  }

 private:
  const Setting& setting_;
  const Model& model_;
  Ways told_, laid_;
};

/// The best ways of what a search found and kept besides. The solver counts sizes by load alone:
/// another of its plans may turn more cheaply.
Ways best_of(const Setting& setting, const Model& model, const network::Solution& found,
             QuickSearch& quick) {
  Ways best = quick.lay(found.routes);
  for (const std::vector<network::Route>& routes : found.others)
    best = better(setting, best, kept_ways(setting, as_ways(setting, model, routes)));
  return best;
}

/// What a quick search would end at: its plan may turn more cheaply than the solver's own best, and
/// more effort is not to cost more.
std::optional<Ways> quick_ways(const Setting& setting, const Model& model,
                               const network::Solution& warm) {
  constexpr std::size_t kMostRuns = 100;  // beyond, the search itself is what takes the time
  if (model.problem.commodities.size() > kMostRuns) return std::nullopt;
  QuickSearch quick(setting, model);
  const auto found = network::solve(model.problem, quick.effort({}), &warm);
  if (!found) return std::nullopt;
  return best_of(setting, model, *found, quick);
}

/// What is paid for larger raceway than loads ask for.
double paid_for_bends(const Setting& setting, const Ways& ways) {
  std::map<int, double> load;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) load[step.edge] += setting.runs[run].area_m2;
  double sum = 0;
  for (const auto& [edge, need] : clear_needs(setting, ways))
    sum += choose_size(setting, edge, load[edge], need).price -
           choose_size(setting, edge, load[edge], ClearNeed{}).price;
  return sum;
}

/// The proof that proves more, where one is asked for.
void certify(const Setting& setting, const Model& model, const RouteOptions& options,
             network::Solution& result, Solved& solved) {
  if (options.certificate == nullptr) return;
  network::certify(model.problem, effort_of(options).level,
                   paid_besides(setting, model, result.routes), result);
  if (result.certified_bound <= solved.certified) return;
  solved.certified = result.certified_bound;
  *options.certificate = result.certificate;
}

/// What is left of the time, at least a tenth.
network::Effort effort_left(const RouteOptions& options, double spent_s) {
  network::Effort effort = effort_of(options);
  constexpr double kMinute = 60;  // as the solver takes where nothing is said
  const bool proves = options.effort == RouteEffort::prove;
  if (!proves && !effort.time_limit_s) return effort;
  const double all = effort.time_limit_s.value_or(kMinute);
  effort.time_limit_s = std::max(0.1 * all, all - spent_s);
  return effort;
}

/// Once more with what bends ask of raceway, where that is part of what keeps the bound from the
/// plan, and the graph that knows of it is not too large.
void solve_with_bends(const Setting& setting, const RouteOptions& options, double spent_s,
                      Solved& solved) {
  constexpr double kWorthIt = 1e-3;         // of the objective
  constexpr std::size_t kMost = 1'000'000;  // edges times runs
  constexpr std::size_t kMostEdges = 60'000;
  if (paid_for_bends(setting, solved.ways) < kWorthIt * price_ways(setting, solved.ways)) return;
  const auto layers = make_layers(setting, std::min(kMostEdges, kMost / setting.runs.size()));
  if (!layers) return;
  const Setting layered = setting_of(setting, *layers);
  const Model model = make_model(layered);
  const network::Solution warm = as_solution(layered, model, lifted_ways(layered, solved.ways));
  auto result = network::solve(model.problem, effort_left(options, spent_s), &warm);
  if (!result) return;
  certify(setting, model, options, *result, solved);
  const auto weigh = [&](const std::vector<network::Route>& routes) {
    solved.ways =
        better(setting, solved.ways,
               kept_ways(setting, lowered_ways(setting, *layers, as_ways(layered, model, routes))));
  };
  weigh(result->routes);
  for (const std::vector<network::Route>& routes : result->others) weigh(routes);
  const double bound = result->bound + paid_besides(setting, model, result->routes);
  if (bound <= solved.bound) return;
  solved.bound = bound;
  solved.proven = result->proven && overload_m2(setting, solved.ways) <= 0;
  solved.relaxations = result->relaxations;
  solved.model += " and by what bends ask for, a copy of each stretch a size";
}

}  // namespace

Judgement judge(const Setting& setting, const Ways& ways) {
  long missing = 0;
  double over_m = 0;
  for (std::size_t r = 0; r < ways.size(); ++r) {
    const int run = static_cast<int>(r);
    const bool astray = !setting.runs[r].via_nodes.empty() && !passes_vias(setting, run, ways[r]);
    missing += ways[r].empty() || astray ? 1 : 0;
    over_m += too_long_m(setting, run, ways[r]);
  }
  return {missing, over_m, overload_m2(setting, ways),
          price_ways(setting, ways) + moving_cost(setting, ways)};
}

std::optional<Ways> starting_ways(const Setting& setting) {
  const bool from = std::any_of(setting.runs.begin(), setting.runs.end(),
                                [](const RunNeeds& run) { return !run.on_written.empty(); });
  if (!from) return std::nullopt;
  return improved_ways(setting, written_ways(setting), kRounds);
}

Solved solve_jointly(const Setting& setting, const Ways& start, const RouteOptions& options) {
  Solved solved;
  const Model model = make_model(setting);
  solved.model = model.text;
  solved.ways = start;
  const network::Solution warm = as_solution(setting, model, start);
  network::Effort effort = effort_of(options);
  QuickSearch quick(setting, model);
  if (options.effort == RouteEffort::quick) effort = quick.effort(effort);
  auto result = network::solve(model.problem, effort, &warm);
  if (!result) {
    solved.relaxations.push_back("no bound: " + to_text(result.error()));
    solved.ways = improved_ways(setting, start, kRounds);
    return solved;
  }
  certify(setting, model, options, *result, solved);
  solved.bound = result->bound + paid_besides(setting, model, result->routes);
  solved.proven = result->proven;
  solved.relaxations = result->relaxations;
  solved.ways =
      better(setting, shortened_ways(setting, start), best_of(setting, model, *result, quick));
  const std::string text = "; " + result->model;
  if (options.effort == RouteEffort::quick) {
    solved.model += text;
    return solved;
  }
  if (const auto sooner = quick_ways(setting, model, warm))
    solved.ways = better(setting, solved.ways, *sooner);
  solved.ways = regrouped_ways(setting, solved.ways, kGroupRounds);
  solve_with_bends(setting, options, result->seconds, solved);
  solved.model += text;
  return solved;
}

}  // namespace roomloom::route
