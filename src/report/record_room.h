#pragma once

#include <string>
#include <vector>

#include "report/record.h"
#include "report/record_stock.h"

/// What a record says of the room: holes that are cut, raceway that is fixed, what they are called.
namespace roomloom {

void add_once(Json& list, const Json& value);

/// Null where the plan has none of that name.
const Json* hole_named(const Json& plan, const std::string& name);
std::vector<std::string> names_in(const Json& list, const char* key);

/// Holes are recorded with their place, since one tile may hold several. An entry is replaced only
/// if it is the one of that very hole (match_holes); where the hole was cut before the plan was
/// made, it keeps its place.
Status add_holes(const Json& plan, const Recording& what, Json& record);

/// Whether a run passes its holes where the plan has them. @error `record.implausible`
Status passes_as_planned(const Json& plan, const Recording& what, const Json& record);

Status add_raceway(const Json& plan, const std::vector<std::string>& names, Json& record);

/// Holes that a run passes and raceway that it lies in, as planned, as far as they are not recorded
/// yet; their entries say "with" which run. @return their names, "hole H4", "raceway R5"
std::vector<std::string> add_beside(const Json& plan, const std::string& run, Json& record);

/// Names of all holes and pieces of the plan, built or not; those that an earlier plan gave to what
/// this one has not stay, so that nothing else is ever called so.
void keep_names(const Json& plan, Json& record);

/// What hangs on both ends of a run but for the last letter; empty where the plan tells none.
std::string label_of(const Json& plan, const std::string& run);

}  // namespace roomloom
