#include "route/route.h"

#include <algorithm>
#include <map>

#include "base/units.h"
#include "route/layers.h"
#include "route/model.h"
#include "route/rules.h"
#include "route/symmetry.h"
#include "route/written.h"

namespace roomloom {
namespace route {
namespace {

constexpr int kRounds = 6;       ///< of rip-up and reroute after the solver
constexpr int kGroupRounds = 3;  ///< of closing and opening holes after it

/// The better of two plans: fewer overloads first, then less cost.
const Ways& better(const Setting& setting, const Ways& a, const Ways& b) {
  const auto missing = [&](const Ways& ways) {
    return std::count_if(ways.begin(), ways.end(), [](const auto& way) { return way.empty(); });
  };
  const auto judge = [&](const Ways& ways) {
    double over_m = 0;
    for (std::size_t run = 0; run < ways.size(); ++run)
      over_m += too_long_m(setting, static_cast<int>(run), ways[run]);
    return std::tuple(missing(ways), over_m, overload_m2(setting, ways),
                      price_ways(setting, ways) + moving_cost(setting, ways));
  };
  return judge(b) < judge(a) ? b : a;
}

struct Solved {
  Ways ways;
  double bound = 0;
  double certified = 0;  ///< what the certificate proves
  bool proven = false;
  std::string model;
  std::vector<std::string> relaxations;
};

/// What planned runs pay before they reach their hub, and what settled runs pay; the solver's bound
/// leaves it out.
double paid_besides(const Setting& setting, const Model& model, const network::Solution& solution) {
  double sum = 0;
  std::vector<char> counted(model.least_port_cost.size(), 0);
  for (std::size_t k = 0; k < model.commodity_run.size(); ++k) {
    const auto run = static_cast<std::size_t>(model.commodity_run[k]);
    if (run >= counted.size() || counted[run] != 0 || !solution.routes[k].reachable) continue;
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

/// From a written plan: its ways, the others added to them, and what may move moved.
std::optional<Ways> starting_ways(const Setting& setting) {
  const bool from = std::any_of(setting.runs.begin(), setting.runs.end(),
                                [](const RunNeeds& run) { return !run.on_written.empty(); });
  if (!from) return std::nullopt;
  return improved_ways(setting, written_ways(setting), kRounds);
}

/// What a quick search would end at: its plan may turn more cheaply than the solver's own best, and
/// more effort is not to cost more.
std::optional<Ways> quick_ways(const Setting& setting, const Model& model,
                               const network::Solution& warm) {
  constexpr std::size_t kMostRuns = 100;  // beyond, the search itself is what takes the time
  if (model.problem.commodities.size() > kMostRuns) return std::nullopt;
  network::Effort quick;
  quick.level = network::EffortLevel::quick;
  const auto found = network::solve(model.problem, quick, &warm);
  if (!found) return std::nullopt;
  return improved_ways(
      setting, shortened_ways(setting, kept_ways(setting, as_ways(setting, model, found->routes))),
      kRounds);
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
  network::certify(model.problem, effort_of(options).level, paid_besides(setting, model, result),
                   result);
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
  if (paid_for_bends(setting, solved.ways) < kWorthIt * price_ways(setting, solved.ways)) return;
  const auto layers = make_layers(setting);
  if (!layers || layers->tracks.edges.size() * setting.runs.size() > kMost) return;
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
  const double bound = result->bound + paid_besides(setting, model, *result);
  if (bound <= solved.bound) return;
  solved.bound = bound;
  solved.proven = result->proven && overload_m2(setting, solved.ways) <= 0;
  solved.relaxations = result->relaxations;
  solved.model += " and by what bends ask for, a copy of each stretch a size";
}

Solved solve_jointly(const Setting& setting, const Ways& start, const RouteOptions& options) {
  Solved solved;
  const Model model = make_model(setting);
  solved.model = model.text;
  solved.ways = start;
  const network::Solution warm = as_solution(setting, model, start);
  auto result = network::solve(model.problem, effort_of(options), &warm);
  if (!result) {
    solved.relaxations.push_back("no bound: " + to_text(result.error()));
    solved.ways = improved_ways(setting, start, kRounds);
    return solved;
  }
  certify(setting, model, options, *result, solved);
  solved.bound = result->bound + paid_besides(setting, model, *result);
  solved.proven = result->proven;
  solved.relaxations = result->relaxations;
  const Ways free = improved_ways(
      setting, shortened_ways(setting, kept_ways(setting, as_ways(setting, model, result->routes))),
      kRounds);
  solved.ways = better(setting, shortened_ways(setting, start), free);
  // The solver counts sizes by load alone: another of its plans may turn more cheaply.
  for (const std::vector<network::Route>& routes : result->others)
    solved.ways = better(setting, solved.ways, kept_ways(setting, as_ways(setting, model, routes)));
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

/// What a metre off the present way counts to one on it, and whether a hole may be one that nobody
/// has planned: whoever moves a loudspeaker goes on from where its cable lies, and cuts nothing.
EdgeCost cost_of_moving(const Setting& setting, const Ways& ways, int run, bool new_holes) {
  constexpr double kOnTheWay = 0.01, kTurn_m = 1e-4;
  std::vector<char> own(setting.tracks.edges.size(), 0), planned(own.size(), 0);
  for (std::size_t other = 0; other < ways.size(); ++other)
    for (const Step& step : ways[other]) {
      planned[static_cast<std::size_t>(step.edge)] = 1;
      if (static_cast<int>(other) == run) own[static_cast<std::size_t>(step.edge)] = 1;
    }
  return [&setting, run, new_holes, own, planned](int edge) {
    const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
    if (!may_use(setting, run, edge)) return kClosed;
    if (e.kind == EdgeKind::crossing && !new_holes && planned[static_cast<std::size_t>(edge)] == 0)
      return kClosed;
    const double metres = e.length_m + kTurn_m * (1 + e.turn_rad);
    return own[static_cast<std::size_t>(edge)] != 0 ? kOnTheWay * metres : metres;
  };
}

/// The shortest way to each place that an end may move to, along the run's own as far as it serves.
void add_alternatives(const Setting& setting, const Ways& ways, int run, PlannedRun& planned) {
  const Run& told = setting.ends.runs[static_cast<std::size_t>(run)];
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  for (const bool move_from : {true, false}) {
    const int moving = move_from ? told.from : told.to;
    const int fixed = move_from ? needs.to_node : needs.from_node;
    if (moving < 0 || fixed < 0 ||
        setting.ends.ends[static_cast<std::size_t>(moving)].may_move_to.empty())
      continue;
    const Search search = search_from(setting, fixed, cost_of_moving(setting, ways, run, false));
    const Search cutting = search_from(setting, fixed, cost_of_moving(setting, ways, run, true));
    for (std::size_t t = 0; t < setting.tracks.terminals.size(); ++t) {
      const Terminal& terminal = setting.tracks.terminals[t];
      if (terminal.end != moving || terminal.alternative < 0) continue;
      planned.alternative_terminals.push_back(static_cast<int>(t));
      std::vector<Step> way;
      if (terminal.node >= 0) {
        auto found = way_to(setting, search, terminal.node);
        if (!found) found = way_to(setting, cutting, terminal.node);
        way = found.value_or(std::vector<Step>{});
      }
      planned.alternative_steps.push_back(move_from ? reversed(way) : way);
    }
  }
}

/// Room that is kept along named runs is bought with the raceway, but no part of the bound.
void tell_spares(const Setting& setting, Told& told) {
  const bool named = std::any_of(setting.spares.begin(), setting.spares.end(),
                                 [](const SpareNeeds& spare) { return !spare.along.empty(); });
  if (named)
    told.relaxations.push_back(
        "room is kept for later along named runs; the bound leaves its raceway out");
}

/// Runs that are longer on their tracks than their cable reaches: no way within it was found, or
/// none is within it.
void tell_too_long(const Setting& setting, const Ways& ways, Told& told) {
  const auto metres = [&](double length) { return format_length(length, setting.job.units, 1); };
  for (std::size_t run = 0; run < ways.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    const std::string way =
        setting.ends.runs[run].id + ": " + metres(length_of(setting, ways[run])) + " of way";
    if (needs.out_of_reach_m > 0)
      told.not_kept(way + "; not even the shortest keeps to the " + metres(needs.out_of_reach_m) +
                    " that its cable reaches, so it is planned for a cable that reaches further");
    else if (too_long_m(setting, static_cast<int>(run), ways[run]) > 0)
      told.not_kept(way + " is longer than the " + metres(needs.greatest_length_m) +
                    " that its cable reaches");
  }
}

/// Places that an end may move to and that no way reaches: the cut length leaves them out.
void tell_out_of_reach(const Setting& setting, const Plan& plan, std::vector<std::string>& told) {
  for (const PlannedRun& run : plan.runs) {
    std::size_t missed = 0;
    std::string what;
    for (std::size_t i = 0; i < run.alternative_steps.size(); ++i) {
      if (!run.routed || !run.alternative_steps[i].empty()) continue;
      ++missed;
      const int terminal = run.alternative_terminals[i];
      if (what.empty())
        what = setting.tracks.terminals[static_cast<std::size_t>(terminal)].blocked_by;
    }
    if (missed == 0) continue;
    told.push_back(setting.ends.runs[static_cast<std::size_t>(run.run)].id + ": " +
                   std::to_string(missed) + " of the " +
                   std::to_string(run.alternative_steps.size()) +
                   " places tried of where its end may move have no way" +
                   (what.empty() ? "" : " (" + what + ")") + "; the cut length leaves them out");
  }
}

void fill_runs(const Setting& setting, const Ways& ways, Plan& plan) {
  for (std::size_t run = 0; run < ways.size(); ++run) {
    PlannedRun planned;
    planned.run = static_cast<int>(run);
    planned.steps = ways[run];
    const RunNeeds& needs = setting.runs[run];
    planned.routed =
        !ways[run].empty() || (needs.from_node >= 0 && needs.from_node == needs.to_node);
    if (planned.routed)
      add_alternatives(setting, ways, static_cast<int>(run), planned);
    else
      planned.blocked_by = blocker_of(setting, static_cast<int>(run));
    plan.runs.push_back(std::move(planned));
  }
}

}  // namespace
}  // namespace route

Plan route_runs(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                const RouteOptions& options) {
  Plan plan;
  route::Setting setting = route::make_setting(tracks, ends, room, job);
  route::Told told;
  route::apply_masks(setting, told);
  route::find_written_ways(setting, plan.notes);
  route::settle_simple_runs(setting);
  route::lift_hopeless_lengths(setting);
  const route::Ways separate = route::separate_ways(setting);
  plan.separate_objective = route::price_ways(setting, separate);
  const auto start = route::starting_ways(setting);
  route::Solved solved = route::solve_jointly(setting, start.value_or(separate), options);
  const std::size_t before = told.relaxations.size();
  route::mirror_crossings(setting, solved.ways, told);
  route::keep_company_rules(setting, solved.ways, told);
  route::tell_too_long(setting, solved.ways, told);
  route::tell_spares(setting, told);
  plan.relaxations = solved.relaxations;
  plan.relaxations.insert(plan.relaxations.end(), told.relaxations.begin(), told.relaxations.end());
  plan.notes.insert(plan.notes.end(), told.notes.begin(), told.notes.end());
  plan.bound = solved.bound;
  plan.model = solved.model;
  route::fill_plan(setting, solved.ways, plan);
  route::fill_runs(setting, solved.ways, plan);
  route::tell_out_of_reach(setting, plan, plan.relaxations);
  route::tell_moves(setting, solved.ways, plan);
  plan.proven = solved.proven && told.relaxations.size() == before &&
                plan.objective <= plan.bound * (1 + 1e-6) + 1e-9;
  return plan;
}

double price_plan(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                  const Plan& plan) {
  const route::Setting setting = route::make_setting(tracks, ends, room, job);
  route::Ways ways;
  for (const PlannedRun& run : plan.runs) ways.push_back(run.steps);
  return route::price_ways(setting, ways);
}

}  // namespace roomloom
