#include <gtest/gtest.h>

#include "job/job.h"

namespace roomloom {
namespace {

void add_part(Scene& scene, Room& room, const std::string& name, Role role,
              Build build = Build::unknown, PartKind kind = PartKind::mesh) {
  Part part;
  part.name = name;
  part.kind = kind;
  scene.parts.push_back(part);
  room.roles.push_back({role, build, -1, "by its name"});
}

TEST(StartingJob, IsAJobThatTheReaderAccepts) {
  Scene scene;
  Room room;
  scene.source.path = "rooms/Hall \"A\".glb";
  add_part(scene, room, "Wall left", Role::wall);
  add_part(scene, room, "Wall right", Role::wall);
  add_part(scene, room, "Pipe one", Role::obstacle);
  add_part(scene, room, "Pipe two", Role::conduit);
  add_part(scene, room, "Slab*?\n", Role::deck);
  add_part(scene, room, "Tiles", Role::suspended_ceiling);
  add_part(scene, room, "Odd", Role::automatic);
  add_part(scene, room, "Rear left", Role::marker, Build::unknown, PartKind::marker);
  room.airs.push_back({});
  room.airs[0].seed = {1, 2, 1.5};
  room.main_air = 0;
  room.grids.push_back({});
  const std::string text = starting_job(scene, room, "rooms/jobs/hall.json");
  const JobReading reading = examine_job(text, "start.json");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.at(0)) << text;
  const Job& job = *reading.job;
  EXPECT_EQ(job.model.file, "../Hall \"A\".glb");
  EXPECT_EQ(job.model.seed, (Vec3{1, 2, 1.5}));
  ASSERT_EQ(job.parts.size(), 5U) << text;
  // The rule that names most letters first: the first match wins.
  EXPECT_EQ(job.parts[0].match, "Pipe one");
  EXPECT_EQ(job.parts[1].role, Role::conduit);
  EXPECT_EQ(job.parts[2].match, "Slab??\n");
  EXPECT_EQ(job.parts[3].match, "Wall *");
  EXPECT_EQ(job.parts[3].role, Role::wall);
  EXPECT_EQ((*job.parts[4].tile_m)[0], 0.6);
  // Markers are offered in comments: an end that no run uses could stop the job.
  EXPECT_TRUE(job.ends.empty());
  EXPECT_NE(text.find("// { \"id\": \"Rear left\", \"marker\": \"Rear left\" }"),
            std::string::npos);
}

/// A hall whose model says neither what its walls are made of nor how its door opens.
void asked_hall(Scene& scene, Room& room) {
  scene.source.path = "hall.obj";
  scene.source.format = ModelFormat::obj;
  scene.source.unit_m = 0.0254;
  scene.source.up = 'y';
  scene.groups.push_back({"Alder Hall", -1});
  scene.groups.push_back({"Walls", 0});
  add_part(scene, room, "Wall left", Role::wall);
  add_part(scene, room, "Wall right", Role::wall);
  add_part(scene, room, "Tiles", Role::suspended_ceiling);
  add_part(scene, room, "Door", Role::door);
  room.voids.push_back({});
  room.grids.push_back({});
  room.guesses.push_back({"Swing of Door", "90 degrees into the room", "it is not said", "..."});
  room.guesses.push_back({"Where the tiles start", "centred", "nothing says it", "tile_origin"});
}

TEST(StartingJob, HoldsWhatIsToBeAnsweredAsEntriesToFillIn) {
  Scene scene;
  Room room;
  asked_hall(scene, room);
  const std::string text = starting_job(scene, room);
  const JobReading asked = examine_job(text, "start.json");
  ASSERT_TRUE(asked.job) << to_text(asked.problems.at(0)) << text;
  EXPECT_EQ(asked.job->name, "Alder Hall");  // the room's own name, not the file's
  EXPECT_EQ(asked.job->model.unit_m, 0.0254);
  EXPECT_EQ(asked.job->model.up, 'y');
  EXPECT_NE(text.find("tile_origin"), std::string::npos) << "guesses are told";
  // Filled in by taking the two slashes away.
  std::string filled = text;
  int entries = 0;
  for (auto at = filled.find("// \""); at != std::string::npos; at = filled.find("// \"")) {
    filled.erase(at, 3);
    ++entries;
  }
  EXPECT_EQ(entries, 2) << text;
  const JobReading answered = examine_job(filled, "start.json");
  ASSERT_TRUE(answered.job) << to_text(answered.problems.at(0)) << filled;
  for (const PartRule& rule : answered.job->parts) {
    EXPECT_EQ(rule.build, rule.role == Role::wall ? Build::stud : Build::unknown) << rule.match;
    EXPECT_EQ(rule.handles_air,
              rule.role == Role::suspended_ceiling ? HandlesAir::no : HandlesAir::unknown);
    EXPECT_NEAR(rule.swing_rad.value_or(0), rule.role == Role::door ? kPi / 2 : 0, 1e-9);
  }
}

TEST(StartingJob, OfAnEmptySceneIsValidToo) {
  Scene scene;
  scene.source.path = "empty.obj";
  EXPECT_TRUE(examine_job(starting_job(scene, Room{}), "start.json").job);
  const auto feet =
      examine_job(starting_job(scene, Room{}, {}, DisplayUnits::feet_and_inches), "start.json");
  ASSERT_TRUE(feet.job);
  EXPECT_EQ(feet.job->units, DisplayUnits::feet_and_inches);
}

TEST(StartingJob, StatesTheCeilingThatABodyHidesAndAsksAboutItsVoid) {
  Scene scene;
  scene.source.path = "room.glb";
  Room room;
  add_part(scene, room, "Shell", Role::wall);
  LikelyCeiling likely;
  likely.name = "Ceiling tiles";
  likely.corners = {{0, 0, 2.5}, {0, 5, 2.5}, {4, 5, 2.5}, {4, 0, 2.5}};
  room.likely_ceilings.push_back(likely);
  const std::string text = starting_job(scene, room);
  const JobReading reading = examine_job(text, "start.json");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.at(0)) << text;
  ASSERT_EQ(reading.job->model.faces.size(), 1U);
  const StatedFace& face = reading.job->model.faces[0];
  EXPECT_EQ(face.name, "Ceiling tiles");
  EXPECT_EQ(face.role, Role::suspended_ceiling);
  EXPECT_FALSE(face.whole_plane);
  EXPECT_EQ(face.points, likely.corners);
  ASSERT_EQ(reading.job->parts.size(), 2U) << text;
  EXPECT_EQ(reading.job->parts[0].role, Role::suspended_ceiling);
  EXPECT_NE(text.find("\"handles_air\""), std::string::npos) << text;
}

