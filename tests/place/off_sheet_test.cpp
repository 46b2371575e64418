#include <gtest/gtest.h>

#include "tests_place.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

const Zone* zone_named(const Ends& ends, const std::string& name) {
  for (const Zone& zone : ends.zones)
    if (zone.name == name) return &zone;
  return nullptr;
}

TEST(EndsOffASheet, GetAShortFreeZoneFromTheSheetToThem) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_end(job, "lamp", AtPoint{{0.14, 2, 1.5}}).mount = Mount::on_sheet;
  add_end(job, "plate", AtPoint{{0.03, 3, 1.5}}).mount = Mount::on_sheet;
  add_end(job, "arm", OnPart{"Wall right", 1.0, std::nullopt, 1.5, 0.25});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(problems_text(ends), "");
  const Zone* lamp = zone_named(ends, "off Wall left to lamp");
  ASSERT_NE(lamp, nullptr);
  EXPECT_NEAR(lamp->size.z, 0.145, 1e-9);
  expect_near(lamp->frame.to_world(Vec3{0.05, 0.05, 0}), {0, 2, 1.5});
  EXPECT_NE(zone_named(ends, "off Wall right to arm"), nullptr);
  EXPECT_EQ(zone_named(ends, "off Wall left to plate"), nullptr) << "the wall holds its cable";
}

TEST(EndsOffASheet, TooFarOffAreRefusedInWords) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_end(job, "a", AtPoint{{0.35, 2, 1.5}}).mount = Mount::on_sheet;
  add_end(job, "b", OnPart{"Wall right", 1.0, std::nullopt, 1.5, 0.5});
  add_end(job, "c", AtPoint{{2, 2, 2}}).mount = Mount::on_floor;
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/0/xyz"));
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/1/out"));
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/2/xyz"));
  EXPECT_TRUE(ends.ends.empty());
}

TEST(EndsBehindAFace, AreBroughtToItAndTold) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_end(job, "box", AtPoint{{-0.08, 2, 1.5}}).mount = Mount::on_sheet;
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(problems_text(ends), "");
  expect_near(end_named(ends, "box")->place.position, {0, 2, 1.5});
  ASSERT_EQ(ends.guesses.size(), 1U);
  EXPECT_NE(ends.guesses[0].why.find("0.08 m behind"), std::string::npos);
}

TEST(EndsInThings, AreRefusedByPointAndByMeasure) {
  BoxRoom box = box_room(4, 5, 2.5);
  add_opening(box, "Ceiling", "Luminaire", Role::luminaire, 1, 1, 0.6, 0.6);
  sheet_of(box, "Ceiling").region.holes.clear();  // it hangs under the ceiling, it cuts no hole
  Job job;
  add_end(job, "a", OnPart{"Ceiling", 1.3, std::nullopt, 3.7, 0});
  const Vec3 at = sheet_of(box, "Ceiling").frame.to_world(Vec2{1.3, 1.3});
  add_end(job, "b", AtPoint{at}).mount = Mount::on_sheet;
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.opening", "/ends/0")) << problems_text(ends);
  EXPECT_TRUE(reports(ends, "place.opening", "/ends/1")) << problems_text(ends);
}

TEST(EndsInThings, ADoorThatReachesTheFloorIsNamedThoughItIsANotchOfItsWall) {
  BoxRoom box = box_room(4, 5, 2.5);
  sheet_of(box, "Wall front").region.outline = {{0, 0},   {1, 0}, {1, 2},   {1.9, 2},
                                                {1.9, 0}, {4, 0}, {4, 2.5}, {0, 2.5}};
  add_solid(box, "Door", Role::door, {1, 5, 0}, {1.9, 5.1, 2});
  Job job;
  add_end(job, "a", OnPart{"Wall front", 1.4, std::nullopt, 1.2, 0});
  add_end(job, "b", OnPart{"Wall front", 4.4, std::nullopt, 1.2, 0});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_NE(problems_text(ends).find("lies in Door"), std::string::npos) << problems_text(ends);
  EXPECT_NE(problems_text(ends).find("from_left 0.95 m"), std::string::npos) << problems_text(ends);
  EXPECT_NE(problems_text(ends).find("it is 4.00 m wide"), std::string::npos);
}

TEST(GearThatFails, IsToldOnceAndItsRunsAreNot) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_component(add_gear(job, "rack", AtPoint{{50, 2, 0}}, {0.6, 0.4, 0.8}, 0.05), "amp", {"1"});
  add_end(job, "e", AtGear{"amp", "1"});
  add_run(job, "R", "amp.1", "M+030");
  add_run(job, "Q", "rack", "e");
  set_listener(job, {2, 2, 1.2});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(ends.problems.size(), 1U) << problems_text(ends);
  EXPECT_TRUE(reports(ends, "place.outside", "/gear/0"));
}

TEST(GearAtAPoint, InAWallSaysWhereItWouldStand) {
  const BoxRoom box = box_room(4, 5, 2.5);
  Job job;
  add_gear(job, "rack", AtPoint{{0.1, 2, 0}}, {0.6, 0.4, 0.8}, 0.05);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_NE(problems_text(ends).find("x 0.20 m, y 2.00 m"), std::string::npos)
      << problems_text(ends);
}

TEST(GearAtAPoint, FarFromEveryWallStandsFreeWithALittleSpaceBehind) {
  BoxRoom box = box_room(4, 5, 2.5);
  for (const bool walls : {true, false}) {
    if (!walls)
      std::erase_if(box.room.sheets, [](const Sheet& s) { return s.role == SheetRole::wall; });
    Job job;
    add_gear(job, "rack", AtPoint{{2, 2.2, 0}}, {0.6, 0.4, 0.8}, 0.05);
    const Ends ends = place_ends(box.scene, box.room, job);
    ASSERT_EQ(problems_text(ends), "");
    ASSERT_EQ(ends.zones.size(), 1U);
    EXPECT_NEAR(ends.zones[0].size.y, 0.105, 1e-9);
    ASSERT_EQ(ends.guesses.size(), 1U);
    EXPECT_EQ(ends.guesses[0].value, "over the floor");
  }
}

}  // namespace
}  // namespace roomloom
