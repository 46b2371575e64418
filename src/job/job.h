#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// A job, or everything that is wrong with it.
struct JobReading {
  std::optional<Job> job;       ///< absent if there is any problem
  std::vector<Error> problems;  ///< each with "path:line:column /json/pointer"
};

/// Reads a job's text and holds it against the schema, the catalogue and itself; all problems come
/// at once, but for broken JSON, where the first ends it. Accepts a byte order mark, CRLF, comments
/// and a comma after the last item.
/// @param path  named in messages and kept as Job::path; nothing is read from it.
/// @error codes `json.*` the text is no JSON (see json_text.h) · `schema.*` (see schema.h) ·
///        `length.syntax` · `angle.syntax` · `job.share` · `job.range` · `job.place` · `job.id` ·
///        `job.port` · `job.reference` · `job.run` · `job.choose-cable` · `job.cable` · `job.unit`
JobReading examine_job(std::string_view text, const std::string& path);

/// The same as one error: `job.problems` names them all, one a line, when there are several.
Result<Job> parse_job(std::string text, std::string path);

/// parse_job of a file. @error also `file.*` of base/files.h
Result<Job> read_job(const std::filesystem::path& path);

/// The ways of all runs that a plan.json holds; a new plan of the job can start from them.
/// @error `from.no-plan`
Result<std::vector<WrittenWay>> parse_written_ways(std::string_view text, const std::string& path);

/// Gives problems that later stages found their line and column: "job.json /runs/3/to" becomes
/// "job.json:12:5 /runs/3/to".
/// @param path  Job::path  @param text  the job's text; if it is no JSON, nothing changes.
void add_lines(std::vector<Error>& problems, const std::string& path, std::string_view text);

/// Takes over the weights of a preset (what to save); margins and slack stay as they are.
void apply_preset(Preferences& prefer, Preset preset);

/// The JSON Schema (draft 2020-12) of a job, for editors.
std::string_view job_schema();

/// The built-in cables and raceway sizes, each with its sources.
const Catalogue& built_in_catalogue();

/// A first job for a model, to be edited: the roles that were guessed, an end for each marker, no
/// runs. Valid against the schema.
/// @param job_path  where it will be written, so that the model's file is named relative to it.
std::string starting_job(const Scene& scene, const Room& room,
                         const std::filesystem::path& job_path = {},
                         DisplayUnits units = DisplayUnits::metric);

}  // namespace roomloom
