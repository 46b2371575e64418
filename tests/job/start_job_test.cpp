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

TEST(StartingJob, OfAnEmptySceneIsValidToo) {
  Scene scene;
  scene.source.path = "empty.obj";
  EXPECT_TRUE(examine_job(starting_job(scene, Room{}), "start.json").job);
  const auto feet =
      examine_job(starting_job(scene, Room{}, {}, DisplayUnits::feet_and_inches), "start.json");
  ASSERT_TRUE(feet.job);
  EXPECT_EQ(feet.job->units, DisplayUnits::feet_and_inches);
}

}  // namespace
}  // namespace roomloom
