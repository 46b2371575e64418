#pragma once

#include <string>

#include "types/takeoff.h"
#include "types/work.h"

namespace roomloom {

/// From so many on, what was recorded of a task is counted with.
constexpr int kFewestRecorded = 5;

/// What was recorded of a task while building.
struct RecordedTask {
  double count = 0, minutes = 0;
  double each() const { return minutes / count; }
};
RecordedTask recorded_task(const std::string& name, const AsBuilt& built);

struct CountedTask {
  WorkTask task;
  const char* from = "invented";  ///< or "the job", or "records"
};

/// A task of kStandardTasks as the job has it; else as it was recorded, if often enough, with the
/// built-in range in proportion; else the built-in one.
CountedTask counted_task(const std::string& name, const Job& job);
/// Fills minutes, least and most of a step from its task and count.
void time_step(WorkStep& step, const Job& job);

/// The minutes that the sheet counts with, and where each is from.
Table minutes_table(const Job& job);
/// Minutes as recorded, against those that were counted with.
Table minutes_built_table(const Job& job);

}  // namespace roomloom
