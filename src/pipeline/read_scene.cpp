#include "pipeline/read_scene.h"

#include <cmath>

#include "exchange/read.h"
#include "room/room.h"

namespace roomloom {
namespace {

ReadOptions read_options(const Job& job, const PlanOptions& options) {
  ReadOptions read;
  read.unit_m = job.model.unit_m;
  read.up = job.model.up;
  read.memory_limit_gb = options.memory_limit_gb;
  read.allow_outside_references = options.allow_outside_references;
  read.reader_program = options.reader_program;
  return read;
}

/// The same room in single and in double precision is the same room: what differs below a
/// micrometre would otherwise decide between ways of equal cost.
void snap_to_micrometres(Scene& scene) {
  for (Vec3& point : scene.points) {
    for (int axis = 0; axis < 3; ++axis) point[axis] = std::round(point[axis] * 1e6) / 1e6;
  }
}

}  // namespace

Result<Scene> read_scene(const Job& job, const std::filesystem::path& model_file,
                         const PlanOptions& options) {
  auto scene = read_model(model_file, read_options(job, options));
  if (!scene) return scene;
  add_stated_faces(job, *scene);
  snap_to_micrometres(*scene);
  return scene;
}

}  // namespace roomloom
