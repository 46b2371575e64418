#include <algorithm>

#include "geometry/polygon.h"
#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

BoxSketch box_at(const std::string& name, BoxKind kind, const std::string& wall, double from_left,
                 double width, double depth, double height) {
  BoxSketch box;
  box.name = name;
  box.kind = kind;
  box.place.wall = wall;
  box.place.from_left_m = from_left;
  box.width_m = width;
  box.depth_m = depth;
  box.height_m = height;
  return box;
}

TEST(KeepOuts, DoorsAndWindowsAreKeptClearWithTheirFrames) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  sketch.openings.push_back(door("Door", "Wall back", 0.4, 0.9, 2.1));
  sketch.openings.push_back(window("Window", "Wall left", 1.0, 0.9, 1.2, 1.1));
  const Room room = room_from(scene_from(sketch));
  const Sheet* back = sheet_named(room, "Wall back");
  ASSERT_NE(back, nullptr);
  ASSERT_EQ(back->keep_outs.size(), 1U);
  EXPECT_EQ(back->keep_outs[0].name, "Door");
  EXPECT_EQ(back->keep_outs[0].what, Role::door);
  EXPECT_NEAR(std::abs(signed_area(back->keep_outs[0].ring)), 0.9 * 2.1, 0.02);
  const Sheet* left = sheet_named(room, "Wall left");
  ASSERT_NE(left, nullptr);
  ASSERT_EQ(left->keep_outs.size(), 1U);
  EXPECT_EQ(left->keep_outs[0].name, "Window");
}

TEST(KeepOuts, FurnitureCloseToAWallLeavesItsOutlineThere) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  BoxSketch shelf = box_at("Shelf", BoxKind::furniture, "Wall right", 1.0, 1.2, 0.4, 2.0);
  shelf.place.off_wall_m = 0.03;
  sketch.boxes.push_back(shelf);
  BoxSketch far = box_at("Table", BoxKind::furniture, "Wall right", 3.0, 1.2, 0.6, 0.7);
  far.place.off_wall_m = 0.5;
  sketch.boxes.push_back(far);
  const Room room = room_from(scene_from(sketch));
  const Sheet* right = sheet_named(room, "Wall right");
  ASSERT_NE(right, nullptr);
  ASSERT_EQ(right->keep_outs.size(), 1U);
  EXPECT_EQ(right->keep_outs[0].name, "Shelf");
  EXPECT_NEAR(std::abs(signed_area(right->keep_outs[0].ring)), 1.2 * 2.0, 0.02);
  double low = 9;
  for (const Vec2& p : right->keep_outs[0].ring) low = std::min(low, p.x);
  EXPECT_NEAR(low, 1.0, 0.003);  // measured from the left as seen from inside
  const Sheet* floor = sheet_named(room, "Floor");
  ASSERT_NE(floor, nullptr);
  EXPECT_EQ(floor->keep_outs.size(), 2U);
}

TEST(KeepOuts, BodiesThatAConverterNumberedAreOneThingAndPanesOfOneWindowOneOpening) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  const std::string names[] = {"Cabinet#404", "Cabinet#405"};
  for (int i = 0; i < 2; ++i) {
    BoxSketch board =
        box_at(names[i], BoxKind::furniture, "Wall right", 1.0 + 0.4 * i, 0.4, 0.4, 2);
    board.place.off_wall_m = 0.03;
    sketch.boxes.push_back(board);
  }
  sketch.openings.push_back(window("Pane a", "Wall left", 1.0, 0.9, 0.6, 1.1));
  sketch.openings.push_back(window("Pane b", "Wall left", 1.69, 0.9, 0.6, 1.1));
  sketch.openings.push_back(window("Far window", "Wall left", 3.5, 0.9, 0.6, 1.1));
  const Room room = room_from(scene_from(sketch));
  const Sheet* right = sheet_named(room, "Wall right");
  ASSERT_NE(right, nullptr);
  ASSERT_EQ(right->keep_outs.size(), 1U);
  EXPECT_EQ(right->keep_outs[0].name, "Cabinet");
  const Sheet* left = sheet_named(room, "Wall left");
  ASSERT_NE(left, nullptr);
  ASSERT_EQ(left->keep_outs.size(), 2U) << "no cable passes the 90 mm between the panes";
  std::set<std::string> named;
  for (const SheetKeepOut& keep_out : left->keep_outs) named.insert(keep_out.name);
  EXPECT_EQ(named, (std::set<std::string>{"Pane a", "Far window"}));
}

