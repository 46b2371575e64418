#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Reads the record of what was built that the job names under "as_built", relative to the job's
/// folder, and takes it up: its runs become installed and measured and keep their way, and what was
/// cut from spools is gone from the shelf, where the rest of each spool now lies.
void read_as_built(const Field& root, Job& job);

/// Takes a record up into a job.
void apply_as_built(const AsBuilt& built, Job& job);

/// Once the job was checked: takes out provisions whose cable the record says was led on to another
/// run, which takes their place where other runs name them. Planned again they would be bought
/// again.
void leave_out_led_on(Job& job);

}  // namespace roomloom
