#pragma once

#include <optional>
#include <vector>

#include "network/pooled_design.h"

namespace roomloom::network {

struct BoundedFlow {
  std::vector<double> amounts;  ///< one an arc
  double cost = 0;
  double bound = 0;  ///< no plan costs less; at most `cost` apart from rounding
};

/// What a flow costs.
double price(const PooledFlow& flow, const std::vector<double>& amounts);

/// A plan by annealing, a bound by a relaxation with cuts, then branching over both.
/// @param deadline  seconds of the steady clock
/// @return nothing when no plan was found
std::optional<BoundedFlow> cut_and_branch(const PooledFlow& flow, double deadline);

}  // namespace roomloom::network
