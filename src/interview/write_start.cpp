#include "base/files.h"
#include "interview/interview.h"
#include "job/job.h"
#include "sketch/sketch.h"

namespace roomloom {

namespace fs = std::filesystem;

Result<HouseHabits> house_habits(const fs::path& file) {
  if (file.empty()) return HouseHabits{};
  // The smallest job there is: what it then holds is the house's.
  const auto job = parse_job(R"({"model": {"file": "room.glb"}})", "room.json", {file, {}, false});
  if (!job) return job.error();
  HouseHabits habits;
  for (const auto& [service, id] : job->catalogue.favourites) habits.favourites[service] = id;
  habits.spools = job->spools;
  return habits;
}

namespace {

/// Writes NAME.json, unless it was changed by hand since: then NAME-from-answers.json. What this
/// program wrote last is remembered in .NAME-from-answers.
/// @return whether NAME.json is the program's own
Result<bool> write_unless_changed(const fs::path& folder, const std::string& name,
                                  const std::string& text) {
  const fs::path remembered = folder / ("." + name + "-from-answers");
  const auto there = read_file(folder / (name + ".json")), last = read_file(remembered);
  const bool own = !there || (last && *last == *there);
  const fs::path file = folder / (name + (own ? ".json" : "-from-answers.json"));
  if (const Status done = write_file(file, text); !done) return done.error();
  if (own)
    if (const Status done = write_file(remembered, text); !done) return done.error();
  return own;
}

}  // namespace

Result<std::vector<std::string>> write_start(const Answers& answers, const fs::path& folder,
                                             const HouseHabits& habits) {
  const auto composed = compose(answers, {}, habits);
  if (!composed) return composed.error();
  const auto sketch = parse_sketch(composed->room_json, "room.json");
  if (!sketch) return sketch.error();
  const auto solids = build_sketch(*sketch);
  if (!solids) return solids.error();
  std::vector<std::string> written;
  const auto own_room = write_unless_changed(folder, "room", composed->room_json);
  if (!own_room) return own_room.error();
  if (*own_room) {
    if (const Status done = write_solids(*solids, folder / "room.glb"); !done) return done.error();
    written.push_back("room.json      the room, for roomloom sketch");
    written.push_back("room.glb       the room as a model, for any 3D viewer");
  } else {
    written.push_back(
        "room-from-answers.json   the room; room.json was changed by hand and is kept");
  }
  const auto own_job = write_unless_changed(folder, "job", composed->job_json);
  if (!own_job) return own_job.error();
  written.push_back(*own_job ? "job.json       what is to be wired, for roomloom route"
                             : "job-from-answers.json   what is to be wired; job.json was changed "
                               "by hand and is kept");
  return written;
}

}  // namespace roomloom
