#include "job/read_as_built.h"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "base/files.h"
#include "base/sha256.h"
#include "base/version.h"
#include "job/built_stock.h"
#include "job/job.h"
#include "job/read_written.h"

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
  run.track = read_stretches(field["track"]);
  field["cable"].read(run.cable);
  field["provision"].read(run.provision);
  field["planned_beside"].read_words(run.planned_beside);
  field["label"].read(run.label);
  std::vector<std::string> open;
  field["open_ends"].read_words(open);
  for (const std::string& end : open) (end == "from" ? run.open_from : run.open_to) = true;
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
  field["name"].read(piece.name);
  field["raceway"].read(piece.raceway);
  field["on"].read(piece.on);
  field["corner"].read(piece.corner);
  field["start_along"].read_length(piece.start_along_m, -1e4);
  field["start_up"].read_length(piece.start_up_m, -1e4);
  field["end_along"].read_length(piece.end_along_m, -1e4);
  field["end_up"].read_length(piece.end_up_m, -1e4);
  field["start_is"].read(piece.start_is);
  field["end_is"].read(piece.end_is);
  for (const Field& one : field["aside"].items()) one.read_point(piece.aside.emplace_back());
  const Field stock = field["stock"];
  stock["plan"].read(piece.plan);
  stock["name"].read(piece.stock);
  stock["length"].read_length(piece.stock_m);
  stock["cut"].read_length(piece.cut_m);
  stock["on_shelf"].read(piece.from_shelf);
  stock["house"].read(piece.in_house);
  return piece;
}

/// By name alone, or with its place and diameter.
BuiltHole read_hole(const Field& field) {
  BuiltHole hole;
  field.read(hole.crossing);
  field["crossing"].read(hole.crossing);
  field["at"].read_point(hole.at);
  field["diameter_m"].read_length(hole.diameter_m);
  field["name"].read(hole.name);
  if (field["passed_at"].given()) field["passed_at"].read_point(hole.passed_at.emplace());
  return hole;
}

AsBuilt read_record(const Field& root) {
  AsBuilt built;
  if (root["format"].text() != "roomloom-as-built")
    root.problem("built.format", "This is no record of what was built.",
                 "Make one with: roomloom record RESULT --run ID --measured LENGTH");
  for (const Field& run : root["runs"].items()) built.runs.push_back(read_run(run));
  for (const Field& piece : root["raceway"].items()) built.raceway.push_back(read_raceway(piece));
  for (const Field& hole : root["holes"].items()) built.holes.push_back(read_hole(hole));
  for (const Field& hole : root["names"]["holes"].items())
    built.names.holes.push_back(read_hole(hole));
  for (const Field& piece : root["names"]["raceway"].items())
    built.names.raceway.push_back(read_raceway(piece));
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
      if (!spec.open_cable.empty() && job.catalogue.cable(run.cable) != nullptr)
        spec.cable = run.cable;
      if (!run.track.empty())
        job.written.push_back({run.id, run.track, true, false});
      else if (spec.via.empty())
        spec.via = run.way;
    }
  }
}

/// Takes out provisions whose cable the record says was led on to another run, which takes their
/// place where other runs name them: planned again they would be bought again.
void leave_out_led_on(const JsonValue& record, Job& job) {
  DocumentText document{record, "", {}};
  for (const Field& field : Field(&record, "", document)["runs"].items()) {
    const std::string provision = field["took_over"].text(), now = field["run"].text();
    const auto gone = std::find_if(job.runs.begin(), job.runs.end(), [&](const RunSpec& spec) {
      return spec.provision && spec.id == provision;
    });
    if (gone == job.runs.end()) continue;
    job.runs.erase(gone);
    for (RunSpec& spec : job.runs)
      for (auto* others : {&spec.same_way_as, &spec.not_with}) {
        std::replace(others->begin(), others->end(), provision, now);
        std::erase(*others, spec.id);
      }
    for (SpareSpec& spare : job.spares)
      std::replace(spare.along.begin(), spare.along.end(), provision, now);
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
  return_raceway(built, job);
  job.as_built = built;
  job.names = built.names;
}

Status take_over(const std::string& run, const std::string& provision, Job& job) {
  const auto taker = std::find_if(job.runs.begin(), job.runs.end(),
                                  [&](const RunSpec& spec) { return spec.id == run; });
  const auto lying = std::find_if(job.as_built.runs.begin(), job.as_built.runs.end(),
                                  [&](const BuiltRun& built) { return built.id == provision; });
  if (taker == job.runs.end() || taker->installed || run == provision ||
      lying == job.as_built.runs.end() || lying->track.empty())
    return Error{"built.take-over",
                 "\"" + run + "\" cannot take over the cable of \"" + provision + "\".", job.path,
                 "The one must be a run that does not lie yet, the other a recorded one."};
  taker->takes_over = provision;
  taker->measured_m = lying->measured_m;
  if (!lying->colour.empty()) taker->colour = lying->colour;
  std::erase_if(job.written,
                [&](const WrittenWay& way) { return way.run == run || way.run == provision; });
  job.written.push_back({run, lying->track, false, true});
  std::erase_if(job.runs, [&](const RunSpec& spec) { return spec.id == provision; });
  return Done{};
}

void read_as_built(const Field& root, Job& job) {
  const Field field = root["as_built"];
  if (!field.is(JsonValue::Kind::string)) return;
  const auto file =
      std::filesystem::u8path(job.path).parent_path() / std::filesystem::u8path(field.text());
  const Result<std::string> text = read_file(file, kLargestRecord);
  if (!text) return field.problem(text.error().code, text.error().what, text.error().remedy);
  job.origin.as_built = file.string();
  job.origin.as_built_sha256 = sha256(*text);
  const Result<AsBuilt> built = parse_as_built(*text, file.string());
  if (!built)
    return field.problem(built.error().code, built.error().where + ": " + built.error().what,
                         built.error().remedy);
  if (const auto record = parse_json(*text, file.string())) leave_out_led_on(*record, job);
  apply_as_built(*built, job);
}

}  // namespace roomloom
