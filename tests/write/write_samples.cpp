/// write_samples FOLDER [ROOMS]: writes the hand-made sample for each kind of original, each in a
/// folder of its own under FOLDER, and what must be found in it as FOLDER/expected.json, so that
/// other programs can be asked. With ROOMS, also onto the smaller models below that folder.

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <vector>

#include "exchange/read.h"
#include "exchange/read_here.h"
#include "exchange/write_frame.h"
#include "exchange/write_gltf.h"
#include "exchange/write_json_text.h"
#include "exchange/write_obj.h"
#include "exchange/write_step.h"
#include "write/sample.h"

namespace {

using namespace roomloom;
namespace fs = std::filesystem;

/// A small original of each kind, made of the sample room.
std::string original(ModelFormat format) {
  const Scene scene = sample::box_scene();
  const FileFrame frame = customary_frame(Source{}, format);
  if (format == ModelFormat::glb) return glb_of_our_own(frame, {}, {}, &scene, "sample").bytes;
  if (format == ModelFormat::obj)
    return obj_of_our_own(frame, {}, {}, scene, "room.mtl", "sample").text;
  const SheetPlane floor{"Floor", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  return step_of_our_own(frame, {}, {floor}, "room.step", "sample").text;
}

bool write(const fs::path& file, const Scene& scene, const fs::path& out) {
  const Annotation annotation = sample::annotation();
  const SheetPlane floor{"Floor plane", {{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}}, {}, {}};
  const auto written = write_models({scene, annotation, file, out, {floor}, "Roomloom"});
  if (!written) std::fprintf(stderr, "%s\n", to_text(written.error()).c_str());
  return written.has_value();
}

bool write_kind(const fs::path& folder, const std::string& kind, ModelFormat format) {
  const fs::path out = folder / kind;
  fs::create_directories(out);
  const fs::path file = out / ("room." + kind);
  std::ofstream(out / "room.mtl") << "newmtl plain\n";
  return write(file, sample::scene_from(file, original(format), format), out);
}

constexpr std::uintmax_t kLargestRealFile = 1200000;  // keeps the test short

bool is_model(const fs::path& file) {
  const std::string kind = file.extension().string();
  return kind == ".glb" || kind == ".obj" || kind == ".step" || kind == ".stp";
}

/// A GLB keeps its name room.glb, by which the validator's test knows what was appended to.
bool write_real_file(const fs::path& file, const fs::path& out) {
  fs::create_directories(out);
  const fs::path copy = out / ("room" + file.extension().string());
  fs::copy_file(file, copy);
  ReadOptions options;
  options.in_process = &read_model_here;
  const auto scene = read_model(copy, options);
  if (!scene) std::fprintf(stderr, "%s\n", to_text(scene.error()).c_str());
  return scene && write(copy, *scene, out);
}

bool write_real(const fs::path& folder, const fs::path& rooms) {
  std::vector<fs::path> files;
  if (fs::exists(rooms))
    for (const auto& entry : fs::recursive_directory_iterator(rooms))
      if (is_model(entry.path()) && entry.file_size() < kLargestRealFile)
        files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const fs::path& file : files)
    if (!write_real_file(file, folder / "real" / file.filename())) return false;
  return true;
}

double length_of(const Tube& tube) {
  double sum = 0;
  for (const Piece& piece : tube.pieces) {
    if (const auto* arc = std::get_if<Arc>(&piece)) sum += arc->length_m();
    if (const auto* line = std::get_if<Line3>(&piece)) sum += distance(line->from, line->to);
  }
  return sum;
}

std::string facts_of(const AnnotationItem& item) {
  std::string text =
      "{\"name\":" + json_string(item.name) + ",\"obj_name\":" + json_string(obj_name(item.name)) +
      ",\"group\":" + json_string(to_string(item.group)) + ",\"layer\":" + json_string(item.layer);
  if (const auto* tube = std::get_if<Tube>(&item.shape)) {
    const double area = kPi / 4 * tube->diameter_m * tube->diameter_m;
    text += ",\"length_m\":" + json_number(length_of(*tube)) +
            ",\"volume_m3\":" + json_number(area * length_of(*tube));
  }
  text += ",\"extras\":{";
  std::string extras;
  for (const auto& [key, value] : item.texts)
    extras += (extras.empty() ? "" : ",") + json_string(key) + ":" + json_string(value);
  for (const auto& [key, value] : item.numbers)
    extras += (extras.empty() ? "" : ",") + json_string(key) + ":" + json_number(value);
  return text + extras + "}}";
}

void write_expected(const fs::path& folder) {
  std::string items;
  for (const AnnotationItem& item : sample::annotation().items)
    items += (items.empty() ? "" : ",\n") + facts_of(item);
  std::ofstream(folder / "expected.json") << "[" << items << "]\n";
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return 2;
  const fs::path folder = argv[1];
  fs::remove_all(folder);
  fs::create_directories(folder);
  write_expected(folder);
  const bool done =
      write_kind(folder, "glb", ModelFormat::glb) && write_kind(folder, "obj", ModelFormat::obj) &&
      write_kind(folder, "step", ModelFormat::step) && (argc < 3 || write_real(folder, argv[2]));
  return done ? 0 : 1;
}
