#include <algorithm>
#include <chrono>
#include <cmath>
#include <set>
#include <string>
#include <utility>

#include "network/certificate.h"
#include "network/design_search.h"
#include "network/lengths.h"
#include "network/network.h"
#include "network/price_polish.h"
#include "network/steiner.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

Budget budget_of(const Effort& effort, double started) {
  Budget budget;
  double seconds = kInfinity;
  if (effort.level == EffortLevel::quick) {
    budget.rounds = 1;
    budget.dual_rounds = 20;
    budget.plan_work = 100'000;
    budget.guided_plans = 1;
    budget.price_rounds = 30;
    budget.price_parts = 2;
  } else {
    budget.rounds = 2;
    budget.dual_rounds = 50;
    budget.plan_work = 400'000;
    budget.price_rounds = 40;
    budget.price_parts = 10;
    budget.lp_pairs = 12'000;
    budget.lp_iterations = 20'000;
    budget.search_nodes = 200;
  }
  if (effort.level == EffortLevel::prove) {
    seconds = 60;
    budget.lp_pairs = 1'000'000;
    budget.lp_iterations = 1'000'000'000;
    budget.search_nodes = 1'000'000'000;
    budget.guided_plans = 1;  // prices lead to better ones
    budget.price_parts = 25;
  }
  if (effort.time_limit_s) seconds = *effort.time_limit_s;
  if (std::isfinite(seconds)) {
    budget.seconds_left = [started, seconds] { return seconds - (now() - started); };
    budget.out_of_time = [left = budget.seconds_left] { return left() < 0; };
  }
  return budget;
}

/// The arcs of a demand, root to terminal, as steps from the commodity's source to its target.
std::vector<Step> steps_of(const Demand& demand, const std::vector<int>& path) {
  std::vector<Step> steps;
  for (int arc : path) steps.push_back({edge_of(arc), (arc & 1) == 0});
  if (demand.flipped) {
    std::reverse(steps.begin(), steps.end());
    for (Step& step : steps) step.forward = !step.forward;
  }
  return steps;
}

/// @param problem  the model's, or one that differs from it by what is paid only
std::vector<Route> routes_of(const Model& model, const Problem& problem,
                             const std::vector<std::vector<int>>& paths) {
  std::vector<Route> routes(problem.commodities.size());
  for (int k : model.unreachable) routes[at(k)].reachable = false;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& demand = model.demands[k];
    const Commodity& commodity = problem.commodities[at(demand.commodity)];
    Route& route = routes[at(demand.commodity)];
    route.steps = steps_of(demand, paths[k]);
    for (const Step& step : route.steps) {
      route.cost += variable_cost(problem, commodity, step.edge);
      route.length += problem.edges[at(step.edge)].length;
    }
    route.too_long = route.length > commodity.max_length * (1 + 1e-9);
  }
  return routes;
}

void fill_charges(const Problem& problem, Solution& solution) {
  solution.overloads.clear();
  std::set<int> paid;
  std::vector<double> load(problem.edges.size(), 0.0);
  std::vector<char> used(problem.edges.size(), 0);
  for (std::size_t k = 0; k < solution.routes.size(); ++k) {
    for (const Step& step : solution.routes[k].steps) {
      const auto& charges = problem.edges[at(step.edge)].charges;
      paid.insert(charges.begin(), charges.end());
      load[at(step.edge)] += problem.commodities[k].load;
      used[at(step.edge)] = 1;
    }
  }
  solution.paid_charges.assign(paid.begin(), paid.end());
  for (std::size_t e = 0; e < load.size(); ++e) {
    const Edge& edge = problem.edges[e];
    if (!used[e]) continue;
    if (load[e] > edge.capacity * (1 + 1e-9) || load[e] < edge.floor * (1 - 1e-9))
      solution.overloads.push_back({static_cast<int>(e), load[e]});
  }
}

