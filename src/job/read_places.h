#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// The place that an object's keys ("xyz", "marker", "at", ...) say; monostate if none. Two ways at
/// once are a problem.
PlaceSpec read_place(const Field& field);

/// An end, or what a run says of its far end. `pointer` is set if the field is given.
EndSpec read_end(const Field& field);

GearSpec read_gear(const Field& field);

/// "S1..S11" as eleven names; any other text as itself. Empty for a range that is none.
std::vector<std::string> port_names(const std::string& text);

}  // namespace roomloom
