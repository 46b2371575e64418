#pragma once

#include "job/job.h"
#include "pipeline/roomloom.h"

namespace roomloom {

/// The model that a job names.
std::filesystem::path model_path(const Job& job, const std::filesystem::path& job_file);

/// A faulty job held against its model as well, so that every mistake is told at once, not one a
/// run. Of an entry that is faulty by itself (one run, one end) nothing more is told.
Error all_problems(JobReading reading, const std::filesystem::path& job_file,
                   const PlanOptions& options);

}  // namespace roomloom
