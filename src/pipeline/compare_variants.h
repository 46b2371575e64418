#pragma once

#include "job/job.h"
#include "pipeline/roomloom.h"

namespace roomloom {

/// Reads the job as `input` says and plans it; no table that compares plans, no annotation.
/// @param like  a plan of the same job, whose model need not be read again; may be null
Result<PlannedRoom> plan_as(const std::filesystem::path& job_file, const JobInput& input,
                            const PlanOptions& options, const PlannedRoom* like);

/// The job as written and as each of its variants, planned alike and set side by side; the plan at
/// hand is among them, marked. A variant that cannot be planned has its row, with the reason. Table
/// id `variants`.
Table variant_table(const PlannedRoom& planned, const PlanOptions& options);

}  // namespace roomloom
