#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "sketch/solids_support.h"

namespace roomloom {
namespace {

RoomSketch plain() { return rectangular_room("Test room", 4, 5, 2.8, 0.2); }

// Walls 0.2 m thick, mitred: the front one is a trapezium of 4 m and 4.4 m, 2.8 m high.
TEST(BuildSketch, BareRoomHasTheVolumesOfItsParts) {
  const Solids solids = built(plain());
  expect_sound(solids);
  EXPECT_EQ(solids.parts.size(), 6U);
  EXPECT_NEAR(part_volume(solids, "Wall front"), 4.2 * 0.2 * 2.8, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Wall left"), 5.2 * 0.2 * 2.8, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Floor"), 4.4 * 5.4 * 0.15, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Slab above"), 4.4 * 5.4 * 0.2, 1e-9);
}

TEST(BuildSketch, FrontWallStandsAtTheFarEndOfYAndTheLeftWallAtX0) {
  const Solids solids = built(plain());
  EXPECT_NEAR(box_of(part_named(solids, "Wall front")).low.y, 5, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall left")).high.x, 0, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall right")).low.x, 4, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall back")).high.y, 0, 1e-9);
}

// Facing the back wall (toward -y) its left edge is at x = 4: a door 0.5 m from there, 0.9 m wide,
// lies between x = 2.6 and x = 3.5.
TEST(BuildSketch, DoorIsWhereItIsSeenFromInside) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door", "Wall back", 0.5, 0.9, 2.1));
  const Solids solids = built(sketch);
  expect_sound(solids);
  const Box3 leaf = box_of(part_named(solids, "Door"));
  expect_near(leaf.low, {2.6, -0.04, 0});
  expect_near(leaf.high, {3.5, 0, 2.1});
  EXPECT_NEAR(part_volume(solids, "Wall back"), (4.2 * 2.8 - 0.9 * 2.1) * 0.2, 1e-9);
  EXPECT_EQ(part_named(solids, "Door").extras.at("hinge"), "left");
  EXPECT_EQ(part_named(solids, "Door").extras.at("swing"), "90 deg");
}

TEST(BuildSketch, FromRightMeasuresToTheRightEdge) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door", "Wall right", 0, 0.8, 2));
  sketch.openings[0].from_left_m.reset();
  sketch.openings[0].from_right_m = 0.3;
  // Facing right (+x) the right edge is at y = 0.
  const Box3 leaf = box_of(part_named(built(sketch), "Door"));
  EXPECT_NEAR(leaf.low.y, 0.3, 1e-9);
  EXPECT_NEAR(leaf.high.y, 1.1, 1e-9);
}

// Inside face 5 x 2.8 less two doors and a window; reveals add their depth times three or four
// sides; ends and feet are worked out from the trapezium 5 to 5.4 by 0.2.
TEST(BuildSketch, WallWithTwoDoorsAndAWindowHasTheAreaOfItsFaces) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door 2", "Wall left", 3.5, 0.9, 2.1));
  sketch.openings.push_back(window("Window", "Wall left", 1.7, 0.9, 1.2, 1.1));
  sketch.openings.push_back(door("Door 1", "Wall left", 0.4, 0.8, 2.0));
  const Solids solids = built(sketch);
  expect_sound(solids);
  double sum = 0;
  for (const SolidFace& face : part_named(solids, "Wall left").faces) sum += face_area(face);
  const double holes = 0.9 * 2.1 + 1.2 * 1.1 + 0.8 * 2.0;
  const double reveals = 0.2 * ((0.9 + 2 * 2.1) + 2 * (1.2 + 1.1) + (0.8 + 2 * 2.0));
  const double ends = 2 * 2.8 * 0.2 * std::sqrt(2);
  const double top = 5.2 * 0.2, foot = (5.2 - 0.9 - 0.8) * 0.2;
  EXPECT_NEAR(sum, 5 * 2.8 + 5.4 * 2.8 - 2 * holes + reveals + ends + top + foot, 1e-9);
}

