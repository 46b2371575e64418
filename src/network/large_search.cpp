#include "network/large_search.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "network/steiner_ascent.h"

namespace roomloom::network {
namespace {

/// Nodes settled in closing edges of a large plan.
constexpr long long kLargeWork = 30'000'000;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// A bound for the charges alone: a Steiner tree on the edges' own charges that joins the terminals
/// of the busiest root, bounded by dual ascent.
double charges_bound(const Model& model) {
  std::map<int, std::vector<int>> terminals;
  for (const Demand& d : model.demands) terminals[d.root].push_back(d.terminal);
  const auto busiest = std::max_element(
      terminals.begin(), terminals.end(),
      [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
  SteinerProblem problem;
  problem.node_count = model.node_count;
  problem.terminals = busiest->second;
  problem.terminals.push_back(busiest->first);
  for (std::size_t e = 0; e < model.own.size(); ++e) {
    bool usable = false;
    for (const Profile& profile : model.profiles)
      usable = usable || !std::isinf(profile.cost[2 * e]) || !std::isinf(profile.cost[2 * e + 1]);
    if (usable) problem.edges.push_back({model.head[2 * e + 1], model.head[2 * e], model.own[e]});
  }
  const SteinerCore core = make_core(SteinerGraph(problem));
  return ascend(core, core.terminals.front(), 0).bound;
}

/// Demands by how far they have to go, the farthest first; `sum`: all the ways that they need.
std::vector<int> farthest_first(const Model& model, Router& router, double& sum) {
  std::vector<std::pair<double, int>> far;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    const Demand& d = model.demands[k];
    const double least = router.lower_bounds(d)[at(d.terminal)];
    sum += least;
    far.emplace_back(-least, static_cast<int>(k));
  }
  std::sort(far.begin(), far.end());
  std::vector<int> order;
  for (const auto& [distance, k] : far) order.push_back(k);
  return order;
}

}  // namespace

bool is_large(const Model& model) {
  const double nodes = model.node_count;
  return static_cast<double>(model.demands.size()) * nodes * std::sqrt(nodes) > 3e9;
}

Outcome search_large(const Model& model, const Budget& budget, const std::vector<Plan>& start) {
  Outcome out;
  out.plan = empty_plan(model);
  out.dual = empty_dual(model);
  bool have_plan = false;
  const auto note = [&](const Plan& plan) {
    if (have_plan && !better(plan, out.plan)) return;
    out.plan = plan;
    out.plan.objective = price(model, plan);
    have_plan = true;
  };
  const auto late = [&] {
    out.timed_out = out.timed_out || (budget.out_of_time && budget.out_of_time());
    return out.timed_out;
  };
  for (const Plan& plan : start) note(plan);
  Router router(model);
  const Permitted permitted = everything_shared(model);
  double shortest = 0;
  const std::vector<int> order = farthest_first(model, router, shortest);
  const Model lines = relax_steps(model, std::vector<double>(model.own.size(), 0.0));
  out.bound = shortest + charges_bound(model.is_stepped() ? lines : model);
  Plan plan = empty_plan(model);
  if (std::all_of(order.begin(), order.end(),
                  [&](int k) { return router.insert(k, permitted, plan); })) {
    note(plan);
    for (int pass = 0; pass < 4 && !late(); ++pass) {
      const double before = plan.objective;
      for (int k : order) {
        if (late()) break;
        router.lay_anew(k, permitted, plan);
      }
      if (plan.objective >= before * (1 - 1e-4)) break;
    }
    note(plan);
    if (budget.lp_pairs > 0 && !late()) router.close_groups(permitted, plan, kLargeWork);
    note(plan);
  }
  out.bound = std::min(out.bound, out.plan.objective);
  return out;
}

}  // namespace roomloom::network
