#include "fuzz/small_room.h"

#include <unistd.h>

#include "fuzz/seeds.h"
#include "pipeline/roomloom.h"
#include "sketch/sketch.h"

namespace roomloom::fuzz {
namespace {

namespace fs = std::filesystem;

template <typename T>
T expected(Result<T> result) {
  if (!result) broken_promise("no seed: " + to_text(result.error()));
  return std::move(*result);
}

}  // namespace

SmallRoom::SmallRoom()
    : folder_(fs::temp_directory_path() / ("roomloom-seeds-" + std::to_string(::getpid()))) {
  fs::create_directories(folder_);
  const fs::path own = fs::path(ROOMLOOM_SOURCE_DIR) / "tests/fuzz/small";
  const Solids solids = expected(build_sketch(expected(read_sketch(own / "room.json"))));
  for (const char* model : {"box-room.glb", "box-room.obj", "box-room.step"})
    expected(write_solids(solids, folder_ / model));
  fs::copy_file(own / "job.json", folder_ / "job.json", fs::copy_options::overwrite_existing);
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/roomloom-read";
  WriteOptions what;
  what.drawings = what.report = false;
  expected(write_plan(expected(plan_job(folder_ / "job.json", options)), folder_ / "out", what));
  use_small_result(folder_ / "out");
}

SmallRoom::~SmallRoom() {
  std::error_code failed;
  fs::remove_all(folder_, failed);
}

}  // namespace roomloom::fuzz
