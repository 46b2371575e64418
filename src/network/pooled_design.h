#pragma once

#include "network/flow_design.h"

/// Divisible flow of many sources that stand in for each other, without capacities: fixed-charge
/// flow of one commodity (Ortega and Wolsey, Networks 41, 2003).
namespace roomloom::network {

/// Sources and sinks that may be served by any of them.
struct PooledFlow {
  std::vector<FlowArc> arcs;    ///< as in the problem; those out of the origin are turned round
  std::vector<double> balance;  ///< one a node: what it gives, below 0 what it takes; sums to 0
  int origin = 0;               ///< takes back what the sources have too much
};

/// Fills flow, objective, bound and model.
/// @param deadline  seconds of the steady clock
/// @return false: the problem is none of this kind (not all demands come from one node whose arcs
///     alone are bounded and free), or no plan was found; nothing is filled then
bool design_pooled(const FlowProblem& problem, double deadline, FlowSolution& solution);

}  // namespace roomloom::network
