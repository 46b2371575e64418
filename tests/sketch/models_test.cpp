#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <map>

#include "base/files.h"
#include "exchange/read_here.h"
#include "job/job.h"
#include "sketch/solids_support.h"
#include "sketch/write_glb.h"
#include "sketch/write_obj.h"
#include "sketch/write_step.h"

namespace roomloom {
namespace {

const std::filesystem::path kModels = std::filesystem::path(ROOMLOOM_SOURCE_DIR) / "models";

Solids built_from(const std::string& room) {
  const Result<RoomSketch> sketch = read_sketch(kModels / room / "room.json");
  if (sketch) return built(*sketch);
  ADD_FAILURE() << to_text(sketch.error());
  return {};
}

std::string stored(const std::filesystem::path& file) {
  const Result<std::string> bytes = read_file(kModels / file);
  return bytes ? *bytes : to_text(bytes.error());
}

/// The whole texts would drown the message.
void expect_same_bytes(const std::string& stored_bytes, const std::string& written) {
  EXPECT_TRUE(stored_bytes == written)
      << "the stored model is not what its room.json gives: run roomloom sketch again";
}

TEST(DemoRooms, StoredModelsAreWhatSketchWrites) {
  expect_same_bytes(stored("alder-hall/alder-hall.step"), step_of(built_from("alder-hall")));
  const ObjTexts classroom = obj_of(scene_of(built_from("classroom")), "classroom.mtl");
  expect_same_bytes(stored("classroom/classroom.obj"), classroom.obj);
  expect_same_bytes(stored("classroom/classroom.mtl"), classroom.mtl);
  expect_same_bytes(stored("attic-studio/attic-studio.glb"),
                    glb_of(scene_of(built_from("attic-studio"))));
}

TEST(DemoRooms, AllPartsAreWatertight) {
  for (const char* room : {"alder-hall", "classroom", "attic-studio"}) {
    SCOPED_TRACE(room);
    expect_sound(built_from(room));
  }
}

TEST(DemoRooms, JobsAreReadWithTheirRuns) {
  const std::map<std::string, std::size_t> runs = {
      {"alder-hall", 31}, {"classroom", 40}, {"attic-studio", 18}};
  for (const auto& [room, count] : runs) {
    SCOPED_TRACE(room);
    const Result<Job> job = read_job(kModels / room / "job.json");
    ASSERT_TRUE(job) << to_text(job.error());
    EXPECT_EQ(job->runs.size(), count);
    EXPECT_TRUE(std::filesystem::exists(kModels / room / job->model.file));
  }
}

TEST(DemoRooms, EveryRuleOfAJobMatchesAPartOfItsModel) {
  for (const char* room : {"alder-hall", "classroom", "attic-studio"}) {
    const Result<Job> job = read_job(kModels / room / "job.json");
    ASSERT_TRUE(job);
    const Solids solids = built_from(room);
    for (const PartRule& rule : job->parts) {
      const std::string start = rule.match.substr(0, rule.match.find('*'));
      const bool used =
          std::any_of(solids.parts.begin(), solids.parts.end(),
                      [&](const SolidPart& part) { return part.name.rfind(start, 0) == 0; });
      EXPECT_TRUE(used) << room << ": nothing is called \"" << rule.match << "\"";
    }
  }
}

// By hand: walls 4.2 + 0.3 + 0.2 by 5.6 + 0.12 + 0.2 outside; tiles 4.2 x 5.6 less four luminaires
// and a vent of 0.3 x 0.3.
TEST(DemoRooms, AlderHallHasTheSizesOfItsTape) {
  const Solids solids = built_from("alder-hall");
  EXPECT_NEAR(part_volume(solids, "Slab above"), 4.7 * 5.92 * 0.2, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Ceiling tiles"), (4.2 * 5.6 - 4 * 0.36 - 0.09) * 0.015, 1e-9);
  // 4.2 m of duct across, less the half section in the corner, which the mitre makes good.
  EXPECT_NEAR(part_volume(solids, "Duct supply"), 0.2 * 0.12 * (2.1 + 0.22), 1e-9);
  const Box3 door = box_of(part_named(solids, "Door"));
  expect_near(door.low, {4.2, 0.35, 0});
  expect_near(door.high, {4.24, 1.25, 2.05});
}

// The bay: 0.8 m deep at 45 degrees, so x = 0 at its flat wall and x = 0.8 at the left walls. The
// last wall takes up the half millimetre that a tape cannot show: 2 x 1.131 cos 45 = 1.5995.
TEST(DemoRooms, ClassroomsBayStandsOutToTheLeft) {
  const Solids solids = built_from("classroom");
  const double out = 1.131 * std::sqrt(0.5);
  EXPECT_NEAR(box_of(part_named(solids, "Wall bay")).high.x, 0, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall left rear")).high.x, out, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall right")).low.x, out + 9, 1e-9);
}

// Knee 1.1 m and 40 degrees: 2.5 m is reached 1.4 / tan 40 = 1.6684 m from the knee walls.
TEST(DemoRooms, AtticsSlopesReachTheFlatCeilingWhereTheyShould) {
  const Solids solids = built_from("attic-studio");
  const double reach = 1.4 / std::tan(radians(40));
  const Box3 flat = box_of(part_named(solids, "Ceiling"));
  EXPECT_NEAR(flat.low.x, reach, 1e-9);
  EXPECT_NEAR(flat.high.x, 4.6 - reach, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall left")).high.z, 1.1, 1e-9);
}

/// Reads a stored model as any user's and holds it against the sketch.
void expect_read_back(const std::string& file, const Solids& solids, double within_m) {
  const Result<Scene> scene = read_model_here(kModels / file, {});
  ASSERT_TRUE(scene) << to_text(scene.error());
  std::map<std::string, const Part*> by_name;
  for (const Part& part : scene->parts) by_name[part.name] = &part;
  for (const SolidPart& part : solids.parts) {
    if (part.kind != PartKind::mesh) continue;
    SCOPED_TRACE(part.name);
    ASSERT_EQ(by_name.count(part.name), 1U);
    const Part& read = *by_name[part.name];
    EXPECT_EQ(read.closure, Closure::oriented);
    EXPECT_NEAR(triangle_volume(*scene, read), volume(part.faces), 1e-5);
    Box3 box;
    for (std::uint32_t i = 0; i < read.point_count; ++i)
      box.add(scene->points[read.first_point + i]);
    expect_near(box.low, box_of(part).low, within_m);
    expect_near(box.high, box_of(part).high, within_m);
  }
}

TEST(DemoRooms, AreReadBackInMetresAndUprightFromEachFormat) {
  expect_read_back("alder-hall/alder-hall.step", built_from("alder-hall"), 1e-8);
  expect_read_back("classroom/classroom.obj", built_from("classroom"), 2e-6);
  expect_read_back("attic-studio/attic-studio.glb", built_from("attic-studio"), 2e-6);
}

TEST(DemoRooms, ExtrasAndMarkersAreReadBackFromTheAtticsGlb) {
  const Result<Scene> scene = read_model_here(kModels / "attic-studio/attic-studio.glb", {});
  ASSERT_TRUE(scene) << to_text(scene.error());
  int found = 0;
  for (const Part& part : scene->parts) {
    if (part.name == "Wall back") found += part.extras.at("build") == "stud";
    if (part.name == "Listener") {
      found += part.kind == PartKind::marker;
      expect_near(scene->points[part.first_point], {2.3, 3.6, 1.2}, 1e-6);
    }
  }
  EXPECT_EQ(found, 2);
}

}  // namespace
}  // namespace roomloom
