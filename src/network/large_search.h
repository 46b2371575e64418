#pragma once

#include "network/design_search.h"

/// The search where ascents of each demand over the whole graph would take minutes: paths laid one
/// by one, and a bound that takes variable costs and charges apart.
namespace roomloom::network {

bool is_large(const Model& model);

/// As `search_design`, but with no other plans and no prices.
Outcome search_large(const Model& model, const Budget& budget, const std::vector<Plan>& start);

}  // namespace roomloom::network
