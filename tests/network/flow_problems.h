#pragma once

#include <cstdint>
#include <vector>

#include "network/pooled_design.h"

namespace roomloom::network {

/// Nodes in a ring with chords; the first third gives, the last third takes.
PooledFlow made_up(std::uint64_t seed, int nodes);

/// Giving and taking nodes anywhere, some neither; any arcs, some parallel, some from a node to
/// itself. Not all can be met.
PooledFlow scattered(std::uint64_t seed, int nodes, int arcs);

/// What flow an arc costs.
double cost_of(const PooledFlow& flow, const std::vector<double>& amounts);

/// Largest amount by which a node gives or takes otherwise than its balance, or an arc carries less
/// than nothing.
double missed(const PooledFlow& flow, const std::vector<double>& amounts);

/// Optimum of the plain integer programme (flow at most all there is times the opening) by CBC, no
/// code of the solver. Negative when there is no plan.
double plain_optimum(const PooledFlow& flow);

}  // namespace roomloom::network
