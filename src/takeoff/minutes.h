#pragma once

#include <string>

#include "types/takeoff.h"
#include "types/work.h"

namespace roomloom {

/// A task of kStandardTasks as the job has it, else the built-in one.
WorkTask task_of(const std::string& name, const WorkSpec& work);
/// Fills minutes, least and most of a step from its task and count.
void time_step(WorkStep& step, const WorkSpec& work);

/// The minutes that the sheet counts with; invented unless the job says otherwise.
Table minutes_table(const Job& job);

}  // namespace roomloom
