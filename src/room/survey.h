#pragma once

#include <string>

#include "base/units.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// What the survey was asked with, so that it can say what comes next.
struct SurveyAsked {
  std::string job;    ///< job whose rules applied, or empty
  std::string start;  ///< job that is written now, or empty
};

/// What was found in the model, for people: unit and up axis, parts with roles, airs and voids with
/// volume, sheets with area, openings, tile grid, crossings, markers, and every guess with how to
/// overrule it. Ends with a line break.
std::string survey_text(const Scene& scene, const Room& room,
                        DisplayUnits units = DisplayUnits::metric, const SurveyAsked& asked = {});
/// The same as a JSON object (SI units, room frame), for programs.
std::string survey_json(const Scene& scene, const Room& room);

}  // namespace roomloom
