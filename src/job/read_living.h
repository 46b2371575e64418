#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// What of a part rule moves, hides or blends in.
void read_moving(const Field& part, PartRule& rule);
/// A colour as a word or "#rrggbb"; a problem when it is neither.
void read_colour(const Field& field, std::string& colour);

SightSpec read_sight(const Field& field);
std::vector<WalkwaySpec> read_walkways(const Field& field);
/// `raceway_over_floor` becomes whether the job lets raceway lie on the floor.
FloorSpec read_floor(const Field& field, bool& raceway_over_floor);

}  // namespace roomloom
