#include <algorithm>
#include <future>

#include "base/files.h"
#include "base/folder_commit.h"
#include "base/sha256.h"
#include "check/check.h"
#include "drawings/drawings.h"
#include "exchange/write.h"
#include "job/job.h"
#include "pipeline/read_scene.h"
#include "pipeline/roomloom.h"
#include "pipeline/write_page.h"
#include "pipeline/write_takeoff.h"
#include "report/report.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

/// A path as plan.json holds it: relative to the result folder, with '/' on every system.
std::string relative_to(const fs::path& file, const fs::path& folder) {
  std::error_code failed;
  const fs::path relative = fs::relative(fs::weakly_canonical(file, failed),
                                         fs::weakly_canonical(folder, failed), failed);
  return failed || relative.empty() ? fs::absolute(file).generic_string()
                                    : relative.generic_string();
}

/// The planes that runs touch, for the STEP file of a model that has no planes of its own.
std::vector<SheetPlane> touched_sheets(const PlannedRoom& p) {
  std::vector<char> touched(p.room.sheets.size(), 0);
  for (const CableShape& shape : p.shapes.cables) {
    for (const PlaceId& home : shape.homes) {
      if (home.kind == PlaceKind::sheet) touched[static_cast<std::size_t>(home.index)] = 1;
    }
  }
  std::vector<SheetPlane> faces;
  for (std::size_t i = 0; i < touched.size(); ++i) {
    if (touched[i] == 0) continue;
    const Sheet& sheet = p.room.sheets[i];
    SheetPlane face;
    face.name = sheet.name;
    for (const Vec2& q : sheet.region.outline) face.outline.push_back(sheet.frame.to_world(q));
    for (const Ring& hole : sheet.region.holes) {
      face.holes.emplace_back();
      for (const Vec2& q : hole) face.holes.back().push_back(sheet.frame.to_world(q));
    }
    faces.push_back(std::move(face));
  }
  return faces;
}

struct NamedText {
  const char* name;
  std::string text;
};

Status write_all(const fs::path& folder, const std::vector<NamedText>& files) {
  for (const NamedText& file : files) {
    const Status written = write_file(folder / file.name, file.text);
    if (!written) return written;
  }
  return Done{};
}

/// No file of the set may take the place of what it was made from.
Status spare_inputs(const FolderCommit& set, const PlannedRoom& p) {
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(set.place(), failed)) {
    const fs::path target = set.destination() / entry.path().filename();
    for (const fs::path& input : {p.job_file, p.model_file}) {
      if (fs::equivalent(target, input, failed))
        return Error{"write.over-original", "It would be written over its own input.",
                     target.string(), "Choose another folder with -o, or rename the input."};
    }
  }
  return Done{};
}

/// Adds the digests of the files that are written besides the models.
Status stamp_others(const fs::path& folder, PlanStamp& stamp) {
  std::vector<std::string> names;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.is_regular_file() && entry.path().filename().string().front() != '.')
      names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  for (const std::string& name : names) {
    const bool known = std::any_of(stamp.files.begin(), stamp.files.end(),
                                   [&](const FileStamp& file) { return file.name == name; });
    if (known || name == "plan.json") continue;
    const auto bytes = read_file(folder / name);
    if (!bytes) return bytes.error();
    stamp.files.push_back({name, sha256(*bytes), {}});
  }
  return Done{};
}

