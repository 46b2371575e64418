#pragma once

#include "route/joint.h"
#include "route/rules.h"

namespace roomloom::route {

/// A problem and its plan.
struct Attempt {
  Setting setting;  ///< with the ways that runs are sent (RunNeeds::via_nodes)
  Solved solved;
  double separate = 0;  ///< objective of each run planned as if it were alone
};

/// Plans all runs together. A run with `via` that misses what it is to pass is sent through one
/// edge of it; the bound is that of the problem without `via`.
/// @param told  with masks and written ways, no run sent anywhere yet
Attempt solve_all(const Setting& told, const RouteOptions& options, Told& said);

}  // namespace roomloom::route
