#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <filesystem>
#include <map>
#include <set>

#include "base/files.h"
#include "occt/measure_step.h"
#include "occt/read_step.h"
#include "sketch/solids_support.h"
#include "sketch/write_glb.h"
#include "sketch/write_obj.h"
#include "sketch/write_step.h"

namespace roomloom {
namespace {

/// A room with one of everything that has a shape of its own.
Solids furnished_room() {
  RoomSketch sketch = rectangular_room("Möbelraum", 4, 5, 2.9, 0.2);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.openings.push_back(door("Door", "Wall back", 0.5, 0.9, 2.1));
  sketch.openings.push_back(window("Window 1", "Wall left", 1, 0.9, 1.2, 1.1));
  OpeningSketch hole;
  hole.name = "Hole";
  hole.kind = OpeningKind::hole;
  hole.wall = "Wall front";
  hole.from_left_m = 1;
  hole.up_m = 0.3;
  hole.diameter_m = 0.06;
  sketch.openings.push_back(hole);
  CeilingThingSketch lamp;
  lamp.name = "Luminaire 1";
  lamp.tile = "C3";
  sketch.ceiling_things.push_back(lamp);
  BoxSketch cupboard;
  cupboard.name = "Cupboard";
  cupboard.kind = BoxKind::cupboard;
  cupboard.place.wall = "Wall right";
  cupboard.place.from_left_m = 1;
  cupboard.board_m = 0.02;
  sketch.boxes.push_back(cupboard);
  LineSketch duct, mains;
  duct.name = "Duct";
  duct.points = {{0.5, 1, 2.7}, {0.5, 4, 2.7}, {3, 4, 2.7}};
  duct.diameter_m = 0.16;
  mains.name = "Mains ring";
  mains.kind = LineUse::mains;
  mains.points = {{0.01, 1, 0.3}, {0.01, 4, 0.3}};
  mains.as_line = true;
  sketch.lines = {duct, mains};
  MarkerSketch marker;
  marker.name = "Listener";
  marker.place.at_m = {2, 3};
  marker.place.up_m = 1.2;
  sketch.markers.push_back(marker);
  return built(sketch);
}

TEST(WriteStep, OpenCascadeFindsEverySolidValidClosedAndOfTheSameVolume) {
  const Solids solids = furnished_room();
  const auto measured = measure_step_solids(step_of(solids));
  ASSERT_TRUE(measured) << to_text(measured.error());
  std::map<std::string, StepSolid> by_name;
  for (const StepSolid& solid : *measured) by_name[solid.name] = solid;
  for (const SolidPart& part : solids.parts) {
    if (part.kind != PartKind::mesh) continue;
    SCOPED_TRACE(part.name);
    ASSERT_EQ(by_name.count(part.name), 1U);
    EXPECT_TRUE(by_name[part.name].valid);
    EXPECT_TRUE(by_name[part.name].closed);
    EXPECT_NEAR(by_name[part.name].volume_m3, volume(part.faces), 1e-9);
  }
}

TEST(WriteStep, NamesGroupsLayersColoursCurvesAndPointsComeBack) {
  const Solids solids = furnished_room();
  const std::string text = step_of(solids);
  const auto facts = check_part21(text, "room.step");
  ASSERT_TRUE(facts) << to_text(facts.error());
  const auto scene = read_step(text, "room.step", *facts, 0.002);
  ASSERT_TRUE(scene) << to_text(scene.error());
  std::map<std::string, Part> by_name;
  for (const Part& part : scene->parts) by_name[part.name] = part;
  EXPECT_EQ(by_name.size(), solids.parts.size());
  for (const SolidPart& part : solids.parts) {
    SCOPED_TRACE(part.name);
    ASSERT_EQ(by_name.count(part.name), 1U);
    const Part& read = by_name[part.name];
    EXPECT_EQ(read.path, "Möbelraum/" + (part.group.empty() ? "" : part.group + "/") + part.name);
    EXPECT_EQ(read.kind, part.kind);
    EXPECT_EQ(read.layer, part.layer);
    if (part.kind == PartKind::marker) continue;  // points have no colour of their own
    ASSERT_TRUE(read.colour);
    EXPECT_NEAR(read.colour->r, part.colour.r, 2e-4);
    EXPECT_NEAR(read.colour->b, part.colour.b, 2e-4);
  }
  const Part& listener = by_name["Listener"];
  expect_near(scene->points[listener.first_point], {2, 3, 1.2}, 1e-9);
  const Part& mains = by_name["Mains ring"];
  ASSERT_EQ(mains.point_count, 2U);
  expect_near(scene->points[mains.first_point + 1], {0.01, 4, 0.3}, 1e-9);
}

TEST(WriteSolids, TheSameSketchGivesTheSameBytes) {
  const Solids one = furnished_room(), other = furnished_room();
  EXPECT_EQ(step_of(one), step_of(other));
  EXPECT_EQ(glb_of(scene_of(one)), glb_of(scene_of(other)));
  EXPECT_EQ(obj_of(scene_of(one), "a.mtl").obj, obj_of(scene_of(other), "a.mtl").obj);
}

// glTF 2.0, section 4.4: magic, version, length; then a JSON and a binary chunk.
TEST(WriteGlb, IsAContainerOfTwoChunksWithTheStatedLengths) {
  const std::string glb = glb_of(scene_of(furnished_room()));
  const auto word = [&](std::size_t at) {
    std::uint32_t value = 0;
    std::memcpy(&value, glb.data() + at, sizeof value);
    return value;
  };
  EXPECT_EQ(glb.substr(0, 4), "glTF");
  EXPECT_EQ(word(4), 2U);
  EXPECT_EQ(word(8), glb.size());
  const std::size_t json = word(12);
  EXPECT_EQ(glb.substr(16, 4), "JSON");
  EXPECT_EQ(glb.substr(20 + json + 4, 4), std::string("BIN\0", 4));
  EXPECT_EQ(20 + json + 8 + word(20 + json), glb.size());
  EXPECT_NE(glb.find("\"name\":\"Wall front\",\"extras\":{\"is\":\"wall\"}"), std::string::npos);
  // The listener's node: room (2, 3, 1.2) is glTF (2, 1.2, -3).
  EXPECT_NE(glb.find("\"translation\":[2.0,1.2000000476837158,-3.0]"), std::string::npos);
}

TEST(WriteObj, HasAnObjectAPartAndKeepsSpacesInNames) {
  const Solids solids = furnished_room();
  const ObjTexts texts = obj_of(scene_of(solids), "room.mtl");
  std::size_t objects = 0;
  for (std::size_t at = texts.obj.find("\no "); at != std::string::npos;
       at = texts.obj.find("\no ", at + 1))
    ++objects;
  EXPECT_EQ(objects, solids.parts.size());
  EXPECT_NE(texts.obj.find("\no Wall front\nv "), std::string::npos);
  EXPECT_NE(texts.obj.find("mtllib room.mtl\n"), std::string::npos);
  EXPECT_NE(texts.mtl.find("newmtl suspended_ceiling\n"), std::string::npos);
}

TEST(WriteSolids, AnUnknownExtensionIsRefusedAndNothingIsWritten) {
  const auto file = std::filesystem::temp_directory_path() / "roomloom-sketch-test.dwg";
  const Status written = write_solids(furnished_room(), file);
  ASSERT_FALSE(written);
  EXPECT_EQ(written.error().code, "sketch.unknown-format");
  EXPECT_FALSE(std::filesystem::exists(file));
}

TEST(WriteSolids, WritesTheFileItsExtensionNames) {
  const auto folder = std::filesystem::path(testing::TempDir()) / "roomloom-sketch-written";
  std::filesystem::create_directories(folder);
  const Solids solids = furnished_room();
  for (const char* name : {"room.STEP", "room.obj", "room.glb"})
    ASSERT_TRUE(write_solids(solids, folder / name)) << name;
  EXPECT_EQ(*read_file(folder / "room.STEP"), step_of(solids));
  EXPECT_EQ(*read_file(folder / "room.glb"), glb_of(scene_of(solids)));
  EXPECT_EQ(*read_file(folder / "room.mtl"), obj_of(scene_of(solids), "room.mtl").mtl);
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace roomloom