TEST(Bays, AStudWallIsDividedByStudsAndBlocking) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  Job job;
  job.parts = {rule("Wall left", Role::wall)};
  job.parts[0].build = Build::stud;
  job.parts[0].stud_pitch_m = 0.4;
  job.parts[0].blocking_m = {1.2};
  const Room room = room_from(scene_from(sketch), job);
  // 5.6 m / 0.4 m = 14 bays, each parted once by the blocking.
  const auto bays = std::count_if(room.voids.begin(), room.voids.end(),
                                  [](const Void& v) { return v.kind == VoidKind::bay; });
  EXPECT_EQ(bays, 28);
  int plates = 0, holes = 0;
  for (const Crossing& crossing : room.crossings) {
    plates += crossing.kind == CrossingKind::wall_plate;
    holes += crossing.kind == CrossingKind::plate_hole;
  }
  EXPECT_EQ(plates, 28);
  EXPECT_EQ(holes, 14);  // only the upper ones reach the plenum
  for (const Void& bay : room.voids) {
    if (bay.kind != VoidKind::bay) continue;
    EXPECT_TRUE(bay.upright_only);
    const Vec3 middle = bay.frame.to_world(centroid(bay.plan.outline), 0.5 * bay.height_m);
    EXPECT_LT(middle.x, 0);  // in the wall, behind the board
    EXPECT_NEAR(bay.frame.n.z, 1, 1e-9);
  }
}

TEST(Bays, UnderASlopeTheyEndWhereTheWallEnds) {
  RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.6);
  SlopeSketch slope;
  slope.name = "Slope left";
  slope.wall = "Wall left";
  slope.knee_m = 1;
  slope.pitch_rad = radians(45);
  sketch.slopes.push_back(slope);
  Job job;
  job.parts = {rule("Wall front", Role::wall)};
  job.parts[0].build = Build::stud;
  job.parts[0].stud_pitch_m = 0.4;
  const Room room = room_from(scene_from(sketch), job);
  double lowest = 9, highest = 0;
  for (const Void& bay : room.voids) {
    lowest = std::min(lowest, bay.height_m);
    highest = std::max(highest, bay.height_m);
  }
  EXPECT_LT(lowest, 1.2);  // at the knee
  EXPECT_GT(highest, 2.4);
}

TEST(Bays, MasonryAndOutsideWallsHaveNoneUnlessTheJobSaysSo) {
  const Scene scene = scene_from(rectangular_room("Box", 4.2, 5.6, 2.9));
  Job job;
  job.parts = {rule("Wall *", Role::wall)};
  job.parts[0].build = Build::outside;
  job.parts[0].stud_pitch_m = 0.4;
  EXPECT_TRUE(room_from(scene, job).voids.empty());
  job.parts[0].fishable = true;
  EXPECT_FALSE(room_from(scene, job).voids.empty());
}

TEST(Places, BehindACurtainCablesAreHidden) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  BoxSketch curtain = box_at("Curtain", BoxKind::curtain, "Wall front", 0.1, 4.0, 0.04, 2.4);
  curtain.place.off_wall_m = 0.3;
  sketch.boxes.push_back(curtain);
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.zones.size(), 1U);
  const Zone& zone = room.zones[0];
  EXPECT_NEAR(zone.size.x, 4.0, 1e-3);
  EXPECT_NEAR(zone.size.z, 0.3, 1e-3);
  EXPECT_EQ(zone.visible, 0);
  const Vec3 middle = zone.frame.to_world(0.5 * zone.size);
  EXPECT_NEAR(distance(middle, {2.1, 5.45, 1.2}), 0, 1e-3);
}

