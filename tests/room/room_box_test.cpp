#include "geometry/polygon.h"
#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

// 4.2 m wide (x), 5.6 m deep (y), 2.9 m high.
Scene bare_box() { return scene_from(rectangular_room("Box", 4.2, 5.6, 2.9)); }

TEST(BoxRoom, HasSixSheetsOfTheMeasuredAreas) {
  const Room room = room_from(bare_box());
  ASSERT_EQ(room.sheets.size(), 6U);
  const auto area_of = [&](const char* name) {
    const Sheet* sheet = sheet_named(room, name);
    return sheet ? area(sheet->region) : 0.0;
  };
  EXPECT_NEAR(area_of("Wall front"), 4.2 * 2.9, 1e-4);
  EXPECT_NEAR(area_of("Wall back"), 4.2 * 2.9, 1e-4);
  EXPECT_NEAR(area_of("Wall left"), 5.6 * 2.9, 1e-4);
  EXPECT_NEAR(area_of("Wall right"), 5.6 * 2.9, 1e-4);
  EXPECT_NEAR(area_of("Floor"), 4.2 * 5.6, 1e-4);
  EXPECT_NEAR(area_of("Slab above"), 4.2 * 5.6, 1e-4);
  EXPECT_NEAR(room.floor_z_m, 0, 1e-9);
  EXPECT_NEAR(distance(room.box.high, {4.2, 5.6, 2.9}), 0, 1e-5);
}

TEST(BoxRoom, NormalsLookIntoTheRoomAndWallsReadLeftToRight) {
  const Room room = room_from(bare_box());
  const Vec3 middle{2.1, 2.8, 1.45};
  for (const Sheet& sheet : room.sheets) {
    EXPECT_GT(sheet.frame.height(middle), 1) << sheet.name;
    EXPECT_NEAR(distance(cross(sheet.frame.u, sheet.frame.v), sheet.frame.n), 0, 1e-12);
  }
  const Sheet* front = sheet_named(room, "Wall front");
  ASSERT_NE(front, nullptr);  // seen from inside, looking along +y, +x is to the right
  EXPECT_NEAR(distance(front->frame.u, {1, 0, 0}), 0, 1e-9);
  EXPECT_NEAR(distance(front->frame.v, {0, 0, 1}), 0, 1e-9);
  EXPECT_NEAR(distance(front->frame.origin, {0, 5.6, 0}), 0, 1e-5);
  const Sheet* back = sheet_named(room, "Wall back");
  ASSERT_NE(back, nullptr);
  EXPECT_NEAR(distance(back->frame.u, {-1, 0, 0}), 0, 1e-9);
  const Sheet* floor = sheet_named(room, "Floor");
  ASSERT_NE(floor, nullptr);
  EXPECT_NEAR(distance(floor->frame.u, {1, 0, 0}), 0, 1e-9);
}

TEST(BoxRoom, HasTwelveInsideCornersAsSeams) {
  const Room room = room_from(bare_box());
  EXPECT_EQ(room.seams.size(), 12U);
  double length = 0;
  for (const Seam& seam : room.seams) {
    EXPECT_NEAR(seam.dihedral_rad, kPi / 2, 1e-6);
    EXPECT_FALSE(seam.convex);
    EXPECT_EQ(seam.gap_m, 0);
    length += distance(seam.from, seam.to);
  }
  EXPECT_NEAR(length, 4 * (4.2 + 5.6 + 2.9), 1e-3);
  EXPECT_TRUE(room.warnings.empty());
}

TEST(BoxRoom, TurningAndMovingItKeepsAreasAndSeams) {
  const Scene scene = bare_box();
  for (const double angle : {0.3, 1.0, 2.5}) {
    const Room room = room_from(turned(scene, angle, {13, -7, 2}));
    ASSERT_EQ(room.sheets.size(), 6U) << angle;
    const Sheet* left = sheet_named(room, "Wall left");
    ASSERT_NE(left, nullptr);
    EXPECT_NEAR(area(left->region), 5.6 * 2.9, 1e-4);
    EXPECT_EQ(room.seams.size(), 12U);
    EXPECT_NEAR(room.floor_z_m, 2, 1e-3);
  }
}

