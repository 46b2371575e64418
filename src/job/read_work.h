#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Reads "work" and "prices" of a job, and raceway and kerf of its "stock".
WorkSpec read_work(const Field& root, const Catalogue& catalogue);

}  // namespace roomloom
