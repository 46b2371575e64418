#include "check/check.h"

#include "check/drawn_runs.h"
#include "check/trade_check.h"

namespace roomloom {

Result<ResultInputs> result_inputs(const std::filesystem::path& folder) {
  const auto plan = check::read_written_plan(folder / "plan.json");
  if (!plan) return plan.error();
  const auto resolve = [&](const std::string& file) {
    const std::filesystem::path path = std::filesystem::u8path(file);
    return (path.is_absolute() ? path : folder / path).lexically_normal();
  };
  std::vector<std::pair<std::string, std::string>> taken;
  for (const check::ListedRun& run : plan->runs)
    if (!run.takes_over.empty()) taken.emplace_back(run.id, run.takes_over);
  return ResultInputs{
      resolve(plan->job_file),
      resolve(plan->model_file),
      plan->job_sha256,
      plan->model_sha256,
      plan->variants,
      plan->house_file.empty() ? std::filesystem::path() : resolve(plan->house_file),
      plan->house_sha256,
      plan->as_built_sha256,
      std::move(taken)};
}

Result<Findings> check_result(const std::filesystem::path& folder, const Scene& original,
                              const Job& job) {
  auto written = check::read_written(folder, original);
  if (!written) return written.error();
  written->units = job.units;
  Findings findings;
  if (written->plan.model_sha256 != original.source.sha256) {
    findings.items.push_back({"model-changed", Level::must,
                              "The model is not the one that was planned: its SHA-256 differs.",
                              written->plan.model_file, std::nullopt, "Route again.", "geometry"});
  }
  const auto runs = check::drawn_runs(*written, job, findings);
  check::check_job(*written, job, findings);
  check::check_record(*written, job, findings);
  check::check_rules(*written, job, findings);
  check::check_things(*written, runs, findings);
  check::check_lists(*written, job, findings);
  check::check_hole_schedule(*written, original, findings);
  check::check_raceway_cuts(*written, job, findings);
  check::check_raceway_fittings(*written, job, findings);
  check::check_raceway_ways(*written, findings);
  check::check_work(*written, job, findings);
  check::check_ways(*written, findings);
  check::check_zones(*written, original, job, findings);
  check::check_lengths(*written, runs, findings);
  check::check_ends(*written, runs, original, job, findings);
  check::check_surfaces(*written, runs, original, job, findings);
  check::check_below_tiles(*written, runs, original, job, findings);
  check::check_holes(*written, runs, job, findings);
  check::check_tubes(runs, findings);
  check::check_meetings(*written, runs, findings);
  check::check_radii(*written, runs, original, job, findings);
  const Status judged = check::check_trade(folder, *written, runs, original, job, findings);
  if (!judged) return judged.error();
  return findings;
}

}  // namespace roomloom
