#pragma once

#include <string>
#include <vector>

#include "network/network.h"

/// Fixed-charge design where flow is divisible and arcs have capacities: many sources that can
/// stand in for each other, or many commodities. Not what cables need, but the published instances
/// of both kinds are stated so.
namespace roomloom::network {

struct FlowArc {
  int tail = 0;
  int head = 0;
  double fixed = 0;              ///< paid once if anything flows; >= 0
  double cost = 0;               ///< per unit of flow; >= 0
  double capacity = kUnlimited;  ///< of all flow together; >= 0
};

/// An amount to be brought from one node to another; it may be divided.
struct FlowDemand {
  int from = 0;
  int to = 0;
  double amount = 0;  ///< > 0
};

struct FlowProblem {
  int node_count = 0;
  std::vector<FlowArc> arcs;
  std::vector<FlowDemand> demands;
};

struct FlowSolution {
  std::vector<double> flow;  ///< one an arc, all demands together
  double objective = 0;
  double bound = 0;
  double gap = 0;
  bool proven = false;
  std::string model;
  double seconds = 0;
};

/// @error `network.malformed`; `network.infeasible` the demands cannot all be met
Result<FlowSolution> solve_flow(const FlowProblem& problem, const Effort& effort);

}  // namespace roomloom::network
