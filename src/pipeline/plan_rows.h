#pragma once

#include <string>
#include <vector>

#include "types/plan.h"
#include "types/table.h"
#include "types/takeoff.h"

namespace roomloom {

/// The columns of a table that compares plans: what they are called by, then cable, holes, raceway,
/// what shows, minutes, money, the longest run and how near the best each is proved to be.
std::vector<Column> plan_columns(const Column& name);

/// A plan's row in it.
std::vector<Cell> plan_row(const std::string& name, const Plan& plan, const Takeoff& takeoff);

}  // namespace roomloom
