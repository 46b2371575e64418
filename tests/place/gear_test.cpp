#include <gtest/gtest.h>

#include "place/place.h"
#include "place/tests_place.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

constexpr double kW = 4.2, kD = 5.6, kH = 2.5;

bool in_zone(const Zone& zone, const Vec3& p) {
  const Vec3 local = zone.frame.to_local(p);
  for (int axis = 0; axis < 3; ++axis)
    if (local[axis] < -1e-9 || local[axis] > zone.size[axis] + 1e-9) return false;
  return true;
}

OnPart on_wall(const std::string& wall, double from_left) {
  return {wall, from_left, std::nullopt, std::nullopt, 0};
}

TEST(Gear, StandsWithItsBackToItsWallAtTheMeasuredPlace) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_gear(job, "stand", on_wall("Wall front", 1.3), {1.6, 0.45, 0.6}, 0.1);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.gear.size(), 1U);
  const GearBox& gear = ends.gear[0];
  // From x 1.3 to 2.9, its back 0.1 m off y = 5.6, its front toward the room.
  expect_near(gear.frame.to_world(Vec3{0, 0, 0}), {2.9, 5.5, 0});
  expect_near(gear.frame.to_world(Vec3{1.6, 0.45, 0.6}), {1.3, 5.05, 0.6});
  expect_near(cross(gear.frame.u, gear.frame.v), gear.frame.n);
}

TEST(Gear, HasAFreeZoneFromItsBackToTheWall) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_gear(job, "stand", on_wall("Wall front", 1.3), {1.6, 0.45, 0.6}, 0.1);
  add_gear(job, "corner", on_wall("Wall left", 0.0), {0.5, 0.4, 1.0}, 0.05);
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.zones.size(), 2U);
  const Zone& zone = ends.zones[static_cast<std::size_t>(ends.gear[0].zone)];
  for (const Vec3& inside : {Vec3{1.3, 5.5, 0}, Vec3{2.9, 5.6, 0.6}, Vec3{1.2, 5.6, 0.3}})
    EXPECT_TRUE(in_zone(zone, inside));
  for (const Vec3& outside : {Vec3{1.1, 5.55, 0.3}, Vec3{2, 5.4, 0.3}, Vec3{2, 5.55, 0.7}})
    EXPECT_FALSE(in_zone(zone, outside));
  // In the corner the margin ends at the neighbouring wall (y = 0).
  const Zone& corner = ends.zones[static_cast<std::size_t>(ends.gear[1].zone)];
  EXPECT_TRUE(in_zone(corner, {0.02, 0.0, 0.5}));
  EXPECT_FALSE(in_zone(corner, {0.02, -0.01, 0.5}));
  EXPECT_TRUE(in_zone(corner, {0.02, 0.59, 0.5}));
}

TEST(Gear, ZonesComeAfterThoseOfTheRoom) {
  BoxRoom box = box_room(kW, kD, kH);
  box.room.zones.push_back({"behind Curtain", {}, {1, 0.2, 2}, 0, -1, ""});
  Job job;
  add_gear(job, "stand", on_wall("Wall front", 1.3), {1.6, 0.45, 0.6}, 0.1);
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.zones.size(), 2U);
  EXPECT_EQ(ends.zones[0].name, "behind Curtain");
  EXPECT_EQ(ends.gear[0].zone, 1);
}

TEST(Gear, PortsLieApartOnTheBackOfTheirComponent) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  GearSpec& stand = add_gear(job, "stand", on_wall("Wall front", 1.3), {0.5, 0.45, 0.6}, 0.1);
  stand.pull_out_m = 0.6;
  std::vector<std::string> many;
  for (int i = 1; i <= 40; ++i) many.push_back("S" + std::to_string(i));
  add_component(stand, "amp", many);
  add_component(stand, "player", {"out"});
  for (const std::string& port : many) {
    add_end(job, "e" + port, AtPoint{{0, 0.1 + 0.05 * static_cast<double>(job.ends.size()), 1}});
    add_run(job, "r" + port, "amp." + port, "e" + port);
  }
  add_run(job, "link", "player", "amp.S40");
  job.runs[39].from = "amp.S39x";  // an unknown port is told, and takes none
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.port", "/runs/39/from"));
  const GearBox& gear = ends.gear[0];
  std::vector<Vec3> seen;
  for (const End& end : ends.ends) {
    if (end.gear.empty()) continue;
    EXPECT_EQ(end.place.home, (PlaceId{PlaceKind::zone, gear.zone}));
    EXPECT_TRUE(in_zone(ends.zones[static_cast<std::size_t>(gear.zone)], end.place.position));
    EXPECT_EQ(end.pull_out_m, 0.6);
    const Vec3 local = gear.frame.to_local(end.place.position);
    EXPECT_NEAR(local.y, 0, 1e-12);
    EXPECT_EQ(end.id.substr(0, 3) == "amp", local.z < 0.3) << end.id;  // from the bottom up
    for (const Vec3& other : seen) EXPECT_GT(distance(other, end.place.position), 0.015);
    seen.push_back(end.place.position);
  }
  EXPECT_EQ(seen.size(), 41U);
}

