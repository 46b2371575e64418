#include <algorithm>
#include <cmath>

#include "geometry/polygon.h"
#include "room/roles.h"
#include "rooms.h"

// Which way the grid of a suspended ceiling runs where the walls are not square.

namespace roomloom {
namespace {
using namespace testing_rooms;

/// A room whose right and back walls are two degrees out of square, with a luminaire in a tile.
RoomSketch askew_hall() {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.outline = OutlineKind::points;
  sketch.points_m = {{0, 5.6}, {4.4, 5.6}, {4.2, 0.15}, {0, 0}};
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->grid_from_m = {0.15, 0.22};
  CeilingThingSketch light;
  light.name = "Luminaire 1";
  light.tile = "D3";
  sketch.ceiling_things.push_back(light);
  return sketch;
}

void expect_grid_of_the_askew_hall(const Room& room) {
  ASSERT_EQ(room.grids.size(), 1U);
  EXPECT_NEAR(room.grids[0].pitch_u_m, 0.6, 1e-4);
  EXPECT_NEAR(room.grids[0].pitch_v_m, 0.6, 1e-4);
  std::vector<std::string> held;
  int whole = 0;
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
  for (const Tile& tile : room.grids[0].tiles) {
    if (tile.reason == "holds Luminaire 1") held.push_back(tile.name);
    if (std::abs(std::abs(signed_area(tile.ring)) - 0.36) > 1e-4) continue;
    ++whole;
    for (const Vec2& p : tile.ring) {
      const Vec3 at = ceiling.frame.to_world(p);
      EXPECT_NEAR(std::remainder(at.x - 0.15, 0.6), 0, 1e-3);
      EXPECT_NEAR(std::remainder(at.y - 0.22, 0.6), 0, 1e-3);
    }
  }
  EXPECT_EQ(held, std::vector<std::string>{"D3"});
  EXPECT_GT(whole, 30);
}

// Were the grid taken to run along the heaviest wall, it would be 0.1 m off at the room's far end,
// and holes would be cut through tees.
TEST(TileDirection, InARoomOutOfSquareTheGridRunsAsItsTilesAreDrawn) {
  RoomSketch sketch = askew_hall();
  sketch.suspended_ceiling->tile_by_tile = true;
  expect_grid_of_the_askew_hall(room_from(scene_from(sketch)));
}

TEST(TileDirection, InARoomOutOfSquareTheGridRunsAsItsLuminairesDo) {
  Scene scene = scene_from(askew_hall());
  for (Part& part : scene.parts) part.extras.erase("grid_from");
  Job job;
  job.parts = {rule("Ceiling tiles", Role::suspended_ceiling)};
  job.parts[0].tile_origin_m = {0.15, 0.22};
  expect_grid_of_the_askew_hall(room_from(scene, job));
}

TEST(TileDirection, InARoomOutOfSquareASketchedGridRunsAsTheSketchSays) {
  RoomSketch sketch = askew_hall();
  sketch.ceiling_things.clear();
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.grids.size(), 1U);
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
  EXPECT_NEAR(std::abs(ceiling.frame.u.x), 1, 1e-9);
}

// The sketch's word is about its own axes; the file's extras are not turned with the model.
TEST(TileDirection, OfASketchThatWasTurnedALittleSinceFollowsItsWalls) {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->grid_from_m = {0.15, 0.22};
  for (const double turn_deg : {3.0, -7.0, 9.5}) {
    const Scene scene = turned(scene_from(sketch), radians(turn_deg), {1.4, -0.6, 0});
    const Room room = room_from(scene);
    ASSERT_EQ(room.grids.size(), 1U);
    const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
    EXPECT_NEAR(ceiling.frame.u.x, std::cos(radians(turn_deg)), 1e-6);
    // Where its grid started is lost, too.
    EXPECT_TRUE(std::any_of(room.guesses.begin(), room.guesses.end(), [](const Guess& g) {
      return g.what == "Where the tiles of Ceiling tiles start";
    })) << turn_deg;
  }
}

bool warns(const Room& room, const std::string& words) {
  return std::any_of(room.warnings.begin(), room.warnings.end(), [&](const std::string& warning) {
    return warning.find(words) != std::string::npos;
  });
}

TEST(TileDirection, SlantwiseToTheWallsIsTold) {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->tile_by_tile = true;
  EXPECT_FALSE(warns(room_from(scene_from(sketch)), "askew"));
  // The tiles of a room turned by 30 degrees, in one that is not.
  Scene scene = scene_from(sketch);
  const Scene slanted = turned(scene, radians(30), {1.4, -0.6, 0});
  for (const Part& part : scene.parts)
    if (part.name.starts_with("Tile "))
      std::copy_n(slanted.points.begin() + part.first_point, part.point_count,
                  scene.points.begin() + part.first_point);
  EXPECT_TRUE(warns(room_from(scene), "30 degrees askew"));
}

}  // namespace
}  // namespace roomloom
