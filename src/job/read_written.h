#pragma once

#include <string_view>

#include "job/field.h"
#include "types/as_built.h"

namespace roomloom {

/// The stretches of a way as plan.json and the record of what was built hold them: a list of
/// {from, to, kind, place, medium, raceway, count, hole_diameter_m}.
std::vector<WayStretch> read_stretches(const Field& field);

}  // namespace roomloom
