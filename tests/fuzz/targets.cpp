#include "fuzz/targets.h"

#include <unistd.h>

#include <algorithm>
#include <fstream>

#include "base/files.h"
#include "check/check.h"
#include "check/trade_plan.h"
#include "check/written.h"
#include "exchange/read_here.h"
#include "exchange/scene_stream.h"
#include "fuzz/seeds.h"
#include "interview/interview.h"
#include "job/job.h"
#include "job/read_as_built.h"
#include "occt/part21_check.h"
#include "report/compare.h"
#include "report/record.h"
#include "room/room.h"
#include "room/survey.h"
#include "sketch/sketch.h"

namespace roomloom::fuzz {
namespace {

namespace fs = std::filesystem;

/// An error has a code and words.
void expect_words(const Error& error) {
  if (error.code.empty() || error.what.empty()) broken_promise("an error without words");
}

template <typename T>
bool good(const Result<T>& result) {
  if (!result) expect_words(result.error());
  return static_cast<bool>(result);
}

/// The bytes as a file in memory, since readers take files; gone when the read is over.
class FileOf {
 public:
  FileOf(std::string_view bytes, const std::string& name) {
    static const fs::path base = fs::exists("/dev/shm") ? "/dev/shm" : fs::temp_directory_path();
    folder_ = base / ("roomloom-fuzz-" + std::to_string(::getpid()));
    fs::create_directories(folder_);
    path_ = folder_ / name;
    std::ofstream(path_, std::ios::binary)
        .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  ~FileOf() {
    std::error_code failed;
    fs::remove_all(folder_, failed);
  }
  FileOf(const FileOf&) = delete;
  FileOf& operator=(const FileOf&) = delete;
  const fs::path& path() const { return path_; }

 private:
  fs::path folder_, path_;
};

/// A scene that was read passes the check that the answer of the reading process has to pass.
void expect_sound(const Scene& scene) {
  const auto again = from_stream(to_stream(scene), "fuzz");
  if (!again) broken_promise(again.error().what);
  if (again->points.size() != scene.points.size()) broken_promise("points were lost");
}

void read_mesh(std::string_view bytes, const char* name) {
  const FileOf file(bytes, name);
  const auto scene = read_model_here(file.path(), {});
  if (good(scene)) expect_sound(*scene);
}

void obj(std::string_view bytes) { read_mesh(bytes, "model.obj"); }
void gltf(std::string_view bytes) { read_mesh(bytes, "model.gltf"); }
void glb(std::string_view bytes) { read_mesh(bytes, "model.glb"); }

/// OpenCASCADE may crash on what passes the check of the text: that is what the reading process is
/// for, and its crash must become an error in words.
void step(std::string_view bytes) {
  if (!good(check_part21(bytes, "model.step"))) return;
  const FileOf file(bytes, "model.step");
  const auto scene = read_model(file.path(), {});
  if (good(scene)) return expect_sound(*scene);
  if (scene.error().code == "model.bad-answer" || scene.error().code == "reader.missing")
    broken_promise(scene.error().what);
}

void scene_stream(std::string_view bytes) {
  const auto scene = from_stream(bytes, "fuzz");
  if (good(scene)) expect_sound(*scene);
}

/// From a mesh to what is said of the room. Large ones are left out: they are slow, not wrong.
void survey(std::string_view bytes) {
  const FileOf file(bytes, "model.obj");
  const auto scene = read_model_here(file.path(), {});
  if (!good(scene) || scene->triangles.size() > 2000) return;
  const auto room = understand_room(*scene, Job{});
  if (!good(room)) return;
  if (survey_text(*scene, *room).empty()) broken_promise("a survey that says nothing");
}

void job(std::string_view bytes) {
  const JobReading reading = examine_job(bytes, "job.json");
  if (!reading.job && reading.problems.empty()) broken_promise("refused without a problem");
  for (const Error& problem : reading.problems) expect_words(problem);
}

void as_built(std::string_view bytes) {
  const auto built = parse_as_built(bytes, "as-built.json");
  if (!good(built)) return;
  Job some;
  apply_as_built(*built, some);
}

void room_file(std::string_view bytes) {
  const auto sketch = parse_sketch(std::string(bytes), "room.json");
  if (!good(sketch)) return;
  const auto solids = build_sketch(*sketch);
  if (good(solids)) expect_sound(scene_of(*solids));
}

void answers(std::string_view bytes) {
  const FileOf file(bytes, "answers.txt");
  auto read = read_answers(file.path());
  if (!good(read) || !good(review(*read))) return;
  const auto composed = compose(*read, {});
  if (!good(composed)) return;
  good(parse_sketch(composed->room_json, "room.json"));
  for (const Error& problem : examine_job(composed->job_json, "job.json").problems)
    expect_words(problem);
}

Recording some_recording() {
  Recording what;
  what.run = "S1";
  what.measured_m = 10;
  what.holes = {"H1"};
  what.anyway = true;
  return what;
}

/// The small room's S1 as built, added to a record.
std::string some_record(const std::string& record) {
  static const std::string plan_json = text_of(small_result() / "plan.json");
  const auto added = recorded(plan_json, record, some_recording());
  return good(added) ? *added : std::string();
}

void plan(std::string_view bytes) {
  const std::string text(bytes);
  good(compare_text(text, text, DisplayUnits::feet_and_inches));
  good(compare_json(text, text));
  good(job_of_plan(text));
  good(recorded(text, "", some_recording()));
  const FileOf file(bytes, "plan.json");
  good(check::read_written_plan(file.path()));
  good(check::read_trade_plan(file.path()));
  good(result_inputs(file.path().parent_path()));
}

/// A record that is added to.
void record(std::string_view bytes) { some_record(std::string(bytes)); }

void written_glb(std::string_view bytes) {
  const FileOf file(bytes, "routed.glb");
  good(check::read_written_glb(file.path(), Transform{}));
}

void written_obj(std::string_view bytes) {
  const FileOf file(bytes, "routed.obj");
  good(check::read_written_obj(file.path(), Transform{}));
}

void written_step(std::string_view bytes) {
  const FileOf file(bytes, "routed.step");
  good(check::read_written_step(file.path(), Transform{}));
}

void written_csv(std::string_view bytes) {
  const FileOf file(bytes, "lengths.csv");
  good(check::read_csv(file.path()));
}

using Seeds = std::vector<std::string>;

}  // namespace

const std::vector<Target>& targets() {
  static const std::vector<Target> all = {
      {"step", step, [] { return Seeds{source("tests/exchange/data/hall_ap214_mm.step")}; }},
      {"obj", obj, [] { return Seeds{source("tests/exchange/data/den.obj")}; }},
      {"gltf", gltf, [] { return Seeds{source("tests/exchange/data/den.gltf")}; }},
      {"glb", glb, [] { return Seeds{source("tests/exchange/data/den.glb")}; }},
      {"scene_stream", scene_stream,
       [] {
         const fs::path file = small_result() / "../box-room.glb";
         return Seeds{to_stream(read_model_here(file, {}))};
       }},
      {"survey", survey, [] { return Seeds{text_of(small_result() / "../box-room.obj")}; }},
      {"job", job,
       [] {
         return Seeds{source("models/alder-hall/job.json"), source("models/classroom/job.json"),
                      source("models/attic-studio/job.json")};
       }},
      {"as_built", as_built, [] { return Seeds{some_record("")}; }},
      {"room_file", room_file,
       [] {
         return Seeds{source("models/alder-hall/room.json"), source("models/classroom/room.json"),
                      source("models/attic-studio/room.json")};
       }},
      {"answers", answers, [] { return Seeds{source("tests/fuzz/small/answers.txt")}; }},
      {"plan", plan, [] { return Seeds{text_of(small_result() / "plan.json")}; }},
      {"record", record, [] { return Seeds{some_record("")}; }},
      {"written_glb", written_glb, [] { return Seeds{text_of(small_result() / "runs.glb")}; }},
      {"written_obj", written_obj, [] { return Seeds{text_of(small_result() / "routed.obj")}; }},
      {"written_step", written_step, [] { return Seeds{text_of(small_result() / "runs.step")}; }},
      {"written_csv", written_csv, [] { return Seeds{text_of(small_result() / "lengths.csv")}; }}};
  return all;
}

const Target* find_target(std::string_view name) {
  for (const Target& target : targets())
    if (target.name == name) return &target;
  return nullptr;
}

std::vector<std::pair<std::string, std::string>> files_in(const fs::path& folder) {
  std::vector<fs::path> paths;
  std::error_code missing;
  for (const auto& entry : fs::directory_iterator(folder, missing))
    if (entry.is_regular_file()) paths.push_back(entry.path());
  std::sort(paths.begin(), paths.end());
  std::vector<std::pair<std::string, std::string>> files;
  for (const fs::path& path : paths) files.emplace_back(path.filename().string(), text_of(path));
  return files;
}

}  // namespace roomloom::fuzz
