#pragma once

#include "route/paths.h"

namespace roomloom::route {

/// Finds the ways of Job::written on this graph. A run that lies in the room gets
/// RunNeeds::settled and `lies`; a plan that is started from fills `written` and `on_written`. What
/// cannot be found again is told.
void find_written_ways(Setting& setting, std::vector<std::string>& told);

/// Which runs were held, and which left their written way, by how much and why.
void tell_moves(const Setting& setting, const Ways& ways, Plan& plan);

}  // namespace roomloom::route
