#pragma once

#include <optional>
#include <vector>

#include "network/pooled_design.h"

/// The cheapest plan of divisible flow between few ends, by dynamic programming over sets of them
/// (Erickson, Monma and Veinott, "Send-and-split method for minimum-concave-cost network flows",
/// Mathematics of Operations Research 12, 1987).
namespace roomloom::network {

/// Whether the sets are few enough: up to about twenty ends in a small graph.
bool can_send_and_split(const PooledFlow& flow);

/// @param deadline  seconds of the steady clock
/// @return flow an arc of a cheapest plan; all empty where the balances cannot be met; nothing when
///     the deadline came first
/// @cost  3^(ends - 1) / 2 * nodes sums; 2^(ends - 1) * nodes numbers
std::optional<std::vector<double>> send_and_split(const PooledFlow& flow, double deadline);

}  // namespace roomloom::network