/// Writes the set into `folder`, from where it will be moved to `destination`.
Result<Findings> write_set(const PlannedRoom& p, const fs::path& folder,
                           const fs::path& destination, const WriteOptions& options) {
  const auto tell = [&](const char* stage) {
    if (options.progress) options.progress(stage);
  };
  const Planned planned{p.job, p.scene, p.room, p.ends, p.tracks, p.plan, p.shapes, p.takeoff};
  PlanStamp stamp{program_version(),
                  relative_to(p.job_file, destination),
                  p.job_sha256,
                  p.job.origin.house.empty() ? "" : relative_to(p.job.origin.house, destination),
                  relative_to(p.model_file, destination),
                  p.job.origin.as_built.empty()
                      ? ""
                      : relative_to(fs::u8path(p.job.origin.as_built), destination),
                  {}};
  // Sheets need nothing of what is written before them: they are drawn beside it.
  std::future<Result<Drawings>> drawing;
  if (options.drawings)
    drawing = std::async(std::launch::async, [&] {
      return write_drawings({p.job, p.scene, p.room, p.ends, p.tracks, p.plan, p.shapes, p.takeoff,
                             folder, options.paper, program_version()});
    });
  tell("writing the models");
  const auto models = write_models({p.scene, p.annotation, p.model_file, folder, touched_sheets(p),
                                    program_version(), destination});
  if (!models) return models.error();
  for (const WrittenFile& file : *models) {
    stamp.files.push_back({file.name, file.sha256, file.notes});
  }
  tell("writing the lists");
  const Status lists = write_all(folder, {{"plan.json", plan_json(planned, stamp, {})}});
  if (!lists) return lists.error();
  if (const Status taken = write_takeoff(p, folder, options); !taken) return taken.error();
  tell("checking what was written");
  const auto findings = check_result(folder, p.scene, p.job);
  if (!findings) return findings.error();
  if (const Status book = write_book(p, *findings, folder); !book) return book.error();
  const Status judged = write_all(folder, {{"summary.txt", summary_text(planned, *findings)}});
  if (!judged) return judged.error();
  if (!p.certificate.empty()) {
    if (const Status proved = write_all(folder, {{"bound.txt", p.certificate}}); !proved)
      return proved.error();
  }
  std::vector<DrawnSheet> sheets;
  if (options.drawings) {
    tell("drawing the sheets");
    auto drawn = drawing.get();
    if (!drawn) return drawn.error();
    sheets = std::move(drawn->sheets);
  }
  if (options.report) {
    tell("writing the page");
    if (const Status shown = write_page(p, *findings, std::move(sheets), folder); !shown)
      return shown.error();
  }
  // Last, with the digests of all the others.
  if (const Status stamped = stamp_others(folder, stamp); !stamped) return stamped.error();
  const Status planned_too =
      write_all(folder, {{"plan.json", plan_json(planned, stamp, *findings)}});
  if (!planned_too) return planned_too.error();
  return *findings;
}

/// What lies now, and what is cut, is not what the plan was made for: of it nothing can be said but
/// whether its files are whole.
Result<Findings> record_changed(const fs::path& folder, const Job& job) {
  Findings findings;
  findings.items.push_back(
      {"as-built-changed", Level::must,
       "The record of what was built has changed since this plan was made: it cannot be judged by "
       "what is built now.",
       job.origin.as_built.empty() ? job.path : job.origin.as_built, std::nullopt, "Route again.",
       "arithmetic"});
  if (const Status same = check_written_files(folder, findings); !same) return same.error();
  return findings;
}

}  // namespace

std::string program_version() { return "roomloom " ROOMLOOM_VERSION; }

Result<Findings> write_plan(const PlannedRoom& p, const fs::path& folder,
                            const WriteOptions& options) {
  auto set = FolderCommit::begin(folder);
  if (!set) return set.error();
  auto findings = write_set(p, set->place(), set->destination(), options);
  if (!findings) return findings;
  if (const Status spared = spare_inputs(*set, p); !spared) return spared.error();
  if (const Status done = set->commit(); !done) return done.error();
  return findings;
}

Result<Findings> check_folder(const fs::path& folder, const PlanOptions& options) {
  if (left_unfinished(folder))
    return Error{"folder.unfinished", "A program ended while it was writing there.",
                 folder.string(), "Route again."};
  const auto inputs = result_inputs(folder);
  if (!inputs) return inputs.error();
  auto job =
      read_job(inputs->job_file, {inputs->house_file, inputs->variants, inputs->variants.empty()});
  if (!job) return job.error();
  if (job->origin.as_built_sha256 != inputs->as_built_sha256) return record_changed(folder, *job);
  std::vector<Finding> not_taken;
  for (const auto& [run, provision] : inputs->taken)
    if (const Status taken = take_over(run, provision, *job); !taken)
      not_taken.push_back({"plan-differs", Level::must, to_text(taken.error()), run, std::nullopt,
                           "Route again.", "arithmetic"});
  const auto scene = read_scene(*job, inputs->model_file, options);
  if (!scene) return scene.error();
  auto findings = check_result(folder, *scene, *job);
  if (!findings) return findings.error();
  if (const Status same = check_written_files(folder, *findings); !same) return same.error();
  findings->items.insert(findings->items.end(), not_taken.begin(), not_taken.end());
  if (const auto bytes = read_file(inputs->job_file);
      bytes && sha256(*bytes) != inputs->job_sha256) {
    findings->items.push_back(
        {"job-changed", Level::should, "The job has changed since this plan was made.",
         inputs->job_file.string(), std::nullopt, "Route again.", "geometry"});
  }
  if (job->origin.house_sha256 != inputs->house_sha256) {
    findings->items.push_back({"house-changed", Level::note,
                               "The house file has changed since this plan was made.",
                               inputs->house_file.string(), std::nullopt,
                               "Route again for its prices and stock.", "geometry"});
  }
  return findings;
}

}  // namespace roomloom
