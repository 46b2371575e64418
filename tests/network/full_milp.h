#pragma once

#include "network/network.h"

namespace roomloom::network {

/// Optimum of the whole problem as one integer programme solved by CBC: no reduction, no ascent, no
/// code of the solver. Every commodity must be reachable. Negative when there is no plan.
double milp_optimum(const Problem& problem);

}  // namespace roomloom::network