/// The warm plan's paths as far as they are still whole and permitted; the rest is routed anew.
std::vector<Plan> warm_plans(const Model& model, const Solution* warm) {
  if (warm == nullptr) return {};
  const Problem& problem = *model.problem;
  const Permitted permitted = everything_shared(model);
  Router router(model);
  Plan plan = empty_plan(model);
  std::vector<int> missing;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& demand = model.demands[k];
    std::vector<int> path;
    if (at(demand.commodity) < warm->routes.size())
      for (const Step& step : warm->routes[at(demand.commodity)].steps)
        path.push_back(2 * step.edge + (step.forward ? 0 : 1));
    if (demand.flipped) {
      std::reverse(path.begin(), path.end());
      for (int& arc : path) arc = reverse_of(arc);
    }
    int node = demand.root;
    bool sound = !path.empty();
    for (int arc : path) {
      sound = sound && arc >= 0 && at(edge_of(arc)) < problem.edges.size() &&
              permitted[k][at(arc)] && model.tail(arc) == node;
      if (!sound) break;
      node = model.head[at(arc)];
    }
    if (sound && node == demand.terminal)
      router.place(static_cast<int>(k), path, plan);
    else
      missing.push_back(static_cast<int>(k));
  }
  for (int k : missing)
    if (!router.insert(k, permitted, plan)) return {};
  return {plan};
}

/// Charges only, one root, every permitted edge usable both ways by all: a Steiner tree.
bool is_steiner(const Model& model) {
  if (model.families.size() != 1 || model.has_shared() || model.needs_loads()) return false;
  for (const Demand& d : model.demands) {
    const std::vector<double>& cost = model.profiles[at(d.profile)].cost;
    for (std::size_t a = 0; a < cost.size(); a += 2)
      if (cost[a] != cost[a + 1] || (cost[a] != 0 && !std::isinf(cost[a]))) return false;
  }
  return true;
}

/// The part of the graph that the root reaches.
std::vector<char> within_reach(const Model& model) {
  std::vector<char> seen(at(model.node_count), 0);
  std::vector<int> stack{model.families[0].root};
  seen[at(stack.back())] = 1;
  const std::vector<double>& cost = model.profiles[at(model.families[0].profile)].cost;
  while (!stack.empty()) {
    const int v = stack.back();
    stack.pop_back();
    for (int i = model.out.begin[at(v)]; i < model.out.begin[at(v) + 1]; ++i) {
      const int arc = model.out.arcs[at(i)];
      const int w = model.head[at(arc)];
      if (seen[at(w)] || std::isinf(cost[at(arc)])) continue;
      seen[at(w)] = 1;
      stack.push_back(w);
    }
  }
  return seen;
}

/// Paths of the demands in a tree of edges.
Plan plan_of_tree(const Model& model, const std::vector<int>& edges) {
  std::vector<char> row(at(model.arc_count), 0);
  for (int e : edges) row[2 * at(e)] = row[2 * at(e) + 1] = 1;
  const Permitted permitted({row}, std::vector<std::size_t>(model.demands.size(), 0));
  Router router(model);
  Plan plan = empty_plan(model);
  for (std::size_t k = 0; k < model.demands.size(); ++k)
    router.insert(static_cast<int>(k), permitted, plan);
  return plan;
}

