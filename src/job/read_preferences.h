#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// The weights a preset stands for. Figures are the project's own, no source.
Preferences preset_weights(Preset preset);

/// Reads a preset's name, or an object of a preset and the weights that differ from it. What it
/// does not say stays as it is.
void read_preferences(const Field& field, Preferences& prefer);

}  // namespace roomloom