TEST(Gear, AtAPointTurnsItsBackToTheNearestWallAndSaysSo) {
  BoxRoom box = box_room(kW, kD, kH);
  add_marker(box, "Rack", {kW - 0.4, 2, 0});
  Job job;
  add_gear(job, "rack", AtMarker{"Rack"}, {0.6, 0.6, 1.2}, 0.05);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  expect_near(ends.gear.at(0).frame.v, {-1, 0, 0});
  expect_near(ends.gear[0].frame.origin, {kW - 0.1, 1.7, 0});
  EXPECT_NEAR(ends.zones[0].size.y, 0.1, 0.006);
  ASSERT_EQ(ends.guesses.size(), 1U);
  EXPECT_NE(ends.guesses[0].value.find("Wall right"), std::string::npos);
}

/// A switch at a height on the back wall.
Ends switch_at(const BoxRoom& box, double up_m) {
  Job job;
  OnPart shelf = on_wall("Wall back", 1.0);
  shelf.up_m = up_m;
  add_gear(job, "switch", shelf, {0.4, 0.2, 0.1}, 0.0);
  Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  expect_near(ends.gear.at(0).frame.origin, {kW - 1.4, 0, up_m});
  return ends;
}

TEST(Gear, OnFeetHasItsZoneDownToTheFloor) {
  const Ends ends = switch_at(box_room(kW, kD, kH), 0.15);
  EXPECT_TRUE(in_zone(ends.zones[0], {kW - 1.2, 0.002, 0.0}));
  EXPECT_TRUE(in_zone(ends.zones[0], {kW - 1.2, 0.002, 0.25}));
}

// Below it is open wall, where cable would be seen: it is no place to let it lie free.
TEST(Gear, ThatHangsOnItsWallHasItsZoneBehindItselfOnly) {
  const Ends ends = switch_at(box_room(kW, kD, kH), 1.5);
  EXPECT_TRUE(in_zone(ends.zones[0], {kW - 1.2, 0.002, 1.6}));
  EXPECT_TRUE(in_zone(ends.zones[0], {kW - 1.2, 0.002, 1.5}));
  EXPECT_FALSE(in_zone(ends.zones[0], {kW - 1.2, 0.002, 1.4}));
}

Ends projector_at(const BoxRoom& box, const Vec3& at) {
  Job job;
  add_gear(job, "projector", AtPoint{at}, {0.4, 0.3, 0.15}, 0.0);
  Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  return ends;
}

// One that hangs nearer to the ceiling than to a wall is wired from above; on a low stand it is
// not.
TEST(Gear, ThatHangsFromTheCeilingHasItsZoneUpToIt) {
  const BoxRoom box = box_room(kW, kD, kH);
  const Ends hung = projector_at(box, {2.1, 1.5, 2.2});
  const Vec3 behind = hung.gear.at(0).frame.to_world(Vec3{0.2, -0.1, 0});
  EXPECT_TRUE(in_zone(hung.zones.at(0), {behind.x, behind.y, kH}));
  EXPECT_TRUE(in_zone(hung.zones[0], {behind.x, behind.y, 2.2}));
  EXPECT_FALSE(in_zone(hung.zones[0], {behind.x, behind.y, 2.1}));
  ASSERT_EQ(hung.guesses.size(), 1U);
  EXPECT_NE(hung.guesses[0].value.find("down from"), std::string::npos);
  const Ends beside_wall = projector_at(box, {2.1, 0.3, 2.2});
  EXPECT_NE(beside_wall.guesses.at(0).value.find("toward Wall back"), std::string::npos);
  const Ends low = projector_at(box, {2.1, 0.8, 1.0});
  EXPECT_NE(low.guesses.at(0).value.find("toward Wall back"), std::string::npos);
}

