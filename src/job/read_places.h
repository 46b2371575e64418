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

}  // namespace roomloom