TEST(BoxRoom, ADoorLeavesANotchAndAWindowAHole) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  sketch.openings.push_back(door("Door", "Wall back", 0.4, 0.9, 2.1));
  sketch.openings.push_back(window("Window", "Wall left", 1.0, 0.9, 1.2, 1.1));
  const Room room = room_from(scene_from(sketch));
  const Sheet* back = sheet_named(room, "Wall back");
  ASSERT_NE(back, nullptr);
  EXPECT_NEAR(area(back->region), 4.2 * 2.9 - 0.9 * 2.1, 1e-3);
  EXPECT_TRUE(back->region.holes.empty());
  const Sheet* left = sheet_named(room, "Wall left");
  ASSERT_NE(left, nullptr);
  ASSERT_EQ(left->region.holes.size(), 1U);
  EXPECT_NEAR(area(left->region), 5.6 * 2.9 - 1.2 * 1.1, 1e-3);
  EXPECT_EQ(room.sheets.size(), 6U);  // reveals are no places for cables
}

TEST(BoxRoom, AnOpenDoorwayIsClosedForTheAir) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  OpeningSketch passage = door("Passage", "Wall back", 0.4, 0.9, 2.1);
  passage.kind = OpeningKind::passage;
  sketch.openings.push_back(passage);
  const Room room = room_from(scene_from(sketch));
  ASSERT_GE(room.main_air, 0);
  const Air& air = room.airs[static_cast<std::size_t>(room.main_air)];
  EXPECT_TRUE(air.open_sides.empty());
  EXPECT_NEAR(air.volume_m3, 4.2 * 5.6 * 2.9, 0.03 * 4.2 * 5.6 * 2.9);
}

TEST(BoxRoom, RulesWinOverNamesAndIdleRulesAreTold) {
  Job job;
  job.parts = {rule("WALL FR*", Role::wall), rule("Duct *", Role::obstacle)};
  job.parts[0].build = Build::stud;
  job.parts[1].pointer = "/parts/1";
  const Room room = room_from(bare_box(), job);
  const Sheet* front = sheet_named(room, "Wall front");
  ASSERT_NE(front, nullptr);
  EXPECT_EQ(front->build, Build::stud);
  ASSERT_EQ(room.warnings.size(), 1U);
  EXPECT_NE(room.warnings[0].find("/parts/1"), std::string::npos);
}

TEST(BoxRoom, AMissingWallBecomesAnOpenSide) {
  Scene scene = bare_box();
  for (Part& part : scene.parts)
    if (part.name == "Wall right") part.kind = PartKind::marker;  // as if it were not modelled
  const Room room = room_from(scene);
  ASSERT_GE(room.main_air, 0);
  const Air& air = room.airs[static_cast<std::size_t>(room.main_air)];
  EXPECT_EQ(air.open_sides.size(), 1U);
  const Sheet* open = sheet_named(room, "Open side 1");
  ASSERT_NE(open, nullptr);
  EXPECT_FALSE(open->fixable);
  EXPECT_EQ(sheet_named(room, "Wall right"), nullptr);
  EXPECT_NE(sheet_named(room, "Wall left"), nullptr);
}

TEST(BoxRoom, AWrongSceneIsAnErrorNotACrash) {
  EXPECT_EQ(understand_room({}, {}).error().code, "room.no-parts");
  Scene scene = bare_box();
  scene.triangles[0][1] = 9'000'000;
  EXPECT_EQ(understand_room(scene, {}).error().code, "room.bad-scene");
  Job job;
  job.model.seed = Vec3{500, 0, 0};
  EXPECT_EQ(understand_room(bare_box(), job).error().code, "room.bad-seed");
}

}  // namespace
}  // namespace roomloom
