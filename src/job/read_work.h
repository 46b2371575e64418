#pragma once

#include "job/field.h"
#include "types/job.h"

namespace roomloom {

/// Reads "work" and "prices" of a job or a house file, and the raceway of its "stock". What it does
/// not say stays; a task and an item of the same name are replaced, raceway is as a whole.
void read_work(const Field& root, const Catalogue& catalogue, WorkSpec& work);

}  // namespace roomloom
