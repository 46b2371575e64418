#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Holds a job against itself: ids used twice, names that nothing has, runs to themselves, ports
/// taken twice, open cables. What needs the room's geometry is left to the place stage.
void check_job(const Job& job, DocumentText& document);

}  // namespace roomloom
