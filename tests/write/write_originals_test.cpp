#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "base/sha256.h"
#include "exchange/write.h"
#include "write/assimp_reading.h"
#include "write/glb_chunks.h"
#include "write/sample.h"
#include "write/step_reading.h"

/// Appending to real files of other programs.
namespace roomloom {
namespace {

namespace fs = std::filesystem;
using step_reading::ReadPart;

struct RealFile {
  const char* path;
  double unit_m;
};

class RealStep : public testing::TestWithParam<RealFile> {};
class RealGlb : public testing::TestWithParam<const char*> {};
class RealObj : public testing::TestWithParam<const char*> {};

fs::path shared(const std::string& path) { return fs::path(ROOMLOOM_SHARED_DATA) / "rooms" / path; }

Scene scene_of(const fs::path& file, ModelFormat format, double unit_m) {
  Scene scene;
  scene.source.path = file.string();
  scene.source.sha256 = sha256(sample::read_text(file));
  scene.source.format = format;
  scene.source.unit_m = unit_m;
  scene.source.to_room.m = {unit_m, 0, 0, 0, 0, unit_m, 0, 0, 0, 0, unit_m, 0};
  if (format != ModelFormat::step) scene.source.to_room.m = {1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0};
  return scene;
}

bool is_ours(const ReadPart& part) { return part.path.starts_with("Roomloom/"); }

TEST_P(RealStep, KeepsItsPartsAndGainsOurs) {
  const fs::path file = shared(GetParam().path);
  if (!fs::exists(file)) GTEST_SKIP() << "the shared model " << file << " is not here";
  const auto out = sample::fresh_folder("real-step");
  const Annotation annotation = sample::annotation();
  const Scene scene = scene_of(file, ModelFormat::step, GetParam().unit_m);
  const auto files = write_models({scene, annotation, file, out, {}, "Roomloom"});
  ASSERT_TRUE(files) << to_text(files.error());
  const auto before = step_reading::read_parts(file.string());
  const auto after = step_reading::read_parts((out / "routed.step").string());
  std::vector<ReadPart> theirs;
  std::copy_if(after.begin(), after.end(), std::back_inserter(theirs),
               [](const ReadPart& part) { return !is_ours(part); });
  ASSERT_EQ(theirs.size(), before.size());
  ASSERT_FALSE(before.empty());
  for (std::size_t i = 0; i < before.size(); ++i) {
    EXPECT_EQ(theirs[i].name, before[i].name);
    EXPECT_EQ(theirs[i].path, before[i].path);
    EXPECT_EQ(theirs[i].faces, before[i].faces);
    EXPECT_EQ(theirs[i].colour, before[i].colour);
    EXPECT_EQ(theirs[i].layers, before[i].layers);
    EXPECT_EQ(theirs[i].box.high, before[i].box.high);
  }
  EXPECT_EQ(after.size() - theirs.size(), annotation.items.size() + 2);
  const ReadPart* solid = step_reading::find(after, "Run S1");
  const ReadPart* line = step_reading::find(after, "Run S1 centreline");
  ASSERT_TRUE(solid != nullptr && line != nullptr);
  EXPECT_TRUE(solid->valid);
  EXPECT_NEAR(line->edge_length_m, 8.672551137, 1e-6) << "in metres, whatever the file's unit";
  fs::remove_all(out);
}

INSTANTIATE_TEST_SUITE_P(Files, RealStep,
                         testing::Values(RealFile{"units/cube-mm.step", 0.001},
                                         RealFile{"units/cube-m.step", 1},
                                         RealFile{"units/cube-in.step", 0.0254},
                                         RealFile{"assembly/as1-oc-214.stp", 0.001},
                                         RealFile{"interior/occt_kitchen_ap214_mm.step", 0.001},
                                         RealFile{"interior/occt_kitchen_ap203_inch.step", 0.0254},
                                         RealFile{"building/openhouse_ap214_mm.step", 0.001}));

TEST_P(RealGlb, KeepsItsBytesAndGainsOurs) {
  const fs::path file = shared(GetParam());
  if (!fs::exists(file)) GTEST_SKIP() << "the shared model " << file << " is not here";
  const auto out = sample::fresh_folder("real-glb");
  const Annotation annotation = sample::annotation();
  const Scene scene = scene_of(file, ModelFormat::glb, 1);
  const auto files = write_models({scene, annotation, file, out, {}, "Roomloom"});
  ASSERT_TRUE(files) << to_text(files.error());
  const auto before = sample::glb_chunks(sample::read_text(file));
  const auto after = sample::glb_chunks(sample::read_text(out / "routed.glb"));
  EXPECT_TRUE(after.binary.starts_with(before.binary));
  ASSERT_TRUE(after.json.is_object());
  for (const auto& [key, value] : before.json.items()) {
    if (key == "buffers" || key == "scenes") continue;
    if (!value.is_array()) {
      EXPECT_EQ(after.json[key], value) << key;
      continue;
    }
    for (std::size_t i = 0; i < value.size(); ++i)
      ASSERT_EQ(after.json[key][i], value[i]) << key << " " << i;
  }
  std::string error;
  const auto nodes = assimp_reading::read_nodes((out / "routed.glb").string(), error);
  const auto* run = assimp_reading::find(nodes, "Run S1");
  ASSERT_NE(run, nullptr) << error;
  EXPECT_EQ(run->texts.at("to"), "M+030");
  fs::remove_all(out);
}

INSTANTIATE_TEST_SUITE_P(Files, RealGlb,
                         testing::Values("building/openhouse.glb", "building/duplex.glb",
                                         "interior/habitat_simple_room.glb", "scan/living_room.glb",
                                         "scan/meeting_room.glb", "scan/office_small.glb"));

TEST_P(RealObj, KeepsItsTextAndGainsOurs) {
  const fs::path file = shared(GetParam());
  if (!fs::exists(file)) GTEST_SKIP() << "the shared model " << file << " is not here";
  const auto out = sample::fresh_folder("real-obj");
  const Annotation annotation = sample::annotation();
  const Scene scene = scene_of(file, ModelFormat::obj, 1);
  const auto files = write_models({scene, annotation, file, out, {}, "Roomloom"});
  ASSERT_TRUE(files) << to_text(files.error());
  EXPECT_TRUE(sample::read_text(out / "routed.obj").starts_with(sample::read_text(file)));
  std::string error;
  const auto before = assimp_reading::read_nodes(file.string(), error);
  const auto after = assimp_reading::read_nodes((out / "routed.obj").string(), error);
  const auto triangles = [](const std::vector<assimp_reading::ReadNode>& nodes) {
    std::size_t sum = 0;
    for (const auto& node : nodes) sum += node.triangles;
    return sum;
  };
  std::size_t ours = 0;
  for (const AnnotationItem& item : annotation.items) {
    const auto* node = assimp_reading::find(after, obj_name(item.name));
    ASSERT_NE(node, nullptr) << item.name;
    ours += node->triangles;
  }
  EXPECT_EQ(triangles(after), triangles(before) + ours);
  fs::remove_all(out);
}

INSTANTIATE_TEST_SUITE_P(Files, RealObj,
                         testing::Values("building/openhouse.obj", "building/duplex.obj",
                                         "scan/office_small.scan.obj",
                                         "scan/living_room.semantic.obj"));

}  // namespace
}  // namespace roomloom