Outcome search_tree(const Model& model, const Effort& effort, const Budget& budget,
                    const std::vector<Plan>& warm) {
  SteinerProblem problem;
  std::vector<int> edge_of_part;
  const std::vector<char> reached = within_reach(model);
  problem.node_count = model.node_count;
  problem.terminals.push_back(model.families[0].root);
  for (const Demand& d : model.demands) problem.terminals.push_back(d.terminal);
  const std::vector<double>& cost = model.profiles[at(model.families[0].profile)].cost;
  for (std::size_t e = 0; e < model.own.size(); ++e) {
    const int a = model.head[2 * e + 1], b = model.head[2 * e];
    if (std::isinf(cost[2 * e]) || !reached[at(a)]) continue;
    problem.edges.push_back({a, b, model.own[e]});
    edge_of_part.push_back(static_cast<int>(e));
  }
  SteinerBudget steiner;
  steiner.out_of_time = budget.out_of_time;
  steiner.rounds = effort.level == EffortLevel::quick ? 1 : 8;
  steiner.tree_work = effort.level == EffortLevel::quick ? 200'000 : 3'000'000;
  steiner.subset_seconds = effort.level == EffortLevel::prove ? 5 : 0.5;
  steiner.lp_iterations = effort.level == EffortLevel::quick    ? 0
                          : effort.level == EffortLevel::normal ? 20'000
                                                                : 1'000'000'000;
  if (budget.seconds_left)
    steiner.seconds_left = [left = budget.seconds_left] { return std::max(0.01, left()); };
  const SteinerOutcome found = solve_steiner(problem, grain_of(model), steiner);
  Outcome outcome;
  std::vector<int> edges;
  for (int e : found.edges) edges.push_back(edge_of_part[at(e)]);
  outcome.plan = plan_of_tree(model, edges);
  outcome.bound = found.bound;
  outcome.timed_out = found.timed_out;
  for (const Plan& plan : warm)
    if (better(plan, outcome.plan)) outcome.plan = plan;
  return outcome;
}

std::string describe(const Model& model) {
  std::string text = "paths unsplit, each flow at most its opening";
  if (model.problem->outward) text += ", runs with a common end pass an edge in one direction";
  text += model.families.size() > 1 ? ", charges per edge" : ", charges per direction of one root";
  if (model.is_stepped()) text += ", sizes by what fits into each";
  if (model.capacitated) text += ", loads within floor and capacity times opening";
  return text;
}

bool any_too_long(const std::vector<Route>& routes) {
  return std::any_of(routes.begin(), routes.end(), [](const Route& r) { return r.too_long; });
}

/// Bound and gap from what bound and objective are.
void state_gap(Solution& solution) {
  solution.bound = std::min(solution.bound, solution.objective);
  const double distance = solution.objective - solution.bound;
  solution.gap = distance <= 0 ? 0 : solution.bound > 0 ? distance / solution.bound : kInfinity;
  solution.proven =
      solution.gap <= 1e-6 && !any_too_long(solution.routes) && solution.overloads.empty();
}

Solution finish(const Model& model, const Outcome& outcome) {
  const Problem& problem = *model.problem;
  Solution solution;
  solution.routes = routes_of(model, problem, outcome.plan.paths);
  for (const auto& [cost, paths] : outcome.others)
    solution.others.push_back(routes_of(model, problem, paths));
  fill_charges(problem, solution);
  solution.objective = price(problem, solution);
  solution.bound = outcome.bound;
  state_gap(solution);
  solution.model = describe(model);
  if (outcome.timed_out) solution.relaxations.push_back("stopped by the time limit");
  if (model.length_limited)
    solution.relaxations.push_back("the bound has greatest lengths as prices");
  if (!solution.overloads.empty())
    solution.relaxations.push_back("the plan exceeds floors or capacities, so its cost is too low");
  return solution;
}

/// Prices for the graph as given, begun from ascents and led by the plan.
void write_proof(const Model& model, const Plan& plan, EffortLevel level, double besides,
                 Solution& solution) {
  const Permitted permitted = everything(model);
  const Model lines = relax_steps(
      model, model.is_stepped() ? plan.edge_load : std::vector<double>(model.own.size(), 0.0));
  PricePolish prices(model, permitted);
  prices.start_from({first_dual(lines, permitted)}, plan);
  // Somebody asks for this proof: it may take longer than the plan did, to prove as much.
  prices.improve(level == EffortLevel::quick ? 300 : 3000,
                 std::min(plan.objective * (1 - 1e-9), solution.bound * (1 + 1e-9)));
  const std::vector<Payment> payments = prices.payments();
  solution.certified_bound = prices.bound() + besides;
  solution.certificate = write_certificate(model, payments, prices.bound(), besides);
}

