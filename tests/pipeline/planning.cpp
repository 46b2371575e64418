#include "pipeline/planning.h"

#include <unistd.h>

#include <fstream>
#include <sstream>

#include "sketch/sketch.h"

namespace roomloom::testing {

TestFolder::TestFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "roomloom-test-XXXXXX").string();
  if (mkdtemp(name.data()) == nullptr) ADD_FAILURE() << "no folder " << name;
  path_ = name;
}

TestFolder::~TestFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

void write_text(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  ASSERT_TRUE(out.flush()) << file;
}

std::string read_text(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::stringstream all;
  all << in.rdbuf();
  return all.str();
}

void sketch_model(const std::string& room_json, const TestFolder& folder,
                  const std::string& ending) {
  const auto sketch = parse_sketch(room_json, "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  const auto solids = build_sketch(*sketch);
  ASSERT_TRUE(solids) << to_text(solids.error());
  const auto written = write_solids(*solids, folder / ("room" + ending));
  ASSERT_TRUE(written) << to_text(written.error());
}

void expect_planned_through_a_hole(const std::string& job_json, const TestFolder& folder) {
  const auto planned = plan(job_json, folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& run : planned->plan.runs) EXPECT_TRUE(run.routed) << run.blocked_by;
  EXPECT_FALSE(planned->takeoff.holes.empty());
  const auto judged = write_plan(*planned, folder / "out", {.drawings = false, .report = false});
  ASSERT_TRUE(judged) << to_text(judged.error());
  for (const Finding& finding : judged->items)
    EXPECT_NE(finding.level, Level::must) << finding.id << ": " << finding.text;
}

PlanOptions test_options() {
  PlanOptions options;
  options.reader_program = ROOMLOOM_BIN_DIR "/roomloom-read";
  options.effort = PlanEffort::quick;  // the plan is what is tested, not how near the best it is
  return options;
}

Result<PlannedRoom> plan(const std::string& job_json, const TestFolder& folder, PlanEffort effort) {
  write_text(folder / "job.json", job_json);
  PlanOptions options = test_options();
  options.effort = effort;
  return plan_job(folder / "job.json", options);
}

namespace {

const CableShape* shape_of(const PlannedRoom& planned, const std::string& run) {
  for (std::size_t i = 0; i < planned.ends.runs.size(); ++i) {
    if (planned.ends.runs[i].id == run) return &planned.shapes.cables[i];
  }
  ADD_FAILURE() << "no run " << run;
  return nullptr;
}

}  // namespace

double cut_m(const PlannedRoom& planned, const std::string& run) {
  const CableShape* shape = shape_of(planned, run);
  EXPECT_TRUE(shape != nullptr && shape->routed) << run;
  return shape == nullptr ? 0 : shape->cut_m;
}

double drawn_m(const PlannedRoom& planned, const std::string& run) {
  const CableShape* shape = shape_of(planned, run);
  EXPECT_TRUE(shape != nullptr && shape->routed) << run;
  return shape == nullptr ? 0 : shape->drawn_m;
}

}  // namespace roomloom::testing
