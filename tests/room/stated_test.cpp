#include <nlohmann/json.hpp>

#include "job/job.h"
#include "room/survey.h"
#include "rooms.h"

// What a job states about a model that lacks it: a way out where a room is not understood.
namespace roomloom {
namespace {
using namespace testing_rooms;

Job job_with(const std::string& model_keys) {
  const JobReading reading =
      examine_job("{\"model\": {\"file\": \"room.step\", " + model_keys + "}}", "t.json");
  if (reading.job) return *reading.job;
  ADD_FAILURE() << to_text(reading.problems.front());
  return {};
}

std::string problem_with(const std::string& model_keys) {
  const JobReading reading =
      examine_job("{\"model\": {\"file\": \"room.step\", " + model_keys + "}}", "t.json");
  std::string text;
  for (const Error& problem : reading.problems) text += problem.code + " " + to_text(problem);
  return text;
}

/// A box room without some of its parts.
Scene without(const std::vector<std::string>& names) {
  Scene scene = scene_from(rectangular_room("Box", 4.2, 5.6, 2.9));
  std::erase_if(scene.parts, [&](const Part& part) {
    return std::find(names.begin(), names.end(), part.name) != names.end();
  });
  return scene;
}

Room stated_room(Scene scene, const Job& job) {
  add_stated_faces(job, scene);
  return room_from(scene, job);
}

TEST(StatedFaces, AMissingWallByThreePointsClosesTheRoom) {
  const Scene open = without({"Wall right"});
  ASSERT_FALSE(room_from(open).airs.at(0).open_sides.empty());
  const Room room = stated_room(open, job_with(R"("faces": [{"name": "Wall east",
      "plane": [[4.2, 0, 0], [4.2, "5 m", 0], ["420 cm", 1, 2]]}])"));
  EXPECT_TRUE(room.airs.at(static_cast<std::size_t>(room.main_air)).open_sides.empty());
  const Sheet* wall = sheet_named(room, "Wall east");
  ASSERT_NE(wall, nullptr);
  EXPECT_NEAR(area(wall->region), 5.6 * 2.9, 0.01);
  EXPECT_NEAR(distance(wall->frame.n, {-1, 0, 0}), 0, 1e-9);
  EXPECT_TRUE(wall->fixable);
}

TEST(StatedFaces, AWallByItsCornersMayHaveANotch) {
  const Room room = stated_room(without({"Wall back"}), job_with(R"("faces": [{"name": "Wall south",
      "is": "wall", "corners": [[0, 0, 0], [1, 0, 0], [1, 0, 2.1], [2, 0, 2.1], [2, 0, 0],
      [4.2, 0, 0], [4.2, 0, 2.9], [0, 0, 2.9]]}])"));
  const Sheet* wall = sheet_named(room, "Wall south");
  ASSERT_NE(wall, nullptr);
  EXPECT_NEAR(area(wall->region), 4.2 * 2.9 - 2.1, 1e-3);
}

TEST(StatedFaces, TheOutlineAloneMakesARoomRoundAFloor) {
  const Scene slab = without({"Wall front", "Wall right", "Wall back", "Wall left", "Slab above"});
  const Room room = stated_room(slab, job_with(R"("outline": {"corners":
      [[0, 0], [4.2, 0], [4.2, 3], [2, 3], [2, 5.6], [0, 5.6]], "height": "2.5 m"})"));
  ASSERT_GE(room.main_air, 0);
  EXPECT_TRUE(room.airs[static_cast<std::size_t>(room.main_air)].open_sides.empty());
  EXPECT_NEAR(distance(room.box.high, {4.2, 5.6, 2.5}), 0, 1e-4);
  double walls = 0;
  for (const Sheet& sheet : room.sheets)
    if (sheet.role == SheetRole::wall) walls += area(sheet.region);
  EXPECT_NEAR(walls, (2 * 4.2 + 2 * 5.6) * 2.5, 1e-3);
}

