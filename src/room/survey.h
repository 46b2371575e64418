#pragma once

#include <string>

#include "base/units.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// What was found in the model, for people: unit and up axis, parts with roles, airs and voids with
/// volume, sheets with area, openings, tile grid, crossings, markers, and every guess with how to
/// overrule it. Ends with a line break.
std::string survey_text(const Scene& scene, const Room& room,
                        DisplayUnits units = DisplayUnits::metric);
/// The same as a JSON object (SI units, room frame), for programs.
std::string survey_json(const Scene& scene, const Room& room);

}  // namespace roomloom
