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
  box.room.swept.push_back({{0, 1.5, 0}, {0.9, 2.4, 2}});
  Job job;
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
  EndSpec& end = add_on_floor(job, "sub", {1.2, 2, 0});
  end.may_move = MayMove{};
  end.may_move->radius_m = 0.4;
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends.size(), 1U) << problems_text(ends);
  EXPECT_EQ(ends.floor_ways.size(), 1 + ends.ends[0].may_move_to.size());
}

}  // namespace
}  // namespace roomloom
