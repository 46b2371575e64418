#pragma once

#include <string>

#include "pipeline/planning.h"

namespace roomloom::testing {

/// A room by its name, planned once a program: "alder-hall" and the like are the demo rooms; "room
/// 7" is one made up from that seed, with gear, ends, runs, stock, spares and a day's length.
/// Null, and a failure of the test, where it cannot be planned.
const PlannedRoom* planned_by_name(const std::string& name);

}  // namespace roomloom::testing
