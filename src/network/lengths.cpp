#include "network/lengths.h"

#include <algorithm>
#include <functional>
#include <queue>
#include <utility>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double length_of(const Problem& problem, const std::vector<int>& path) {
  double sum = 0;
  for (int arc : path) sum += problem.edges[at(edge_of(arc))].length;
  return sum;
}

/// Lays a demand anew so that it keeps its greatest length at least cost: the price of length is
/// raised until it does, then halved in. @return that price; 0: even the shortest way is too long
double shorten(const Model& model, int demand, double most, Router& router, Plan& plan) {
  const Permitted permitted = everything_shared(model);
  const auto lay = [&](double length_price) {
    router.length_price = length_price;
    router.remove(demand, plan);
    router.insert(demand, permitted, plan);
    router.length_price = 0;
    return length_of(*model.problem, plan.paths[at(demand)]) <= most * (1 + 1e-9);
  };
  double low = 0, high = 1e-3 * (1 + plan.objective);
  while (!lay(high)) {
    low = high;
    high *= 8;
    if (high > 1e9 * (1 + plan.objective)) return 0;
  }
  for (int halving = 0; halving < 20; ++halving) {
    const double middle = 0.5 * (low + high);
    (lay(middle) ? high : low) = middle;
  }
  return lay(high) ? high : 0;
}

/// Length of the shortest way from a node to every other, over edges that are not closed.
std::vector<double> lengths_from(const Problem& problem,
                                 const std::vector<std::vector<int>>& at_node,
                                 const std::vector<char>& closed, int start) {
  std::vector<double> length(at(problem.node_count), kUnlimited);
  std::priority_queue<std::pair<double, int>, std::vector<std::pair<double, int>>, std::greater<>>
      queue;
  length[at(start)] = 0;
  queue.emplace(0, start);
  while (!queue.empty()) {
    const auto [reached, node] = queue.top();
    queue.pop();
    if (reached > length[at(node)]) continue;
    for (const int e : at_node[at(node)]) {
      const Edge& edge = problem.edges[at(e)];
      const int next = edge.a == node ? edge.b : edge.a;
      if (closed[at(e)] != 0 || reached + edge.length >= length[at(next)]) continue;
      length[at(next)] = reached + edge.length;
      queue.emplace(length[at(next)], next);
    }
  }
  return length;
}

/// Closes to a commodity the edges by which no path within its limit leads.
void close_beyond_reach(const Problem& problem, const std::vector<std::vector<int>>& at_node,
                        Commodity& commodity) {
  std::vector<char> closed(problem.edges.size(), 0);
  for (std::size_t e = 0; e < problem.edges.size(); ++e)
    closed[e] = (problem.edges[e].forbidden_classes >> commodity.class_index) & 1U ? 1 : 0;
  for (const int e : commodity.forbidden_edges) closed[at(e)] = 1;
  const std::vector<double> there = lengths_from(problem, at_node, closed, commodity.source);
  const std::vector<double> back = lengths_from(problem, at_node, closed, commodity.target);
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const Edge& edge = problem.edges[e];
    const double least = edge.length + std::min(there[at(edge.a)] + back[at(edge.b)],
                                                there[at(edge.b)] + back[at(edge.a)]);
    if (closed[e] == 0 && least > commodity.max_length * (1 + 1e-9))
      commodity.forbidden_edges.push_back(static_cast<int>(e));
  }
}

}  // namespace

std::vector<LengthPrice> keep_lengths(const Model& model, Plan& plan) {
  std::vector<LengthPrice> prices;
  if (!model.length_limited) return prices;
  Router router(model);
  for (std::size_t k = 0; k < plan.paths.size(); ++k) {
    const int index = model.demands[k].commodity;
    const Commodity& commodity = model.problem->commodities[at(index)];
    if (length_of(*model.problem, plan.paths[k]) <= commodity.max_length * (1 + 1e-9)) continue;
    const std::vector<int> before = plan.paths[k];
    const double price = shorten(model, static_cast<int>(k), commodity.max_length, router, plan);
    if (price > 0) {
      prices.push_back({index, price});
      continue;
    }
    router.remove(static_cast<int>(k), plan);
    router.place(static_cast<int>(k), before, plan);
  }
  return prices;
}

Problem with_length_prices(const Problem& problem, const std::vector<LengthPrice>& prices,
                           double& rebate) {
  Problem priced = problem;
  rebate = 0;
  std::vector<std::vector<int>> at_node(at(problem.node_count));
  for (std::size_t e = 0; e < problem.edges.size(); ++e)
    for (const int node : {problem.edges[e].a, problem.edges[e].b})
      at_node[at(node)].push_back(static_cast<int>(e));
  for (const LengthPrice& price : prices) {
    Commodity& commodity = priced.commodities[at(price.commodity)];
    close_beyond_reach(problem, at_node, commodity);
    rebate += price.per_length * commodity.max_length;
    std::vector<double> more(problem.edges.size(), 0.0);
    for (const Surcharge& surcharge : commodity.surcharges)
      more[at(surcharge.edge)] = surcharge.cost;
    commodity.surcharges.clear();
    for (std::size_t e = 0; e < more.size(); ++e) {
      more[e] += price.per_length * problem.edges[e].length;
      if (more[e] > 0) commodity.surcharges.push_back({static_cast<int>(e), more[e]});
    }
  }
  return priced;
}

}  // namespace roomloom::network
