#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <set>

#include "exchange/read_options.h"
#include "exchange/read_support.h"

namespace roomloom {
namespace {

const std::filesystem::path kShared = ROOMLOOM_SHARED_DATA;

std::vector<std::filesystem::path> models_under(const std::filesystem::path& folder) {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
    if (entry.is_regular_file() && format_of(entry.path())) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

ReadOptions by_real_reader() {
  ReadOptions options;
  options.reader_program = std::string(ROOMLOOM_BIN_DIR) + "/roomloom-read";
  return options;
}

TEST(RealRooms, AreAllRead) {
  if (!std::filesystem::exists(kShared / "rooms")) GTEST_SKIP() << "no models at " << kShared;
  const auto files = models_under(kShared / "rooms");
  EXPECT_GE(files.size(), 20U);
  for (const auto& file : files) {
    const auto start = std::chrono::steady_clock::now();
    const auto scene = read_model(file, by_real_reader());
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    ASSERT_TRUE(scene) << to_text(scene.error());
    std::printf("%-40s %7zu triangles %4zu parts %6.2f s\n", file.filename().c_str(),
                scene->triangles.size(), scene->parts.size(), taken.count());
    EXPECT_FALSE(scene->triangles.empty()) << file;
    for (const Note& note : scene->notes)
      EXPECT_FALSE(note.code.starts_with("reader.lost")) << file << ": " << note.text;
  }
}

TEST(RealRooms, OfOneHouseInSeveralFormatsAgreeInSizeAndUpAxis) {
  if (!std::filesystem::exists(kShared / "rooms")) GTEST_SKIP() << "no models at " << kShared;
  const auto size_of = [](const char* name) {
    const auto scene = read_model(kShared / "rooms" / name, by_real_reader());
    EXPECT_TRUE(scene) << name;
    Box3 box;
    if (scene)
      for (const Vec3& p : scene->points) box.add(p);
    return box.size();
  };
  EXPECT_NEAR(distance(size_of("building/duplex.obj"), size_of("building/duplex.glb")), 0, 1e-4);
  EXPECT_NEAR(distance(size_of("building/openhouse.obj"), size_of("building/openhouse.glb")), 0,
              1e-4);
  const Vec3 kitchen = size_of("interior/occt_kitchen_ap214_mm.step");
  EXPECT_NEAR(distance(kitchen, size_of("interior/occt_kitchen_ap203_inch.step")), 0, 1e-6);
  // Its list of sources says: one room of 4 x 4 x 3 m.
  EXPECT_NEAR(distance(kitchen, {4, 4, 3}), 0, 0.01);
  for (const char* name : {"units/cube-in.step", "units/cube-m.step", "units/cube-mm.step"})
    EXPECT_NEAR(distance(size_of(name), {1, 1, 1}), 0, 1e-6) << name;
}

TEST(BrokenFiles, AllEndInASceneOrAnErrorInWords) {
  if (!std::filesystem::exists(kShared / "broken")) GTEST_SKIP() << "no models at " << kShared;
  const auto files = models_under(kShared / "broken");
  EXPECT_GE(files.size(), 400U);
  std::map<std::string, int> outcomes;
  for (const auto& file : files) {
    const auto scene = read_model(file, by_real_reader());
    ++outcomes[code_of(scene)];
    if (scene) continue;
    EXPECT_FALSE(scene.error().what.empty() || scene.error().remedy.empty()) << file;
    EXPECT_NE(scene.error().code, "model.bad-answer") << file;
  }
  for (const auto& [outcome, times] : outcomes) std::printf("%4d %s\n", times, outcome.c_str());
}

TEST(HostileFiles, NeitherReachOutOfTheirFolderNorExhaustTheMachine) {
  const auto folder = kShared / "broken/hostile/in";
  if (!std::filesystem::exists(folder)) GTEST_SKIP() << "no models at " << folder;
  const std::map<std::string, std::string> expected = {
      {"buf8g.gltf", "model.syntax"},
      {"count_big.gltf", "model.too-large"},
      {"count_nobv.gltf", "model.too-large"},
      {"cycle.gltf", "model.syntax"},
      {"deep_json.gltf", "model.syntax"},
      {"devzero.gltf", "model.outside-reference"},
      {"idx.obj", "model.syntax"},
      {"mtl_trav.obj", "read"},
      {"name_inject.gltf", "read"},
      {"nan.obj", "model.syntax"},
      {"poly_bomb.obj", "model.syntax"},
      {"trav_abs.gltf", "model.outside-reference"},
      {"trav_rel.gltf", "model.outside-reference"}};
  for (const auto& [name, code] : expected)
    EXPECT_EQ(code_of(read_model(folder / name, by_real_reader())), code) << name;
  const auto material = read_model(folder / "mtl_trav.obj", by_real_reader());
  ASSERT_TRUE(material);
  EXPECT_TRUE(has_note(*material, "reader.outside-reference"));
  EXPECT_FALSE(material->parts.at(0).colour);
}

}  // namespace
}  // namespace roomloom
