#include "job/read_as_built.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>

#include "base/files.h"
#include "base/version.h"
#include "job/job.h"

namespace roomloom {
namespace {

constexpr std::uint64_t kLargestRecord = std::uint64_t{16} << 20;
constexpr int kRecordVersion = 1;

BuiltRun read_run(const Field& field) {
  BuiltRun run;
  field["run"].read(run.id);
  field["measured"].read_length(run.measured_m);
  // Jacket marks count along the cable; which end was pulled off first does not matter.
  double from = 0, to = 0;
  field["mark_start"].read_length(from);
  field["mark_end"].read_length(to);
  if (field["mark_start"].given() && field["mark_end"].given())
    run.measured_m = std::abs(to - from);
  if (run.measured_m <= 0)
    field.problem("built.length", "The run \"" + run.id + "\" has no measured length.",
                  "Give \"measured\", or \"mark_start\" and \"mark_end\".");
  field["predicted"].read_length(run.predicted_m);
  field["drawn"].read_length(run.drawn_m);
  field["way"].read_words(run.way);
  const Field spool = field["spool"];
  spool["plan"].read(run.plan);
  spool["name"].read(run.spool);
  spool["cable"].read(run.cable);
  spool["colour"].read(run.colour);
  spool["length"].read_length(run.spool_m);
  spool["on_shelf"].read(run.from_shelf);
  spool["house"].read(run.in_house);
  return run;
}

BuiltRaceway read_raceway(const Field& field) {
  BuiltRaceway piece;
  field["raceway"].read(piece.raceway);
  field["on"].read(piece.on);
  field["corner"].read(piece.corner);
  field["start_along"].read_length(piece.start_along_m, -1e4);
  field["start_up"].read_length(piece.start_up_m, -1e4);
  field["end_along"].read_length(piece.end_along_m, -1e4);
  field["end_up"].read_length(piece.end_up_m, -1e4);
  return piece;
}

AsBuilt read_record(const Field& root) {
  AsBuilt built;
  if (root["format"].text() != "roomloom-as-built")
    root.problem("built.format", "This is no record of what was built.",
                 "Make one with: roomloom record RESULT --run ID --measured LENGTH");
  for (const Field& run : root["runs"].items()) built.runs.push_back(read_run(run));
  for (const Field& piece : root["raceway"].items()) built.raceway.push_back(read_raceway(piece));
  root["holes"].read_words(built.holes);
  root["tiles"].read_words(built.tiles);
  root["draw_cords"].read_words(built.draw_cords);
  for (const Field& field : root["minutes"].items()) {
    BuiltMinutes one;
    field["task"].read(one.task);
    field["count"].read_number(one.count);
    field["minutes"].read_number(one.minutes);
    if (one.count > 0) built.minutes.push_back(one);
  }
  return built;
}

void install_runs(const AsBuilt& built, Job& job) {
  for (const BuiltRun& run : built.runs) {
    for (RunSpec& spec : job.runs) {
      if (spec.id != run.id) continue;
      spec.installed = true;
      spec.measured_m = run.measured_m;
      if (spec.via.empty()) spec.via = run.way;
    }
  }
}

/// Takes one whole spool off the shelf, if there is one of that kind.
void take_from_shelf(const BuiltRun& run, Job& job) {
  for (SpoolSpec& spool : job.spools) {
    const bool same = spool.on_shelf && spool.cable == run.cable && spool.count > 0 &&
                      (spool.colour.empty() || spool.colour == run.colour) &&
                      std::abs(spool.length_m - run.spool_m) < 1e-3;
    if (!same) continue;
    --spool.count;
    break;
  }
  std::erase_if(job.spools, [](const SpoolSpec& spool) { return spool.count <= 0; });
}

void return_leftovers(const AsBuilt& built, Job& job) {
  std::map<std::pair<std::string, std::string>, SpoolSpec> spools;  // by plan and name
  for (const BuiltRun& run : built.runs) {
    // The house file's stock has been changed already.
    if (run.spool.empty() || run.spool_m <= 0 || run.in_house) continue;
    const auto [found, fresh] = spools.try_emplace({run.plan, run.spool});
    SpoolSpec& left = found->second;
    if (fresh) {
      left.cable = run.cable;
      left.colour = run.colour;
      left.length_m = run.spool_m;
      if (run.from_shelf) take_from_shelf(run, job);
    }
    left.length_m -= run.measured_m;
  }
  for (const auto& [name, left] : spools) {
    const CableType* cable = job.catalogue.cable(left.cable);
    const bool lead = cable != nullptr && cable->head_width_m > 0;  // with its connectors: used up
    if (!lead && left.length_m >= kShortestLeft_m) job.spools.push_back(left);
  }
}

}  // namespace

Result<AsBuilt> parse_as_built(std::string_view text, const std::string& path) {
  const Result<JsonValue> root = parse_json(text, path);
  if (!root) return root.error();
  DocumentText document{*root, path, {}};
  double version = 0;
  Field(&*root, "", document)["version"].read_number(version);
  if (const auto wrong = version_problem(version, kRecordVersion, "record of what was built", path))
    return *wrong;
  AsBuilt built = read_record(Field(&*root, "", document));
  if (!document.problems.empty()) return document.problems.front();
  return built;
}

void apply_as_built(const AsBuilt& built, Job& job) {
  install_runs(built, job);
  return_leftovers(built, job);
  job.as_built = built;
}

void read_as_built(const Field& root, Job& job) {
  const Field field = root["as_built"];
  if (!field.is(JsonValue::Kind::string)) return;
  const auto file =
      std::filesystem::u8path(job.path).parent_path() / std::filesystem::u8path(field.text());
  const Result<std::string> text = read_file(file, kLargestRecord);
  if (!text) return field.problem(text.error().code, text.error().what, text.error().remedy);
  const Result<AsBuilt> built = parse_as_built(*text, file.string());
  if (!built)
    return field.problem(built.error().code, to_text(built.error()), built.error().remedy);
  apply_as_built(*built, job);
}

}  // namespace roomloom