// A chimney breast on the wall that the rack is to stand at. What only touches it stands beside it.
TEST(Gear, DoesNotStandInAnObstacle) {
  BoxRoom box = box_room(kW, kD, kH);
  add_solid(box, "Chimney", Role::obstacle, {2.0, kD - 0.4, 0}, {2.6, kD, kH});
  add_solid(box, "Table", Role::furniture, {0.2, kD - 0.6, 0}, {1.0, kD, 0.7});
  const auto rack_at = [&](double from_left) {
    Job job;
    add_gear(job, "rack", on_wall("Wall front", from_left), {0.6, 0.45, 1}, 0.1);
    return problems_text(place_ends(box.scene, box.room, job));
  };
  EXPECT_EQ(rack_at(1.39), "");
  EXPECT_EQ(rack_at(2.6), "");
  EXPECT_EQ(rack_at(0.3), "") << "on or in furniture gear may stand";
  for (const double in : {1.5, 2.0, 2.5}) {
    const std::string text = rack_at(in);
    EXPECT_NE(text.find("The gear \"rack\" stands in \"Chimney\""), std::string::npos) << text;
    EXPECT_NE(text.find("2.00 m to 2.60 m of \"Wall front\""), std::string::npos) << text;
  }
}

TEST(Gear, DoesNotStandAllInsideAnObstacleHoweverDeepOrThinItIs) {
  for (const double depth : {0.3, 1.0}) {
    BoxRoom box = box_room(kW, kD, kH);
    add_solid(box, "Chimney", Role::obstacle, {2.0, kD - depth, 0}, {2.9, kD, kH});
    add_solid(box, "Hood", Role::obstacle, {0.2, 0, 1.5}, {1.4, 1.0, kH});
    for (const Vec3& size : {Vec3{0.6, 0.4, 1}, Vec3{0.6, 0.03, 1}, Vec3{0.03, 0.4, 1},
                             Vec3{0.6, 0.4, 0.03}, Vec3{1.2, 0.4, 0.03}}) {
      const auto told_at = [&](const char* wall, double from_left) {
        Job job;
        add_gear(job, "rack", on_wall(wall, from_left), size, 0.05);
        return problems_text(place_ends(box.scene, box.room, job));
      };
      const std::string text = told_at("Wall front", 2.1);
      EXPECT_NE(text.find("The gear \"rack\" stands in \"Chimney\""), std::string::npos)
          << depth << " m deep, gear " << size.x << " x " << size.y << " x " << size.z << text;
      EXPECT_EQ(told_at("Wall back", kW - 1.4), "") << "under the hood";
    }
  }
}

TEST(Gear, ReportsWhatCannotStandThere) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_gear(job, "past the edge", on_wall("Wall front", 3.0), {1.6, 0.45, 0.6}, 0.1);
  add_gear(job, "on the floor", on_wall("Floor", 1.0), {1, 1, 1}, 0);
  add_gear(job, "unknown", on_wall("Wall fornt", 1.0), {1, 1, 1}, 0);
  add_gear(job, "too high", on_wall("Wall left", 0.3), {0.5, 0.5, 9}, 0);
  add_gear(job, "inside", on_wall("Wall left", 0.4), {0.5, 0.5, 1}, 0);
  add_gear(job, "in the wall", AtPoint{{0.1, 3, 0}}, {1, 1, 1}, 0);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.outside", "/gear/0"));
  EXPECT_TRUE(reports(ends, "place.gear", "/gear/1/at"));
  EXPECT_TRUE(reports(ends, "place.part", "/gear/2/at"));
  EXPECT_TRUE(reports(ends, "place.gear", "/gear/3"));
  EXPECT_TRUE(reports(ends, "place.gear", "/gear/4"));
  EXPECT_TRUE(reports(ends, "place.gear", "/gear/5"));
}

}  // namespace
}  // namespace roomloom
