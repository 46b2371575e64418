#pragma once

#include <string>
#include <vector>

#include "report/record.h"
#include "report/record_stock.h"

/// What can hardly be: most such lengths are a wrong unit or a slip of the pen.
namespace roomloom {

/// A ready-made lead is as long as it is sold: its length need not be told.
Recording measured_or_lead(const Json& plan, const Recording& what);

/// A run is hardly shorter than its way, nor much longer than was planned, and no longer than its
/// spool. @error `record.implausible`
Status plausible_length(const Json& plan, const Recording& what, double measured_m);

/// All that is recorded from the spool that a run was cut from is no longer than the spool.
/// @error `record.implausible`
Status spool_holds(const Json& record, const Recording& what);

/// @error `record.length` · `record.implausible`
Status plausible_width(const std::string& hole, double width_m, double planned_m, bool anyway);

/// Runs and holes of `what` that both records have, with what is told of them in each.
std::vector<std::string> said_again(const Json& before, const Json& after, const Recording& what);

/// Of an entry of the record, by its tape or its marks.
double length_of(const Json& run);

}  // namespace roomloom
