#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "network/model.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

bool is_permitted(const Edge& edge, const Commodity& commodity, const Step& step, int index) {
  if (edge.one_way && !step.forward) return false;
  if ((edge.forbidden_classes >> commodity.class_index) & 1U) return false;
  return std::find(commodity.forbidden_edges.begin(), commodity.forbidden_edges.end(), index) ==
         commodity.forbidden_edges.end();
}

/// Follows one path. @return what is wrong with it, empty when sound
std::string fault_of(const Problem& problem, const Commodity& commodity, const Route& route) {
  int node = commodity.source;
  for (const Step& step : route.steps) {
    if (step.edge < 0 || at(step.edge) >= problem.edges.size()) return "uses an unknown edge";
    const Edge& edge = problem.edges[at(step.edge)];
    if (!is_permitted(edge, commodity, step, step.edge))
      return "uses edge " + std::to_string(step.edge) + ", which it must not";
    if ((step.forward ? edge.a : edge.b) != node) return "is broken";
    node = step.forward ? edge.b : edge.a;
  }
  if (node != commodity.target) return "does not end at its target";
  return {};
}

std::vector<double> loads_of(const Problem& problem, const Solution& solution) {
  std::vector<double> load(problem.edges.size(), 0.0);
  for (std::size_t k = 0; k < solution.routes.size(); ++k)
    for (const Step& step : solution.routes[k].steps)
      load[at(step.edge)] += problem.commodities[k].load;
  return load;
}

}  // namespace

double price_of_size(const std::vector<SizeStep>& steps, double load) {
  if (steps.empty() || load <= 0) return 0;
  for (const SizeStep& step : steps)
    if (load <= step.capacity * (1 + 1e-9)) return step.price;
  return steps.back().price;
}

double price_of_size(const std::vector<ChargeSize>& sizes, double load, std::uint32_t levels) {
  if (sizes.empty() || levels == 0) return 0;
  for (const ChargeSize& size : sizes)
    if (load <= size.capacity * (1 + 1e-9) && (levels & ~size.levels) == 0) return size.price;
  return sizes.back().price;
}

double variable_cost(const Problem& problem, const Commodity& commodity, int index) {
  const Edge& edge = problem.edges[at(index)];
  double cost = edge.cost * commodity.rate;
  if (!edge.class_cost.empty()) cost += edge.class_cost[at(commodity.class_index)];
  for (const Surcharge& surcharge : commodity.surcharges)
    if (surcharge.edge == index) cost += surcharge.cost;
  return cost;
}

double price(const Problem& problem, const Solution& solution) {
  double total = 0;
  std::map<int, std::pair<double, std::uint32_t>> paid;  // load and levels
  for (std::size_t k = 0; k < solution.routes.size(); ++k) {
    const Commodity& commodity = problem.commodities[k];
    for (const Step& step : solution.routes[k].steps) {
      const Edge& edge = problem.edges[at(step.edge)];
      total += variable_cost(problem, commodity, step.edge);
      for (const int charge : edge.charges) {
        auto& [load, levels] = paid[charge];
        load += commodity.load;
        levels |= std::uint32_t{1} << edge.level;
      }
    }
  }
  for (const auto& [charge, use] : paid)
    total += problem.charges[at(charge)].price +
             price_of_size(problem.charges[at(charge)].sizes, use.first, use.second);
  const std::vector<double> load = loads_of(problem, solution);
  for (std::size_t e = 0; e < load.size(); ++e)
    total += price_of_size(problem.edges[e].steps, load[e]);
  return total;
}

std::vector<std::string> defects(const Problem& problem, const Solution& solution) {
  std::vector<std::string> list;
  if (solution.routes.size() != problem.commodities.size())
    return {"The plan has not one path for each commodity."};
  for (std::size_t k = 0; k < solution.routes.size(); ++k) {
    const Route& route = solution.routes[k];
    if (!route.reachable) continue;
    const std::string fault = fault_of(problem, problem.commodities[k], route);
    if (!fault.empty())
      list.push_back("The path of commodity " + std::to_string(k) + " " + fault + ".");
  }
  if (!list.empty()) return list;
  const double objective = price(problem, solution);
  if (std::abs(objective - solution.objective) > 1e-6 * std::max(1.0, objective))
    list.push_back("The objective told is not that of the paths.");
  if (solution.bound > objective * (1 + 1e-9) + 1e-9)
    list.push_back("The bound is above the objective.");
  const std::vector<double> load = loads_of(problem, solution);
  for (std::size_t e = 0; e < load.size(); ++e) {
    const Edge& edge = problem.edges[e];
    const bool fits = load[e] <= edge.capacity * (1 + 1e-9) &&
                      (load[e] <= 0 || load[e] >= edge.floor * (1 - 1e-9));
    const bool told = std::any_of(solution.overloads.begin(), solution.overloads.end(),
                                  [&](const Overload& o) { return at(o.edge) == e; });
    if (!fits && !told)
      list.push_back("Edge " + std::to_string(e) + " is out of its limits and nothing says so.");
  }
  return list;
}

}  // namespace roomloom::network
