#include <algorithm>

#include "nameless.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

/// Slab at 2.9 m, a sheet of 15 mm at 2.5 m.
Scene hall() {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  return nameless(scene_from(sketch));
}

Scene as_one_body(Scene scene) {
  Part body = scene.parts.front();
  body.first_point = body.first_triangle = 0;
  body.point_count = static_cast<std::uint32_t>(scene.points.size());
  body.triangle_count = static_cast<std::uint32_t>(scene.triangles.size());
  scene.parts.assign(1, body);
  return scene;
}

const Guess* question_in(const Room& room) {
  const auto found = std::find_if(room.guesses.begin(), room.guesses.end(), [](const Guess& g) {
    return g.what.ends_with("a suspended ceiling?");
  });
  return found == room.guesses.end() ? nullptr : &*found;
}

Room with_ceiling_stated(Scene scene, const LikelyCeiling& likely) {
  Job job;
  StatedFace face;
  face.name = likely.name;
  face.role = Role::suspended_ceiling;
  face.points = likely.corners;
  job.model.faces.push_back(face);
  add_stated_faces(job, scene);
  return room_from(scene, job);
}

TEST(LikelyCeiling, OfARoomInOneBodyIsToldWithTheFaceThatStatesIt) {
  const Scene scene = as_one_body(hall());
  const Room room = room_from(scene);
  ASSERT_EQ(room.likely_ceilings.size(), 1U);
  const LikelyCeiling& likely = room.likely_ceilings[0];
  ASSERT_EQ(likely.corners.size(), 4U);
  for (const Vec3& corner : likely.corners) EXPECT_NEAR(corner.z, 2.5, 1e-6);
  const Guess* guess = question_in(room);
  ASSERT_NE(guess, nullptr);
  EXPECT_NE(guess->overrule.find("\"faces\""), std::string::npos) << guess->overrule;
  EXPECT_NE(guess->overrule.find("2.5000]"), std::string::npos) << guess->overrule;
  const Room stated = with_ceiling_stated(scene, likely);
  ASSERT_EQ(stated.voids.size(), 1U);
  EXPECT_NEAR(stated.voids[0].height_m, 2.9 - 2.515, 1e-3);
  EXPECT_NEAR(area(stated.voids[0].plan), 4.2 * 5.6, 0.01);
  EXPECT_TRUE(stated.voids[0].obstacles.empty());
  EXPECT_TRUE(stated.likely_ceilings.empty());
  EXPECT_EQ(question_in(stated), nullptr);
}

// A duct of 200 mm hangs 100 mm over the sheet, in the one body.
TEST(Plenum, IsAsHighAsOverMostOfItWhereTheBodyHoldsDuctsToo) {
  Scene scene = hall();
  add_box(scene, {1.5, 0.3, 2.615}, {1.9, 5.3, 2.815});
  scene = as_one_body(scene);
  const Room room = room_from(scene);
  ASSERT_EQ(room.likely_ceilings.size(), 1U);
  const Room stated = with_ceiling_stated(scene, room.likely_ceilings[0]);
  ASSERT_EQ(stated.voids.size(), 1U);
  const Void& space = stated.voids[0];
  EXPECT_NEAR(space.height_m, 2.9 - 2.515, 1e-3);
  ASSERT_FALSE(space.obstacles.empty());
  Box3 duct;
  for (const VoidObstacle& obstacle : space.obstacles) duct.add(obstacle.box);
  const Vec3 low = space.frame.to_world(duct.low), high = space.frame.to_world(duct.high);
  EXPECT_NEAR(std::min(low.x, high.x), 1.5, 0.01);
  EXPECT_NEAR(std::max(low.x, high.x), 1.9, 0.01);
  EXPECT_NEAR(std::min(low.z, high.z), 2.615, 0.01);
}

// The layer's upper side is not what ends the void.
TEST(Plenum, BeginsOnTheLayerOfItsBodyHoweverThick) {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->thickness_m = 0.06;
  const Scene scene = as_one_body(nameless(scene_from(sketch)));
  const Room room = room_from(scene);
  ASSERT_EQ(room.likely_ceilings.size(), 1U);
  const Room stated = with_ceiling_stated(scene, room.likely_ceilings[0]);
  ASSERT_EQ(stated.voids.size(), 1U);
  EXPECT_NEAR(stated.voids[0].frame.origin.z, 2.56, 1e-3);
  EXPECT_NEAR(stated.voids[0].height_m, 2.9 - 2.56, 1e-3);
}

TEST(LikelyCeiling, OfAPartWithoutATellingNameIsStatedByARule) {
  const Scene scene = hall();
  const Room room = room_from(scene);
  ASSERT_EQ(room.likely_ceilings.size(), 1U);
  ASSERT_EQ(room.likely_ceilings[0].parts.size(), 1U);
  const Guess* guess = question_in(room);
  ASSERT_NE(guess, nullptr);
  const std::string& name =
      scene.parts[static_cast<std::size_t>(room.likely_ceilings[0].parts[0])].name;
  EXPECT_NE(guess->overrule.find("\"match\": \"" + name + "\""), std::string::npos);
  Job job;
  job.parts.push_back(rule(name, Role::suspended_ceiling));
  const Room ruled = room_from(scene, job);
  EXPECT_EQ(ruled.voids.size(), 1U);
  EXPECT_TRUE(ruled.likely_ceilings.empty());
}

TEST(LikelyCeiling, IsNotWhatTheModelOrTheJobNames) {
  Scene scene = hall();
  const Room room = room_from(scene);
  ASSERT_EQ(room.likely_ceilings.size(), 1U);
  const auto part = static_cast<std::size_t>(room.likely_ceilings[0].parts[0]);
  Job job;
  job.parts.push_back(rule(scene.parts[part].name, Role::deck));
  EXPECT_TRUE(room_from(scene, job).likely_ceilings.empty());
  scene.parts[part].name = "Plaster ceiling";
  EXPECT_TRUE(room_from(scene).likely_ceilings.empty());
}

// 1.6 m of air above: an attic. Nothing above: a slab.
TEST(LikelyCeiling, IsNotUnderAnAtticNorUnderTheSky) {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 4.2);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  const Scene attic = as_one_body(nameless(scene_from(sketch)));
  EXPECT_TRUE(room_from(attic).likely_ceilings.empty());
  const Scene plain = nameless(scene_from(rectangular_room("Hall", 4.2, 5.6, 2.5)));
  EXPECT_TRUE(room_from(plain).likely_ceilings.empty());
  EXPECT_TRUE(room_from(as_one_body(plain)).likely_ceilings.empty());
}

}  // namespace
}  // namespace roomloom