TEST(BuildSketch, RoundHoleIsASixteenGonMeasuredToItsCentre) {
  RoomSketch sketch = plain();
  OpeningSketch hole;
  hole.name = "Hole";
  hole.kind = OpeningKind::hole;
  hole.wall = "Wall front";
  hole.from_left_m = 1;
  hole.up_m = 0.3;
  hole.diameter_m = 0.1;
  sketch.openings.push_back(hole);
  const Solids solids = built(sketch);
  expect_sound(solids);
  const double area = 8 * 0.05 * 0.05 * std::sin(kPi / 8);
  EXPECT_NEAR(part_volume(solids, "Wall front"), (4.2 * 2.8 - area) * 0.2, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Hole"), area * 0.2, 1e-9);
  expect_near(box_of(part_named(solids, "Hole")).centre(), {1, 5.1, 0.3});
}

TEST(BuildSketch, OneSheetOfTilesHasHolesForWhatIsLetIn) {
  RoomSketch sketch = plain();
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  CeilingThingSketch lamp;
  lamp.name = "Luminaire 1";
  lamp.tile = "B3";
  sketch.ceiling_things.push_back(lamp);
  const Solids solids = built(sketch);
  expect_sound(solids);
  EXPECT_NEAR(part_volume(solids, "Ceiling tiles"), (20 - 0.36) * 0.015, 1e-9);
  // Row B is the second from the rear, column 3 the third from the left.
  expect_near(box_of(part_named(solids, "Luminaire 1")).low, {1.2, 0.6, 2.5});
  expect_near(box_of(part_named(solids, "Luminaire 1")).high, {1.8, 1.2, 2.6});
}

// 4 m / 0.6 m: six whole columns and one of 0.4 m; 5 m / 0.6 m: eight rows and one of 0.2 m.
// B2, B3 share an edge, B3 and C4 a corner: a hole each, and the tee's web between them.
TEST(BuildSketch, NeighboursLetIntoOneSheetOfTilesLeaveItASoundSolid) {
  RoomSketch sketch = plain();
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  for (const std::string tile : {"B2", "B3", "C4"}) {
    CeilingThingSketch lamp;
    lamp.name = "Luminaire " + tile;
    lamp.tile = tile;
    lamp.height_m = 0.1;
    sketch.ceiling_things.push_back(lamp);
  }
  const Solids solids = built(sketch);
  expect_sound(solids);
  EXPECT_NEAR(part_volume(solids, "Ceiling tiles"), (20 - 3 * 0.36) * 0.015, 1e-4);
}

TEST(BuildSketch, TileByTileCoversTheSameAreaInCutTiles) {
  RoomSketch sketch = plain();
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->tile_by_tile = true;
  const Solids solids = built(sketch);
  expect_sound(solids);
  double sum = 0;
  int tiles = 0;
  for (const SolidPart& part : solids.parts) {
    if (part.name.rfind("Tile ", 0) != 0) continue;
    ++tiles;
    sum += volume(part.faces);
  }
  EXPECT_EQ(tiles, 63);
  EXPECT_NEAR(sum, 20 * 0.015, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Tile I7"), 0.4 * 0.2 * 0.015, 1e-9);
}

TEST(BuildSketch, ALuminaireTakesAWholeTileAndAVentLeavesAHoleInOne) {
  RoomSketch sketch = plain();
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->tile_by_tile = true;
  CeilingThingSketch lamp, vent;
  lamp.name = "Luminaire";
  lamp.tile = "C2";
  vent.name = "Vent";
  vent.kind = CeilingThingKind::vent;
  vent.tile = "D4";
  vent.size_m = {0.3, 0.2};
  sketch.ceiling_things = {lamp, vent};
  const Solids solids = built(sketch);
  expect_sound(solids);
  for (const SolidPart& part : solids.parts) EXPECT_NE(part.name, "Tile C2");
  EXPECT_NEAR(part_volume(solids, "Tile D4"), (0.36 - 0.06) * 0.015, 1e-9);
  EXPECT_NEAR(part_volume(solids, "Vent"), 0.06 * 0.1, 1e-9);
}

TEST(Outline, WallsOfDifferentThicknessMeetInAMitre) {
  RoomSketch sketch = plain();
  sketch.walls[1].thickness_m = 0.4;  // right
  const Solids solids = built(sketch);
  expect_sound(solids);
  // Front: 4 m inside, 4 + 0.2 + 0.4 outside.
  EXPECT_NEAR(part_volume(solids, "Wall front"), (4 + 4.6) / 2 * 0.2 * 2.8, 1e-9);
}

// Knees of 1 m at left and right, 45 degrees, 4 m wide, flat at 2.4 m: the gable wall's inside face
// is 4 x 2.4 less two triangles of 1.4 x 1.4.
TEST(Slopes, AtticHasKneeWallsGablesAndSlopes) {
  RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.4, 0.2);
  sketch.deck_name = "Ceiling";
  sketch.slopes = {{"Slope left", "Wall left", 1.0, kPi / 4},
                   {"Slope right", "Wall right", 1.0, kPi / 4}};
  sketch.openings.push_back(window("Window", "Wall front", 1.6, 0.9, 0.8, 1.0));
  const Solids solids = built(sketch);
  expect_sound(solids);
  double inside_face = 0;
  for (const SolidFace& face : part_named(solids, "Wall front").faces)
    if (face_normal(face).y < -0.999 && face.outline[0].y < 5.001 && face.outline.size() >= 4)
      inside_face = std::max(inside_face, face_area(face));
  EXPECT_NEAR(inside_face, 4 * 2.4 - 1.4 * 1.4 - 0.8, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall left")).high.z, 1.0, 1e-9);
  // Flat part of the ceiling: from x = 1.4 to 2.6 over the outer depth.
  EXPECT_NEAR(part_volume(solids, "Ceiling"), 1.2 * 5.4 * 0.2, 1e-9);
  // 1.4 m inside and 0.2 m over the wall, at 45 degrees, 0.2 m thick square to itself.
  EXPECT_NEAR(part_volume(solids, "Slope left"), 1.6 * std::sqrt(2.0) * 0.2 * 5.4, 1e-9);
}

TEST(Slopes, TwoSlopesMeetInARidgeWithoutAFlatCeiling) {
  RoomSketch sketch = rectangular_room("Attic", 4, 5, 4, 0.2);
  sketch.slopes = {{"Slope left", "Wall left", 1.0, kPi / 4},
                   {"Slope right", "Wall right", 1.0, kPi / 4}};
  const Solids solids = built(sketch);
  expect_sound(solids);
  for (const SolidPart& part : solids.parts) EXPECT_NE(part.name, "Slab above");
  EXPECT_NEAR(box_of(part_named(solids, "Wall front")).high.z, 3, 1e-9);
}

TEST(Things, FurnitureStandsOffItsWallAndHollowOnesHaveACavity) {
  RoomSketch sketch = plain();
  BoxSketch cupboard;
  cupboard.name = "Cupboard";
  cupboard.kind = BoxKind::cupboard;
  cupboard.place.wall = "Wall right";
  cupboard.place.from_left_m = 1;
  cupboard.place.off_wall_m = 0.05;
  cupboard.width_m = 1.2;
  cupboard.depth_m = 0.4;
  cupboard.height_m = 2;
  cupboard.board_m = 0.02;
  sketch.boxes.push_back(cupboard);
  const Solids solids = built(sketch);
  expect_sound(solids);
  EXPECT_NEAR(part_volume(solids, "Cupboard"), 1.2 * 0.4 * 2 - 1.16 * 0.36 * 1.96, 1e-9);
  expect_near(box_of(part_named(solids, "Cupboard")).low, {4 - 0.45, 5 - 2.2, 0});
  expect_near(box_of(part_named(solids, "Cupboard")).high, {4 - 0.05, 5 - 1, 2});
}

TEST(Things, FreeSeatIsTurnedAboutItsMiddle) {
  RoomSketch sketch = plain();
  BoxSketch seat;
  seat.name = "Seat";
  seat.kind = BoxKind::seat;
  seat.place.at_m = {2, 2};
  seat.place.turn_rad = kPi / 2;
  seat.width_m = 0.6;
  seat.depth_m = 1;
  seat.height_m = 0.5;
  sketch.boxes.push_back(seat);
  const Solids solids = built(sketch);
  expect_near(box_of(part_named(solids, "Seat")).low, {1.5, 1.7, 0});
  expect_near(box_of(part_named(solids, "Seat")).high, {2.5, 2.3, 0.5});
}

TEST(Things, LinesJoistsAndMarkersAreMade) {
  RoomSketch sketch = plain();
  LineSketch duct;
  duct.name = "Duct supply";
  duct.points = {{0.5, 1, 2.65}, {0.5, 4, 2.65}, {3, 4, 2.65}};
  duct.diameter_m = 0.16;
  LineSketch mains;
  mains.name = "Mains";
  mains.kind = LineUse::mains;
  mains.wall = "Wall left";
  mains.points = {{1, 0.3, 0.01}, {4, 0.3, 0.01}};
  mains.as_line = true;
  sketch.lines = {duct, mains};
  sketch.joists.push_back({});
  MarkerSketch marker;
  marker.name = "Listener";
  marker.place.at_m = {2, 3};
  marker.place.up_m = 1.2;
  sketch.markers.push_back(marker);
  const Solids solids = built(sketch);
  expect_sound(solids);
  EXPECT_NEAR(part_volume(solids, "Duct supply"), 8 * 0.08 * 0.08 * std::sin(kPi / 8) * 5.5, 1e-9);
  // Facing left (-x) the left edge is at y = 0.
  expect_near(part_named(solids, "Mains").points[0], {0.01, 1, 0.3});
  expect_near(part_named(solids, "Listener").points[0], {2, 3, 1.2});
  // Centres at 0.4, 0.8 ... 4.8 m.
  EXPECT_NEAR(part_volume(solids, "Joist 12"), 0.05 * 0.2 * 4, 1e-9);
}

/// An outline of 4 to 12 corners: a regular polygon with each corner moved in or out.
RoomSketch random_room(std::mt19937& random) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  RoomSketch sketch = rectangular_room("Random", 0, 0, between(2.6, 3.4), 0.1);
  sketch.outline = OutlineKind::points;
  sketch.walls.clear();
  const int corners = std::uniform_int_distribution<int>(4, 12)(random);
  for (int i = 0; i < corners; ++i) {
    const double angle = -2 * kPi * i / corners, radius = between(2.5, 5);
    sketch.points_m.push_back({radius * std::cos(angle), radius * std::sin(angle)});
    WallSketch wall;
    wall.name = "Wall " + std::to_string(i + 1);
    wall.thickness_m = between(0.05, 0.3);
    sketch.walls.push_back(wall);
    OpeningSketch opening = i % 2 == 0 ? door("Door " + wall.name, wall.name, 0.4, 0.5, 1.9)
                                       : window("Window " + wall.name, wall.name, 0.4, 0.8, 0.4, 1);
    sketch.openings.push_back(opening);
  }
  return sketch;
}

RoomSketch with_ceiling(RoomSketch sketch, bool tiles) {
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->height_m = 2.3;
  sketch.suspended_ceiling->grid_from_m = {0.123, 0.456};
  sketch.suspended_ceiling->tile_by_tile = tiles;
  return sketch;
}

// Whatever the outline: every part is watertight, and the tiles cover what one sheet covers, which
// is the floor between the walls.
TEST(BuildSketch, RandomOutlinesGiveSoundPartsAndTilesThatCoverTheRoom) {
  int rooms = 0;
  for (unsigned seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    std::mt19937 random(seed);
    const RoomSketch sketch = random_room(random);
    const Result<Solids> sheet = build_sketch(with_ceiling(sketch, false));
    if (!sheet) continue;  // a sharp corner leaves too little wall for its opening
    ++rooms;
    expect_sound(*sheet);
    const Solids tiles = built(with_ceiling(sketch, true));
    expect_sound(tiles);
    double covered = 0;
    for (const SolidPart& part : tiles.parts)
      if (part.name.rfind("Tile ", 0) == 0) covered += volume(part.faces);
    EXPECT_NEAR(covered, part_volume(*sheet, "Ceiling tiles"), 1e-9);
    EXPECT_NEAR(covered, -signed_area(sketch.points_m) * 0.015, 1e-9);
  }
  EXPECT_GT(rooms, 20);
}

TEST(Slopes, RandomRoofsGiveSoundPartsAndCloseTheRoom) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    std::mt19937 random(seed);
    const auto between = [&](double low, double high) {
      return std::uniform_real_distribution<double>(low, high)(random);
    };
    const double width = between(3, 7), depth = between(3, 7);
    RoomSketch sketch = rectangular_room("Roof", width, depth, between(2.2, 5), between(0.05, 0.2));
    for (const WallSketch& wall : sketch.walls)
      if (between(0, 1) < 0.7)
        sketch.slopes.push_back(
            {"Slope of " + wall.name, wall.name, between(0.9, 2), radians(between(15, 60))});
    const Solids solids = built(sketch);
    expect_sound(solids);
    // Seen from above, the ceilings cover what the floor covers.
    double ceilings = 0, floor = 0;
    for (const SolidPart& part : solids.parts)
      for (const SolidFace& face : part.faces) {
        const double level = face_area(face) * face_normal(face).z;
        if (part.layer == "Floor") floor += std::max(level, 0.0);
        if (part.layer == "Ceiling") ceilings += std::max(level, 0.0);
      }
    EXPECT_NEAR(ceilings, floor, 1e-6);
  }
}

