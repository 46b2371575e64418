#pragma once

#include <string>

#include "route/rules.h"

namespace roomloom::route {

/// Leads runs to mirrored ends through mirrored holes: those nearest to their ends, left and right
/// of the upright plane in which the listener looks. With Preferences::symmetric a rule, else a
/// wish that may cost Preferences::symmetry_worth a pair of runs.
/// @param told  what the bound leaves out, and pairs that have no mirrored holes
void mirror_crossings(const Setting& setting, Ways& ways, Told& told);

}  // namespace roomloom::route
