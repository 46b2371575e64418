#include "tests_place.h"

namespace roomloom {
namespace {

using namespace roomloom::testing_rooms;

EndSpec& add_on_floor(Job& job, const std::string& id, const Vec3& at) {
  EndSpec& end = add_end(job, id, AtPoint{at});
  end.mount = Mount::on_floor;
  return end;
}

TEST(FloorWays, AnEndOutInTheFloorIsReachedFromTheFootOfTheNearestWall) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  job.floor.anywhere = true;
  add_on_floor(job, "sub", {1.2, 2, 0.3});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.floor_ways.size(), 1U) << problems_text(ends);
  const FloorWay& way = ends.floor_ways[0];
  EXPECT_EQ(box.room.sheets[static_cast<std::size_t>(way.wall)].name, "Wall left");
  expect_near(way.wall_foot, {0, 2, 0});
  expect_near(way.foot, {1.2, 2, 0});
  const Zone& along = ends.zones[static_cast<std::size_t>(way.along_zone)];
  expect_near(along.frame.to_local(way.wall_foot), {0.05, 0, 0});
  EXPECT_NEAR(along.size.y, 1.25, 1e-9);
  const Zone& up = ends.zones[static_cast<std::size_t>(way.up_zone)];
  expect_near(up.frame.to_local(Vec3{1.2, 2, 0.3}), {0.05, 0.05, 0.3});
  EXPECT_GE(up.size.z, 0.3);
  ASSERT_FALSE(ends.guesses.empty());
  EXPECT_NE(ends.guesses.back().why.find("ramp"), std::string::npos);
}

TEST(FloorWays, AWallWhoseFootADoorSweepsIsNotTaken) {
  BoxRoom box = box_room(4, 5, 2.5);
  box.room.swept.push_back(
      {MovingKind::door, prism_of(Box3{{0, 1.5, 0}, {0.9, 2.4, 2}}), -1, "where Door swings"});
  Job job;
  job.floor.anywhere = true;
  add_on_floor(job, "sub", {1.2, 2, 0.3});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.floor_ways.size(), 1U) << problems_text(ends);
  EXPECT_EQ(box.room.sheets[static_cast<std::size_t>(ends.floor_ways[0].wall)].name, "Wall back");
}

TEST(FloorWays, FurnitureInBetweenIsGoneRoundButWhatHoldsTheEndIsEntered) {
  BoxRoom box = box_room(4, 5, 2.5);
  Sheet& floor = box.room.sheets[4];
  ASSERT_EQ(floor.role, SheetRole::floor);
  floor.keep_outs.push_back({rectangle(1.0, 1.8, 1.5, 2.3), 0, Role::furniture, 0, "Lectern"});
  Job job;
  job.floor.anywhere = true;
  add_on_floor(job, "sub", {1.2, 2, 0.3});
  Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.floor_ways.size(), 1U);
  EXPECT_NEAR(ends.floor_ways[0].wall_foot.x, 0, 1e-9);
  floor.keep_outs.push_back({rectangle(0.3, 1.5, 0.6, 2.5), 0, Role::furniture, 0, "Shelf"});
  ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.floor_ways.size(), 1U);
  EXPECT_NEAR(ends.floor_ways[0].wall_foot.y, 0, 1e-9) << "from the back wall, past the shelf";
}

TEST(FloorWays, AnEndThatHugsAWallOrLiesInAHiddenPlaceNeedsNone) {
  BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_on_floor(job, "beside", {0.06, 2, 0.3});
  add_on_floor(job, "hidden", {2, 4.6, 0.3});
  Zone zone;
  zone.name = "behind Curtain";
  zone.frame.origin = {0.2, 4.4, 0};
  zone.size = {3.6, 0.6, 2};
  box.room.zones.push_back(zone);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(ends.ends.size(), 2U) << problems_text(ends);
  EXPECT_TRUE(ends.floor_ways.empty());
  EXPECT_EQ(ends.zones.size(), 1U);
}

TEST(FloorWays, EveryPlaceAnEndMayMoveToHasItsOwn) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  job.floor.anywhere = true;
  EndSpec& end = add_on_floor(job, "sub", {1.2, 2, 0});
  end.may_move = MayMove{};
  end.may_move->radius_m = 0.4;
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends.size(), 1U) << problems_text(ends);
  EXPECT_EQ(ends.floor_ways.size(), 1 + ends.ends[0].may_move_to.size());
}

TEST(FloorWays, OpenFloorIsCrossedOnlyWhereTheJobAllowsIt) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_on_floor(job, "sub", {1.2, 2, 0.3});
  const Ends refused = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(refused.floor_ways.empty());
  ASSERT_EQ(refused.refused_floor_ways.size(), 1U);
  EXPECT_NE(refused.refused_floor_ways[0].why.find("1.20 m of floor"), std::string::npos)
      << refused.refused_floor_ways[0].why;
  // To the back wall it is further; but there the job allows it.
  job.floor.areas.push_back({"To the rear", {1.0, 0}, {1.4, 2.1}, "/floor/cross/0"});
  const Ends allowed = place_ends(box.scene, box.room, job);
  ASSERT_EQ(allowed.floor_ways.size(), 1U) << problems_text(allowed);
  expect_near(allowed.floor_ways[0].wall_foot, {1.2, 0, 0});
  EXPECT_NEAR(allowed.floor_ways[0].ramp_m, 2, 1e-9);
}

TEST(FloorWays, NearItsWallAnEndCrossesNothing) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_on_floor(job, "sub", {0.55, 2, 0.3});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.floor_ways.size(), 1U) << problems_text(ends);
  EXPECT_EQ(ends.floor_ways[0].ramp_m, 0);
}

TEST(FloorWays, AWalkwayIsCrossedOnlyInAnAreaOfTheJobsOwn) {
  BoxRoom box = box_room(4, 5, 2.5);
  box.room.swept.push_back({MovingKind::walkway, prism_of(Box3{{0.3, 0.5, -0.1}, {1.0, 4.5, 2}}),
                            -1, "on the walkway Aisle"});
  Job job;
  job.floor.anywhere = true;
  add_on_floor(job, "sub", {1.2, 2, 0.3});
  const Ends round = place_ends(box.scene, box.room, job);
  ASSERT_EQ(round.floor_ways.size(), 1U) << problems_text(round);
  EXPECT_NEAR(round.floor_ways[0].wall_foot.y, 0, 1e-9) << "from the back wall, beside the aisle";
  job.floor.areas.push_back({"Aisle", {0, 1.9}, {1.3, 2.1}, "/floor/cross/0"});
  const Ends across = place_ends(box.scene, box.room, job);
  ASSERT_EQ(across.floor_ways.size(), 1U) << problems_text(across);
  EXPECT_NEAR(across.floor_ways[0].wall_foot.x, 0, 1e-9);
  EXPECT_NEAR(across.floor_ways[0].ramp_m, 1.2, 1e-9);
}

}  // namespace
}  // namespace roomloom
