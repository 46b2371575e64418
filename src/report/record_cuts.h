#pragma once

#include <string>
#include <vector>

#include "report/record_check.h"

namespace roomloom {

/// An entry of a run or cut with what was measured. @error `record.length`
Result<Json> measured_entry(const std::string& name, const Recording& what);

/// What was cut from a spool or a length of raceway for nothing: a test piece, a cut that went
/// wrong, or what it is shorter by than it should be.
/// @error `record.unknown` · `record.length`
Status add_spare_cut(const Json& plan, const Recording& what, Json& record);

/// Takes the last of them out of the record. @error `record.unknown`
Status forget_spare_cut(const std::string& spool, Json& record, std::vector<std::string>& told);

}  // namespace roomloom
