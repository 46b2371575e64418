#pragma once

#include "types/job.h"

namespace roomloom {

/// Takes off the job's shelf what was cut from, and puts back what is left of it. A later plan may
/// have taken such a rest and cut it again: it is then the same spool or length under another name,
/// and is not counted twice. The house's stock is left alone: record keeps that itself.
void return_leftovers(const AsBuilt& built, Job& job);

/// The same of lengths of raceway.
void return_raceway(const AsBuilt& built, Job& job);

}  // namespace roomloom
