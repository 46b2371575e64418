#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Reads the record of what was built that the job names under "as_built", relative to the job's
/// folder, and takes it up: its runs become installed and measured and keep their way, and what was
/// cut from spools is gone from the shelf, where the rest of each spool now lies. Provisions whose
/// cable was led on to another run are runs no more.
void read_as_built(const Field& root, Job& job);

/// Takes a record up into a job.
void apply_as_built(const AsBuilt& built, Job& job);

}  // namespace roomloom
