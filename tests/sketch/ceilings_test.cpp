#include <gtest/gtest.h>

#include "sketch/solids_support.h"

namespace roomloom {
namespace {

// A raft of 2.4 x 3 m: the rectangle is cut off at the walls, an outline must lie in the room.
TEST(SuspendedCeiling, OverAPartOfTheRoomIsARectangleOrAnOutline) {
  RoomSketch sketch = rectangular_room("Test room", 4, 5, 2.8, 0.2);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->over_m = {{4.5, 1}, {1.6, 4}};
  const Solids raft = built(sketch);
  expect_sound(raft);
  EXPECT_NEAR(part_volume(raft, "Ceiling tiles"), 2.4 * 3 * 0.015, 1e-9);
  expect_near(box_of(part_named(raft, "Ceiling tiles")).low, {1.6, 1, 2.5});
  sketch.suspended_ceiling->over_m = {{0, 5}, {3, 5}, {3, 2}, {1.5, 2}, {1.5, 3.5}, {0, 3.5}};
  sketch.suspended_ceiling->tile_by_tile = true;
  const Solids outlined = built(sketch);
  expect_sound(outlined);
  double volume = 0;
  for (const SolidPart& part : outlined.parts)
    if (part.name.rfind("Tile ", 0) == 0) volume += roomloom::volume(part.faces);
  EXPECT_NEAR(volume, (3 * 1.5 + 1.5 * 1.5) * 0.015, 1e-9);
  sketch.suspended_ceiling->over_m[1] = {4.2, 5};
  EXPECT_NE(refusal(sketch).find("beyond the room's walls"), std::string::npos) << refusal(sketch);
  sketch.suspended_ceiling->over_m = {{0, 0}, {3, 3}, {3, 0}, {0, 3}};
  EXPECT_NE(refusal(sketch).find("crosses itself"), std::string::npos) << refusal(sketch);
  sketch.suspended_ceiling->over_m = {{6, 6}, {7, 7}};
  EXPECT_NE(refusal(sketch).find("Nothing of the room"), std::string::npos) << refusal(sketch);
}

// Knees of 1 m, 45 degrees: at 2 m the slopes are 1 m from the walls, at the tiles' upper face
// 15 mm more; the edge between is bevelled. Volume of the slab: the mean of both faces' areas.
TEST(SuspendedCeiling, UnderSlopesEndsWhereItMeetsThem) {
  for (const bool tiles : {false, true}) {
    RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.8, 0.2);
    sketch.slopes = {{"Slope left", "Wall left", 1.0, kPi / 4},
                     {"Slope back", "Wall back", 1.0, kPi / 4}};
    sketch.suspended_ceiling = SuspendedCeilingSketch{};
    sketch.suspended_ceiling->height_m = 2;
    sketch.suspended_ceiling->tile_by_tile = tiles;
    const Solids solids = built(sketch);
    expect_sound(solids);
    double sum = 0;
    Box3 box;
    for (const SolidPart& part : solids.parts) {
      if (part.extras.count("is") == 0 || part.extras.at("is") != "suspended ceiling") continue;
      sum += volume(part.faces);
      for (const SolidFace& face : part.faces)
        for (const Vec3& p : face.outline) box.add(p);
    }
    const double t = 0.015;  // of (3 - x)(4 - x) over x = 0..t
    EXPECT_NEAR(sum, 12 * t - 7 * t * t / 2 + t * t * t / 3, tiles ? 2e-5 : 1e-9);
    expect_near(box.low, {1, 1, 2}, 1e-6);
    expect_near(box.high, {4, 5, 2.015}, 1e-6);
  }
}

// Wherever the grid lies, what a slope cuts off a tile is a sound solid or none.
TEST(SuspendedCeiling, UnderSlopesIsOfSoundTilesWhereverTheGridLies) {
  for (int i = 0; i < 40; ++i) {
    RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.8, 0.2);
    sketch.slopes = {{"Slope left", "Wall left", 1.0, radians(20 + i)},
                     {"Slope back", "Wall back", 1.2, radians(55 - i)}};
    sketch.suspended_ceiling = SuspendedCeilingSketch{};
    sketch.suspended_ceiling->height_m = 2;
    sketch.suspended_ceiling->tile_by_tile = i % 2 == 0;
    sketch.suspended_ceiling->grid_from_m = {0.0131 * i, 0.0173 * i};
    SCOPED_TRACE(i);
    expect_sound(built(sketch));
  }
}

// The slope meets the tiles 1 m from the wall, 10 micrometres before a line of the grid: no tile is
// left of that line, so the first one there is stands in column 1.
TEST(SuspendedCeiling, UnderASlopeCountsTilesFromTheFirstThatThereIs) {
  RoomSketch sketch = rectangular_room("Attic", 4, 5, 2.8, 0.2);
  sketch.slopes = {{"Slope left", "Wall left", 1.0, kPi / 4}};
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->height_m = 2;
  sketch.suspended_ceiling->tile_by_tile = true;
  sketch.suspended_ceiling->grid_from_m = {1.00001, 0};
  double left = 10, first = 10;
  for (const SolidPart& part : built(sketch).parts)
    for (const SolidFace& face : part.faces)
      for (const Vec3& p : face.outline) {
        if (part.name.rfind("Tile ", 0) == 0) left = std::min(left, p.x);
        if (part.name == "Tile A1") first = std::min(first, p.x);
      }
  EXPECT_NEAR(left, 1.00001, 1e-4);
  EXPECT_DOUBLE_EQ(first, left);
}

TEST(SuspendedCeiling, ThatCannotBeSaysWhereInTheFileAndWhy) {
  const auto refused = [](const std::string& ceiling) {
    const auto sketch = parse_sketch(
        R"({ "name": "Attic", "outline": { "width": 4, "depth": 5 }, "height": 2.4,
             "slopes": [ { "wall": "Wall left", "knee": 1.0, "pitch": 45 } ],
             "suspended_ceiling": )" +
            ceiling + "}",
        "attic.json");
    return sketch ? refusal(*sketch) : to_text(sketch.error());
  };
  EXPECT_EQ(refused(R"({ "height": 2.2 })"), "was built");
  const std::string high = refused(R"({ "height": 2.39 })");
  EXPECT_NE(high.find("attic.json: /suspended_ceiling (Ceiling tiles)"), std::string::npos) << high;
  EXPECT_NE(high.find("not below the slab"), std::string::npos) << high;
  const std::string above = refused(R"({ "height": 2, "over": [[0, 0], [0.5, 5]] })");
  EXPECT_NE(above.find("above the slopes"), std::string::npos) << above;
  const std::string one = refused(R"({ "height": 2, "over": [[0, 0]] })");
  EXPECT_NE(one.find("/suspended_ceiling/over"), std::string::npos) << one;
}

}  // namespace
}  // namespace roomloom