TEST(StartingJob, RulesAPartThatIsLikelyACeilingAsOne) {
  Scene scene;
  scene.source.path = "room.glb";
  Room room;
  add_part(scene, room, "Mesh.1", Role::wall);
  add_part(scene, room, "Mesh.2", Role::deck);
  room.likely_ceilings.push_back({{1}, "", {}});
  const JobReading reading = examine_job(starting_job(scene, room), "start.json");
  ASSERT_TRUE(reading.job);
  ASSERT_EQ(reading.job->parts.size(), 2U);
  EXPECT_EQ(reading.job->parts[1].match, "Mesh.2");
  EXPECT_EQ(reading.job->parts[1].role, Role::suspended_ceiling);
}

// A rule matches names: one for all of these would make walls of tiles.
TEST(StartingJob, GivesPartsOfOneNameAndSeveralRolesNoRule) {
  Scene scene;
  scene.source.path = "room.glb";
  Room room;
  add_part(scene, room, "Mesh a", Role::wall);
  add_part(scene, room, "Mesh b", Role::wall);
  add_part(scene, room, "Mesh c", Role::wall);
  add_part(scene, room, "Mesh c", Role::suspended_ceiling);
  const std::string text = starting_job(scene, room);
  const JobReading reading = examine_job(text, "start.json");
  ASSERT_TRUE(reading.job) << text;
  ASSERT_EQ(reading.job->parts.size(), 2U) << text;
  for (const PartRule& rule : reading.job->parts)
    EXPECT_EQ(rule.match.find('*'), std::string::npos);
}

}  // namespace
}  // namespace roomloom