/// Takes other paths where they keep all limits and cost less.
void take_if_better(const Problem& problem, const std::vector<Route>& routes, Solution& solution) {
  Solution other = solution;
  other.routes = routes;
  fill_charges(problem, other);
  other.objective = price(problem, other);
  if (any_too_long(routes) || !other.overloads.empty()) return;
  const bool sound = !any_too_long(solution.routes) && solution.overloads.empty();
  if (sound && other.objective >= solution.objective * (1 - 1e-12)) return;
  other.others.push_back(solution.routes);
  solution = std::move(other);
}

/// Prices of length lift the bound, and lead to plans that keep the limits together. The bound is
/// concave in the prices, and rises with one while the path of its commodity is too long: they
/// are halved in, each by itself, from nothing and what serves the plan.
void lift_by_lengths(const Problem& problem, std::vector<LengthPrice> prices, const Budget& budget,
                     Solution& solution) {
  constexpr int kHalvings = 3;
  std::vector<double> low(prices.size(), 0), high;
  for (LengthPrice& price : prices) {
    high.push_back(price.per_length);
    price.per_length = 0;
  }
  for (int halving = 0; halving <= kHalvings; ++halving) {
    double rebate = 0;
    const Problem priced = with_length_prices(problem, prices, rebate);
    const Model model = build_model(priced);
    const Outcome found = search_design(model, budget, {});
    solution.bound = std::max(solution.bound, found.bound - rebate);
    const std::vector<Route> routes = routes_of(model, problem, found.plan.paths);
    solution.others.push_back(routes);
    take_if_better(problem, routes, solution);
    if (found.timed_out) {
      solution.relaxations.push_back("stopped by the time limit");
      break;
    }
    for (std::size_t i = 0; i < prices.size(); ++i) {
      (routes[at(prices[i].commodity)].too_long ? low : high)[i] = prices[i].per_length;
      prices[i].per_length = 0.5 * (low[i] + high[i]);
    }
    state_gap(solution);
    // Where nothing is too long, what lies beyond their reach was all.
    if (solution.proven || (halving == 0 && !any_too_long(routes))) return;
  }
  state_gap(solution);
}

Solution solve_valid(const Problem& problem, const Effort& effort, const Solution* warm) {
  const double started = now();
  const Model model = build_model(problem);
  const Budget budget = budget_of(effort, started);
  Budget first = budget;
  if (effort.enough)
    first.enough = [&](const Plan& plan, double bound) {
      return effort.enough(routes_of(model, problem, plan.paths), bound);
    };
  const std::vector<Plan> plans = warm_plans(model, warm);
  Outcome outcome = !model.demands.empty() && is_steiner(model)
                        ? search_tree(model, effort, budget, plans)
                        : search_design(model, first, plans);
  const std::vector<LengthPrice> prices = keep_lengths(model, outcome.plan);
  Solution solution = finish(model, outcome);
  if (!prices.empty()) lift_by_lengths(problem, prices, budget, solution);
  solution.seconds = now() - started;
  return solution;
}

}  // namespace

Result<Solution> solve(const Problem& problem, const Effort& effort, const Solution* warm) {
  const Status status = validate(problem);
  if (!status) return status.error();
  return solve_valid(problem, effort, warm);
}

void certify(const Problem& problem, EffortLevel level, double besides, Solution& solution) {
  const Model model = build_model(problem);
  const std::vector<Plan> plans = warm_plans(model, &solution);
  if (!plans.empty()) write_proof(model, plans.front(), level, besides, solution);
}

Result<Solution> solve_certified(const Problem& problem, const Effort& effort, const Solution* warm,
                                 double besides) {
  Result<Solution> solution = solve(problem, effort, warm);
  if (solution) certify(problem, effort.level, besides, *solution);
  return solution;
}

}  // namespace roomloom::network
