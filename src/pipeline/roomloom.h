#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "types/annotation.h"
#include "types/findings.h"
#include "types/job.h"
#include "types/paper.h"
#include "types/takeoff.h"

/// The library's one entry: read a job and its model, plan every run, write the result, judge it.
///
///     auto planned = roomloom::plan_job("job.json", {});
///     if (!planned) { std::cerr << roomloom::to_text(planned.error()); return 2; }
///     auto findings = roomloom::write_plan(*planned, "out");
///
/// All lengths are metres, all points in the room frame: Z up, right-handed.
namespace roomloom {

/// How hard to search for the best plan.
enum class PlanEffort { quick, normal, prove };

struct PlanOptions {
  PlanEffort effort = PlanEffort::normal;
  std::optional<Preset> preset;       ///< overrules the job's
  std::optional<DisplayUnits> units;  ///< overrules the job's
  double memory_limit_gb = 4;         ///< of the process that reads the foreign model
  bool allow_outside_references = false;
  /// A folder that route wrote: the plan starts from its ways and moves as little as it must.
  std::filesystem::path from;
  /// What a metre off its old way costs a run, objective units; nothing: it moves only if it must.
  std::optional<double> moving_price;
  bool compare = false;         ///< plan every preset too, and try what other prices would change
  bool certificate = false;     ///< prove a bound in a form that `check_bound` verifies
  std::filesystem::path house;  ///< house file; empty = none
  std::vector<std::string> variants;  ///< plan the job as these, united; empty = as it says itself
  bool compare_variants = true;       ///< plan every variant of the job too, for the table
  std::string reader_program;         ///< path of roomloom-read; empty = beside the library's user
  /// Told the name of each stage as it starts; may be empty.
  std::function<void(const std::string& stage)> progress;
};

/// What is written beside the models and lists.
struct WriteOptions {
  bool drawings = true;  ///< drawings.pdf, each sheet as SVG and PNG, overview.png
  Paper paper = Paper::a3;
  bool report = true;  ///< report.html, with the sheets in it if they are drawn
  /// Told the name of each stage as it starts; may be empty.
  std::function<void(const std::string& stage)> progress = {};
};

/// Everything a plan consists of, stage by stage. How it is made, copied and destroyed is compiled
/// once, in planned_room.cpp: in each file that holds one it would take as long as all the rest.
struct PlannedRoom {
  PlannedRoom();
  PlannedRoom(const PlannedRoom&);
  PlannedRoom(PlannedRoom&&) noexcept;
  PlannedRoom& operator=(const PlannedRoom&);
  PlannedRoom& operator=(PlannedRoom&&) noexcept;
  ~PlannedRoom();

  std::filesystem::path job_file;
  std::filesystem::path model_file;
  std::string job_sha256;
  Job job;
  Scene scene;
  Room room;
  Ends ends;
  Tracks tracks;
  Plan plan;
  CableShapes shapes;
  Takeoff takeoff;
  Annotation annotation;
  std::string certificate;  ///< empty unless asked for
};

/// Reads and plans; writes nothing. Runs that cannot be routed are in the plan with what blocks
/// them; they are no error.
/// @error `job.*`, `model.*`, `room.*`, `ends.*`: each with what, where and what to do
///
/// A job with variants is planned as `options.variants` or its own "wire" say, several of them as
/// one, else as written; the table `variants` then compares all of them.
Result<PlannedRoom> plan_job(const std::filesystem::path& job_file, const PlanOptions& options);

/// Writes the models, lists and plan.json into `folder` (created if need be), then reads them back
/// and judges them. The files appear all at once, in the place of an earlier set (FolderCommit);
/// what else lies in the folder is kept, the original model and the job are never overwritten.
/// @error `write.*`, `file.*`, `folder.*`, `check.*`, `drawings.*`
Result<Findings> write_plan(const PlannedRoom& planned, const std::filesystem::path& folder,
                            const WriteOptions& options = {});

/// Judges a written result afresh from its files, the model and the job they name.
Result<Findings> check_folder(const std::filesystem::path& folder, const PlanOptions& options);

/// "roomloom 0.1.0".
std::string program_version();

}  // namespace roomloom
