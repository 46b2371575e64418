#pragma once

#include <filesystem>

#include "pipeline/roomloom.h"

namespace roomloom {

/// Reads the job's model as every stage sees it, its points on whole micrometres. Planning and
/// checking both read it here: from points that differ they would judge the same run otherwise.
Result<Scene> read_scene(const Job& job, const std::filesystem::path& model_file,
                         const PlanOptions& options);

}  // namespace roomloom
