#include "network/pooled_design.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "network/flow_branch.h"
#include "network/send_and_split.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

std::optional<PooledFlow> pooled(const FlowProblem& problem) {
  if (problem.demands.empty()) return std::nullopt;
  PooledFlow flow;
  flow.origin = problem.demands[0].from;
  flow.balance.assign(at(problem.node_count), 0.0);
  for (const FlowDemand& demand : problem.demands) {
    if (demand.from != flow.origin || demand.to == flow.origin) return std::nullopt;
    flow.balance[at(demand.to)] -= demand.amount;
    flow.balance[at(flow.origin)] += demand.amount;
  }
  for (FlowArc arc : problem.arcs) {
    const bool out = arc.tail == flow.origin;
    if (arc.head == flow.origin || out != std::isfinite(arc.capacity)) return std::nullopt;
    if (out) {
      if (arc.fixed > 0 || arc.cost > 0) return std::nullopt;
      // The source gives all it has; what nobody takes goes back to the origin.
      flow.balance[at(arc.head)] += arc.capacity;
      flow.balance[at(flow.origin)] -= arc.capacity;
      std::swap(arc.tail, arc.head);
    }
    flow.arcs.push_back(arc);
  }
  return flow;
}

/// The arcs out of the origin turned back.
std::vector<double> as_asked(const FlowProblem& problem, const PooledFlow& flow,
                             std::vector<double> amounts) {
  for (std::size_t a = 0; a < amounts.size(); ++a)
    if (problem.arcs[a].tail == flow.origin)
      amounts[a] = std::max(0.0, problem.arcs[a].capacity - amounts[a]);
  return amounts;
}

}  // namespace

bool design_pooled(const FlowProblem& problem, double deadline, FlowSolution& solution) {
  const std::optional<PooledFlow> flow = pooled(problem);
  if (!flow) return false;
  if (can_send_and_split(*flow)) {
    if (const auto plan = send_and_split(*flow, deadline)) {
      if (plan->empty()) return false;
      solution.objective = solution.bound = price(*flow, *plan);
      solution.flow = as_asked(problem, *flow, *plan);
      solution.model = "divisible flow of one commodity, all sets of ends";
      return true;
    }
  }
  std::optional<BoundedFlow> found = cut_and_branch(*flow, deadline);
  if (!found) return false;
  solution.flow = as_asked(problem, *flow, std::move(found->amounts));
  solution.objective = found->cost;
  solution.bound = found->bound;
  solution.model =
      "divisible flow of one commodity, flow into any set of nodes at least what it needs";
  return true;
}

}  // namespace roomloom::network