TEST(Refusals, EveryMisfitIsToldAtOnceWithTheNearestName) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door 1", "Wall frnt", 0.5, 0.9, 2.1));
  sketch.openings.push_back(door("Door 2", "Wall left", 4.5, 0.9, 2.1));
  sketch.openings.push_back(door("Door 3", "Wall back", 0.5, 0.9, 3.1));
  const std::string text = refusal(sketch);
  EXPECT_NE(text.find("3 things do not fit"), std::string::npos) << text;
  EXPECT_NE(text.find("Did you mean \"Wall front\""), std::string::npos) << text;
  EXPECT_NE(text.find("from 4.500 m to 5.400 m"), std::string::npos) << text;
  EXPECT_NE(text.find("is not below the ceiling"), std::string::npos) << text;
}

TEST(Refusals, OverlappingOpeningsAndEqualNamesAreRefused) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door", "Wall left", 0.5, 0.9, 2.1));
  sketch.openings.push_back(window("Window", "Wall left", 1.2, 1.0, 0.9, 0.9));
  EXPECT_NE(refusal(sketch).find("overlaps \"Door\""), std::string::npos) << refusal(sketch);
  sketch.openings[1] = window("Door", "Wall left", 2, 1.0, 0.9, 0.9);
  EXPECT_NE(refusal(sketch).find("2 things have this name"), std::string::npos) << refusal(sketch);
}

