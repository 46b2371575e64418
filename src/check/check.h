#pragma once

#include <filesystem>

#include "base/result.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/scene.h"

namespace roomloom {

/// What a written result names as its inputs, so that the caller can read them.
struct ResultInputs {
  std::filesystem::path job_file;    ///< resolved against the folder
  std::filesystem::path model_file;  ///< resolved against the folder
  std::string job_sha256, model_sha256;
  std::vector<std::string> variants;  ///< of the job, that were planned together; empty = none
  std::filesystem::path house_file;   ///< resolved against the folder; empty = none
  std::string house_sha256;
  std::string as_built_sha256;  ///< of the record of what was built; empty = none
  /// Runs and the recorded ones whose lying cable they take over.
  std::vector<std::pair<std::string, std::string>> taken;
};

/// @error `check.plan`, `file.missing`: no readable plan.json in the folder
Result<ResultInputs> result_inputs(const std::filesystem::path& folder);

/// Judges a written result by its files alone, against the original model's meshes and the job.
///
/// It reads routed.glb, routed.obj, routed.step, runs.glb, runs.step, plan.json and
/// the lists that people work by with readers that share nothing with the writers. Every run must
/// begin and end where it should; keep to a surface, a void or a declared free zone; cross no
/// original surface but in a listed hole; meet no other run outside fittings; have its cable's
/// thickness and radii; and be of one length in all files (0.1 mm). Room and Tracks are not
/// consulted.
///
/// @param original  the model as read again; its sha256 must be the one in plan.json
/// @error  `check.*` when a file cannot be read at all
Result<Findings> check_result(const std::filesystem::path& folder, const Scene& original,
                              const Job& job);

/// Compares every file of a result with its digest in plan.json: whatever was changed or taken away
/// since is told, in lists and drawings too, and in the room's own part of the models.
/// @error `check.plan`, `file.*`: no readable plan.json in the folder
Status check_written_files(const std::filesystem::path& folder, Findings& findings);

/// What a check id or a message code means: what is judged, by which formula, against which limit,
/// from which source. Empty when there is no such id.
std::string explain(const std::string& id);

/// Every id that a finding can have: those of the trade, then those of the files.
std::vector<std::string> explained_ids();

}  // namespace roomloom
