#include "pipeline/start_from.h"

#include <algorithm>

#include "base/files.h"
#include "job/job.h"

namespace roomloom {

Status start_from(const PlanOptions& options, Job& job) {
  if (options.from.empty()) return Done{};
  const std::filesystem::path file = options.from / "plan.json";
  const auto text = read_file(file);
  if (!text) return text.error();
  auto ways = parse_written_ways(*text, file.string());
  if (!ways) return ways.error();
  for (WrittenWay& way : *ways) {
    const bool recorded = std::any_of(job.written.begin(), job.written.end(),
                                      [&](const WrittenWay& one) { return one.run == way.run; });
    if (recorded) continue;
    way.held = std::any_of(job.runs.begin(), job.runs.end(),
                           [&](const RunSpec& run) { return run.id == way.run && run.installed; });
    job.written.push_back(std::move(way));
  }
  auto names = parse_given_names(*text, file.string());
  if (!names) return names.error();
  // What the record names was named by a plan that things were built by.
  job.names.holes.insert(job.names.holes.end(), names->holes.begin(), names->holes.end());
  job.names.raceway.insert(job.names.raceway.end(), names->raceway.begin(), names->raceway.end());
  job.moving_price = options.moving_price;
  return Done{};
}

Table moved_table(const PlannedRoom& p) {
  const std::size_t held = static_cast<std::size_t>(std::count_if(
      p.plan.runs.begin(), p.plan.runs.end(), [](const PlannedRun& run) { return run.held; }));
  Table table{"moved",
              "What moved against the plan it started from",
              "",
              {{"run", "Run"}, {"new_m", "Of its way new", ColumnKind::length}, {"why", "Why"}},
              {}};
  for (const MovedRun& moved : p.plan.moved)
    table.rows.push_back(
        {p.ends.runs[static_cast<std::size_t>(moved.run)].id, moved.off_m, moved.why});
  table.note = (table.rows.empty() ? "No run moved. " : "") +
               (held > 0 ? std::to_string(held) + " lie in the room and were held. " : "") +
               "Runs that the plan before did not have are not listed.";
  return table;
}

}  // namespace roomloom
