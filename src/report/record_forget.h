#pragma once

#include <string>
#include <vector>

#include "report/record.h"
#include "report/record_stock.h"

namespace roomloom {

/// Takes out of the record what is named; with a run go holes and raceway that were recorded only
/// because it lies in them and that no other recorded run of the plan lies in. A run that took over
/// a provision's cable gives it back.
/// @param told  gets what was taken out, in words: "run S4", "hole H2"
/// @error `record.unknown` the record has no such thing · `record.nothing` nothing is named
Status forget_in(const Json& plan, const Recording& what, Json& record,
                 std::vector<std::string>& told);

}  // namespace roomloom
