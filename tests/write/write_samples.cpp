/// write_samples FOLDER: writes the hand-made sample for each kind of original, each in a folder of
/// its own under FOLDER, so that other programs can be asked what they find in it.

#include <cstdio>
#include <filesystem>

#include "exchange/write_frame.h"
#include "exchange/write_gltf.h"
#include "exchange/write_obj.h"
#include "exchange/write_step.h"
#include "write/sample.h"

namespace {

using namespace roomloom;
namespace fs = std::filesystem;

/// A small original of each kind, made of the sample room.
std::string original(ModelFormat format) {
  Scene scene = sample::box_scene();
  scene.source.to_room.m = {1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0};
  const FileFrame frame = customary_frame(Source{}, format);
  if (format == ModelFormat::glb) return glb_of_our_own(frame, {}, {}, &scene, "sample").bytes;
  if (format == ModelFormat::obj)
    return obj_of_our_own(frame, {}, {}, scene, "room.mtl", "sample").text;
  const PlanarFace floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  return step_of_our_own(frame, {}, {floor}, "room.step", "sample").text;
}

bool write(const fs::path& folder, const std::string& kind, ModelFormat format) {
  const fs::path out = folder / kind;
  fs::create_directories(out);
  const Scene scene = sample::scene_from(out / ("room." + kind), original(format), format);
  const Annotation annotation = sample::annotation();
  const auto written =
      write_models({scene, annotation, out / ("room." + kind), out, {}, "Roomloom"});
  if (!written) std::fprintf(stderr, "%s\n", to_text(written.error()).c_str());
  return written.has_value();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  const bool done = write(argv[1], "glb", ModelFormat::glb) &&
                    write(argv[1], "obj", ModelFormat::obj) &&
                    write(argv[1], "step", ModelFormat::step);
  return done ? 0 : 1;
}