// A room modelled as one body says of no face of it what it is.
TEST(StatedFaces, ThatLieOnAFaceOfTheModelTakeItsPlace) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->height_m = 2.5;
  Scene body = scene_from(sketch);
  for (Part& part : body.parts) {
    part.name = part.path = "Body";
    part.extras = {{"is", "wall"}};
  }
  const Job job = job_with(R"("faces": [{"name": "Tiles", "is": "suspended ceiling",
      "corners": [[0, 0, 2.5], [4.2, 0, 2.5], [4.2, 5.6, 2.5], [0, 5.6, 2.5]]}])");
  const Room room = stated_room(body, job);
  const Sheet* tiles = sheet_named(room, "Tiles");
  ASSERT_NE(tiles, nullptr);
  EXPECT_EQ(tiles->role, SheetRole::suspended_ceiling);
  EXPECT_NEAR(area(tiles->region), 4.2 * 5.6, 0.01);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.515, 0.005);
}

TEST(StatedFaces, AreToldInTheSurveyAndAPlaneThatMissesTheModelToo) {
  Scene scene = without({"Wall right"});
  const Job job = job_with(R"("faces": [
      {"name": "Wall east", "plane": [[4.2, 0, 0], [4.2, 5, 0], [4.2, 1, 2]]},
      {"name": "Wall far", "plane": [[40, 0, 0], [40, 5, 0], [40, 1, 2]]}])");
  add_stated_faces(job, scene);
  const std::string text = survey_text(scene, room_from(scene, job));
  EXPECT_NE(text.find("\"Wall east\", a wall of "), std::string::npos) << text;
  EXPECT_NE(text.find("The plane of \"Wall far\" misses the model"), std::string::npos) << text;
  EXPECT_NE(text.find("/model/faces/1"), std::string::npos) << text;
}

TEST(StatedFaces, WhereNoRoomIsFoundTheSurveySaysThatFacesAndOutlineCanBeStated) {
  Scene cube = scene_from(rectangular_room("Box", 4.2, 5.6, 2.9));
  for (Vec3& p : cube.points) p = 0.01 * p;
  const std::string text = survey_text(cube, room_from(cube));
  EXPECT_NE(text.find("\"faces\""), std::string::npos) << text;
  EXPECT_NE(text.find("\"outline\""), std::string::npos) << text;
}

TEST(StatedFaces, FaultyOnesAreToldWithTheirPlace) {
  const auto expect = [](const std::string& keys, const std::string& part) {
    const std::string text = problem_with(keys);
    EXPECT_NE(text.find(part), std::string::npos) << keys << "\n" << text;
    EXPECT_NE(text.find("t.json:1:"), std::string::npos) << text;
  };
  expect(R"("faces": [{"name": "a", "plane": [[0,0,0],[1,0,0],[2,0,0]]}])", "/model/faces/0/plane");
  expect(R"("faces": [{"name": "a", "corners": [[0,0,0],[1,0,0],[1,1,0],[0,1,0.5]]}])", "not flat");
  expect(R"("faces": [{"name": "a", "corners": [[0,0,0],[1,1,0],[1,0,0],[0,1.5,0]]}])", "cross");
  expect(R"("faces": [{"name": "a", "corners": [[0,0,0],[1,0,0],[1,0,0],[0,1,0]]}])",
         "in one place");
  expect(R"("faces": [{"name": "a"}])", "by its plane or by its corners");
  expect(R"("faces": [{"name": "a", "is": "door", "plane": [[0,0,0],[1,0,0],[0,1,0]]}])",
         "schema.word");
  expect(R"("outline": {"corners": [[0,0],[4,4],[4,0],[0,5]], "height": 2})",
         "/model/outline/corners");
  expect(R"("outline": {"corners": [[0,0],[4,0],[4,4]], "height": 0.1})", "/model/outline/height");
  expect(R"("outline": {"corners": [[0,0],[4,0],[4,4]]})", "schema.missing-key");
}

}  // namespace
}  // namespace roomloom
