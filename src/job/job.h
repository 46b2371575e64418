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

/// The newest job and house files that this program reads, and those that it writes.
constexpr int kJobVersion = 1, kHouseVersion = 1;

/// What a job is read with besides its own text.
struct JobInput {
  std::filesystem::path house;        ///< house file; empty = none
  std::vector<std::string> variants;  ///< to read it as: one, or several at once
  bool as_written = false;  ///< no variants named: as written, whatever the job's "wire" says
};

/// A job, or everything that is wrong with it.
struct JobReading {
  std::optional<Job> job;       ///< absent if there is any problem
  std::vector<Error> problems;  ///< each with "path:line:column /json/pointer"
  /// What was understood, where there are problems but none of form (`json.*`, `schema.*`): enough
  /// to hold it against the model too, so that all mistakes come at once. Never to be planned.
  std::optional<Job> draft;
};

/// Reads a job's text and holds it against the schema, the catalogue and itself; all problems come
/// at once, but for broken JSON, where the first ends it. Accepts a byte order mark, CRLF, comments
/// and a comma after the last item.
/// Every variant is read too, so that their mistakes are told as well.
/// @param path  named in messages and kept as Job::path; a record of what was built is looked for
///        beside it.
/// @error codes `json.*` the text is no JSON (see json_text.h) · `schema.*` (see schema.h) ·
///        `length.syntax` · `angle.syntax` · `job.share` · `job.range` · `job.place` · `job.id` ·
///        `job.port` · `job.reference` · `job.run` · `job.choose-cable` · `job.cable` · `job.unit`
///        · `version.*` · `variant.twice` · `variant.unknown` · `variant.united` · `job.is-room` a
///        room file, which sketch takes
JobReading examine_job(std::string_view text, const std::string& path, const JobInput& input = {});

/// The same as one error: `job.problems` names them all, one a line, when there are several.
Result<Job> parse_job(std::string text, std::string path, const JobInput& input = {});

/// parse_job of a file. @error also `file.*` of base/files.h, `job.is-model` by its ending
Result<Job> read_job(const std::filesystem::path& path, const JobInput& input = {});
/// examine_job of a file. @error `file.*` · `job.is-model`
Result<JobReading> examine_job_file(const std::filesystem::path& path, const JobInput& input = {});

/// Several problems as one error `job.problems` that names them all, one a line; a single one as it
/// is.
Error all_in_one(const std::vector<Error>& problems, const std::string& path);

/// The ways of all runs that a plan.json holds; a new plan of the job can start from them.
/// @error `from.no-plan`
Result<std::vector<WrittenWay>> parse_written_ways(std::string_view text, const std::string& path);

/// The names that a plan.json gives to its holes and pieces of raceway, and where they are: a plan
/// that starts from it keeps them. @error `json.*`, or the first thing that is no plan's
Result<GivenNames> parse_given_names(std::string_view text, const std::string& path);

/// Gives problems that later stages found their line and column: "job.json /runs/3/to" becomes
/// "job.json:12:5 /runs/3/to".
/// @param text  the job's text; if it is no JSON, nothing changes.
void add_lines(std::vector<Error>& problems, const Job& job, std::string_view text);

/// The house file to use: `asked` if it is not empty, else what the environment variable
/// ROOMLOOM_HOUSE names, else roomloom/house.json in the platform's configuration folder
/// ($XDG_CONFIG_HOME, or ~/.config) if it is there, else none: an empty path. "none" means none.
/// @error `house.missing` a file that was named is not there
Result<std::filesystem::path> house_file(const std::string& asked);

/// The house file's text, and what its stock does not list as the record has it: in sentences.
struct HouseAfter {
  std::string text;
  std::vector<std::string> told;
};

/// The house file once a record of what was built was written: whole spools that were begun
/// are gone from the shelf and what is left of each is there. One that is not listed as long as the
/// record has it is taken to be the nearest that is long enough. What else the file holds, comments
/// too, stays as it is.
/// @param text,path  the house file's
/// @param before,after  the record before and after
/// @error `json.*` the house file is none
Result<HouseAfter> with_leftovers(const std::string& text, const std::string& path,
                                  const AsBuilt& before, const AsBuilt& after);

/// @error `built.format` it is no such record · `built.length` · `version.*` · `json.*`
Result<AsBuilt> parse_as_built(std::string_view text, const std::string& path);

/// Lets a run have the cable of a recorded one, which is a run no more: it is as long as was
/// measured, has that colour, and the run's way is led on from where it lies.
/// @error `built.take-over` there is no such run or record, or the run lies already
Status take_over(const std::string& run, const std::string& provision, Job& job);

/// Takes over the weights of a preset (what to save); margins and slack stay as they are.
void apply_preset(Preferences& prefer, Preset preset);

/// What people read is told in `units` from now on; cut lengths are rounded up to an inch instead
/// of 50 mm, and back, unless the job says its own step.
void tell_in(Job& job, DisplayUnits units);

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
