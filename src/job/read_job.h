#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Reads everything that a job says, over what `job` holds already from the house file.
void read_sections(const Field& root, Job& job);

}  // namespace roomloom