TEST(SceneOf, AGroupOfOneIsLeftOut) {
  RoomSketch sketch = plain();
  sketch.openings.push_back(door("Door", "Wall left", 0.5, 0.9, 2.1));
  EXPECT_EQ(part_named(built(sketch), "Door").group, "");
  sketch.openings.push_back(window("Window", "Wall left", 2, 1, 0.9, 0.9));
  EXPECT_EQ(part_named(built(sketch), "Door").group, "Openings");
}

TEST(SceneOf, NamesGroupsRolesAndClosureArePassedOn) {
  RoomSketch sketch = plain();
  sketch.walls[0].build = Build::masonry;
  const Scene scene = scene_of(built(sketch));
  const auto front = std::find_if(scene.parts.begin(), scene.parts.end(),
                                  [](const Part& part) { return part.name == "Wall front"; });
  ASSERT_NE(front, scene.parts.end());
  EXPECT_EQ(front->path, "Test room/Walls/Wall front");
  EXPECT_EQ(scene.groups[static_cast<std::size_t>(front->parent)].name, "Walls");
  EXPECT_EQ(front->extras.at("is"), "wall");
  EXPECT_EQ(front->extras.at("build"), "masonry");
  EXPECT_EQ(front->closure, Closure::oriented);
  EXPECT_EQ(front->triangle_count, 12U);
}

}  // namespace
}  // namespace roomloom
