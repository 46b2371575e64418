#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// The weights a preset stands for. Figures are the project's own, no source.
Preferences preset_weights(Preset preset);

/// A preset's name, or an object of a preset and the weights that differ from it.
Preferences read_preferences(const Field& field);

}  // namespace roomloom
