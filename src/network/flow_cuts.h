#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "network/pooled_design.h"

/// Cuts of fixed-charge flow: what a set of nodes needs comes in over arcs that are open, or by the
/// flow of arcs that may be (the simple inequalities of Ortega and Wolsey, Networks 41, 2003).
namespace roomloom::network {

/// Sum over `parts` of the flow, or of `needed` times the opening, is at least `needed`. The parts
/// are the arcs into a set of nodes that takes `needed` more than it gives: where one by opening
/// is open, its part alone is that; where none is, all that comes in does so by flow.
struct FlowCut {
  struct Part {
    int arc = 0;
    bool opening = false;
  };
  double needed = 0;
  std::vector<Part> parts;
};

/// Cuts that a relaxation's solution violates, found by local search over sets from each node and
/// from sets grown along the flow, and among unions of what arcs are contracted to. Same input,
/// same cuts, unless `deadline` cuts the search short.
std::vector<FlowCut> violated_cuts(const PooledFlow& flow, std::span<const double> openings,
                                   std::span<const double> amounts, std::uint64_t seed,
                                   double deadline);

}  // namespace roomloom::network
