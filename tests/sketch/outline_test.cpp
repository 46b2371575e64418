#include <gtest/gtest.h>

#include <cmath>
#include <utility>
#include <vector>

#include "sketch/solids_support.h"

// Outlines by walls and by corners.

namespace roomloom {
namespace {

RoomSketch by_walls(const std::vector<std::pair<double, double>>& lengths_and_corners) {
  RoomSketch sketch = rectangular_room("Test room", 0, 0, 2.5, 0.1);
  sketch.outline = OutlineKind::walls;
  sketch.walls.clear();
  for (const auto& [length, corner] : lengths_and_corners) {
    WallSketch wall;
    wall.name = "Wall " + std::to_string(sketch.walls.size() + 1);
    wall.length_m = length;
    wall.corner_rad = radians(corner);
    wall.thickness_m = 0.1;
    sketch.walls.push_back(wall);
  }
  return sketch;
}

// An L of 5 x 4 less a corner of 2 x 1.5.
TEST(Outline, LShapeClosesAndHasItsArea) {
  const Solids solids =
      built(by_walls({{3, 90}, {1.5, 270}, {2, 90}, {2.5, 90}, {5, 90}, {4, 90}}));
  expect_sound(solids);
  // The inside faces of floor and slab are not parts; the slab's footprint is inside + walls.
  const double inside = 5 * 4 - 2 * 1.5, perimeter = 18;
  EXPECT_NEAR(part_volume(solids, "Slab above"), (inside + perimeter * 0.1 + 0.04) * 0.2, 1e-9);
}

// Walls with a bay of three at 45 degrees: 1 m out, depth 1 m, mouth 3 m in a wall of 5 m.
TEST(Outline, BayAt45DegreesCloses) {
  const double slant = std::sqrt(2.0);
  const Solids solids = built(by_walls(
      {{1, 225}, {slant, 135}, {1, 135}, {slant, 225}, {1, 90}, {4, 90}, {5, 90}, {4, 90}}));
  expect_sound(solids);
  // The bay's flat wall is the farthest to the front: at y = 4 + 1.
  EXPECT_NEAR(box_of(part_named(solids, "Wall 3")).low.y, 5, 1e-9);
  EXPECT_NEAR(box_of(part_named(solids, "Wall 1")).high.x, 1, 1e-9);
}

// A regular hexagon of side s: area 3 sqrt(3)/2 s^2; its walls t thick: 6 s t + 2 sqrt(3) t^2.
TEST(Outline, SixSidedRoomHasTheAreaOfAHexagon) {
  const Solids solids =
      built(by_walls({{2, 120}, {2, 120}, {2, 120}, {2, 120}, {2, 120}, {2, 120}}));
  expect_sound(solids);
  const double inside = 1.5 * std::sqrt(3.0) * 4;
  const double walls = 6 * 2 * 0.1 + 2 * std::sqrt(3.0) * 0.01;
  EXPECT_NEAR(part_volume(solids, "Floor"), (inside + walls) * 0.15, 1e-9);
}

TEST(Outline, AGapIsReportedWithItsDirection) {
  const std::string text = refusal(by_walls({{4, 90}, {3, 90}, {4.05, 90}, {3, 90}}));
  EXPECT_NE(text.find("do not close"), std::string::npos) << text;
  EXPECT_NE(text.find("0.050 m left of"), std::string::npos) << text;
}

TEST(Outline, ASmallGapIsSpreadAndTold) {
  const Solids solids = built(by_walls({{4, 90}, {3, 90}, {4.006, 90}, {3, 90}}));
  expect_sound(solids);
  ASSERT_EQ(solids.notes.size(), 1U);
  EXPECT_EQ(solids.notes[0].code, "sketch.spread-gap");
  EXPECT_NE(solids.notes[0].text.find("0.006 m"), std::string::npos);
}

TEST(Outline, TheLastWallMayBeLeftToCloseIt) {
  const Solids solids = built(by_walls({{4, 90}, {3, 90}, {4, 90}, {0, 90}}));
  expect_sound(solids);
  EXPECT_TRUE(solids.notes.empty());
}

// From (2, -3) to (0, 0): 3.606 m; the angle with a wall along x has the tangent 3/2, 56.3 degrees,
// and inside the room 180 less that.
TEST(Outline, TheWallThatClosesItTellsTheAngleThatItMakesOtherwiseThanWritten) {
  const Solids solids = built(by_walls({{4, 90}, {3, 90}, {2, 120}, {0, 90}}));
  expect_sound(solids);
  ASSERT_EQ(solids.notes.size(), 1U);
  EXPECT_EQ(solids.notes[0].code, "sketch.closing-wall");
  EXPECT_NE(solids.notes[0].text.find("3.606 m long and makes 123.7 deg with \"Wall 3\" where "
                                      "120.0 deg is written"),
            std::string::npos)
      << solids.notes[0].text;
}

// The ends of the bay are written as inside corners.
TEST(Outline, AnglesThatContradictTheClosingWallAreRefused) {
  const double slant = std::sqrt(2.0);
  const std::string text = refusal(by_walls(
      {{5, 90}, {4, 90}, {1, 135}, {slant, 135}, {1, 135}, {slant, 135}, {1, 90}, {0, 90}}));
  EXPECT_NE(text.find("to close the outline"), std::string::npos) << text;
  EXPECT_NE(text.find("225 deg at the ends of a bay"), std::string::npos) << text;
}

// An alcove 2 m wide: the walls at its sides lie in one line.
TEST(Outline, AnAlcoveGivenByItsCornersIsNoCrossing) {
  RoomSketch sketch = by_walls(std::vector<std::pair<double, double>>(8, {1, 90}));
  sketch.outline = OutlineKind::points;
  sketch.points_m = {{0, 4}, {1, 4}, {1, 5}, {3, 5}, {3, 4}, {4, 4}, {4, 0}, {0, 0}};
  expect_sound(built(sketch));
}

TEST(Outline, WallsThatOverlapOrTouchAreACrossing) {
  RoomSketch sketch = by_walls(std::vector<std::pair<double, double>>(8, {1, 90}));
  sketch.outline = OutlineKind::points;
  // A wall that comes back over another, and a corner that touches one.
  sketch.points_m = {{0, 4}, {4, 4}, {4, 2}, {1, 2}, {1, 3}, {3, 3}, {3, 2}, {0, 2}};
  EXPECT_NE(refusal(sketch).find("crosses itself"), std::string::npos);
  sketch.points_m = {{0, 4}, {1, 4}, {2, 0}, {3, 4}, {4, 4}, {4, 0}, {2, 0}, {0, 0}};
  EXPECT_NE(refusal(sketch).find("crosses itself"), std::string::npos);
}

}  // namespace
}  // namespace roomloom