TEST(Places, DoorsSweepTheFloorBeforeThemAndMainsAreLines) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  OpeningSketch leaf = door("Door", "Wall back", 0.4, 0.9, 2.1);
  leaf.swing_rad = kPi / 2;
  sketch.openings.push_back(leaf);
  LineSketch mains;
  mains.name = "Mains";
  mains.kind = LineUse::mains;
  mains.points = {{0.02, 1, 0.3}, {0.02, 4, 0.3}};
  mains.diameter_m = 0.02;
  sketch.lines.push_back(mains);
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.swept.size(), 1U);
  EXPECT_EQ(room.swept[0].kind, MovingKind::door);
  const Box3 swept = box_of(room.swept[0].space);
  EXPECT_NEAR(swept.size().y, 0.9, 0.02);
  EXPECT_NEAR(swept.low.y, 0, 0.02);
  // Hinged at the left as seen from inside, which for the back wall is the side of high x.
  EXPECT_TRUE(contains(room.swept[0].space, {3.75, 0.85, 1}));
  EXPECT_FALSE(contains(room.swept[0].space, {2.95, 0.85, 1}));
  ASSERT_EQ(room.power.size(), 1U);
  EXPECT_NEAR(distance(room.power[0].from, room.power[0].to), 3.0, 1e-3);
  EXPECT_NEAR(room.power[0].separation_m, 0.3, 1e-9);
}

// Elboken 2017 p528, after EN 50174-2: 600 mm beside more than 75 circuits; half of it if screened.
TEST(Places, MainsOfManyCircuitsAreKeptFartherAway) {
  const auto kept_m = [](int circuits, const Job& job) {
    RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
    LineSketch mains;
    mains.name = "Mains";
    mains.kind = LineUse::mains;
    mains.points = {{0.02, 1, 0.3}, {0.02, 4, 0.3}};
    mains.diameter_m = 0.02;
    mains.circuits = circuits;
    sketch.lines.push_back(mains);
    return room_from(scene_from(sketch), job).power.at(0).separation_m;
  };
  Job job;
  EXPECT_NEAR(kept_m(0, job), 0.3, 1e-9);
  EXPECT_NEAR(kept_m(9, job), 0.3, 1e-9) << "the wish is more than the standard asks";
  EXPECT_NEAR(kept_m(76, job), 0.6, 1e-9);
  PartRule rule;
  rule.match = "Mains";
  rule.role = Role::power;
  rule.screened = true;
  job.parts = {rule};
  EXPECT_NEAR(kept_m(76, job), 0.3, 1e-9);
  job.parts[0].clearance_m = 0.1;
  EXPECT_NEAR(kept_m(76, job), 0.1, 1e-9) << "the job's own word";
}

TEST(Places, AConduitHasItsMouthsAtSheets) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  LineSketch conduit;
  conduit.name = "Conduit";
  conduit.kind = LineUse::conduit;
  conduit.points = {{0.0, 2, 0.4}, {4.2, 2, 0.4}};
  conduit.diameter_m = 0.032;
  conduit.inside_diameter_m = 0.025;
  sketch.lines.push_back(conduit);
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.conduits.size(), 1U);
  EXPECT_NEAR(room.conduits[0].inside_diameter_m, 0.025, 1e-9);
  ASSERT_EQ(room.conduits[0].mouths.size(), 2U);
  for (const PlaceId& mouth : room.conduits[0].mouths) EXPECT_EQ(mouth.kind, PlaceKind::sheet);
  EXPECT_NE(room.conduits[0].mouths[0], room.conduits[0].mouths[1]);
}

TEST(Places, AHoleInTheCeilingLeadsIntoThePlenum) {
  RoomSketch sketch = rectangular_room("Box", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  CeilingThingSketch hole;
  hole.name = "Old hole";
  hole.kind = CeilingThingKind::hole;
  hole.at_m = {1.5, 1.5};
  hole.diameter_m = 0.04;
  sketch.ceiling_things.push_back(hole);
  const Room room = room_from(scene_from(sketch));
  const auto found = std::find_if(room.crossings.begin(), room.crossings.end(),
                                  [](const Crossing& c) { return c.existing; });
  ASSERT_NE(found, room.crossings.end());
  EXPECT_EQ(found->kind, CrossingKind::existing_hole);
  EXPECT_EQ(found->to.kind, PlaceKind::void_space);
  EXPECT_NEAR(found->largest_diameter_m, 0.04, 1e-6);
  const auto spared = std::count_if(room.crossings.begin(), room.crossings.end(),
                                    [](const Crossing& c) { return !c.keep_outs.empty(); });
  EXPECT_EQ(spared, 1);  // its tile can be cut elsewhere
}

}  // namespace
}  // namespace roomloom
