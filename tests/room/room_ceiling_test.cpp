#include <algorithm>
#include <set>

#include "geometry/polygon.h"
#include "room/roles.h"
#include "rooms.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

// 4.2 x 5.6 m, slab at 2.9 m, tiles 0.6 m at 2.5 m from the corner, two luminaires and a vent.
RoomSketch hall() {
  RoomSketch sketch = rectangular_room("Hall", 4.2, 5.6, 2.9);
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  CeilingThingSketch light;
  light.name = "Luminaire 1";
  light.tile = "C3";
  sketch.ceiling_things.push_back(light);
  CeilingThingSketch vent;
  vent.name = "Vent";
  vent.kind = CeilingThingKind::vent;
  vent.tile = "F6";
  sketch.ceiling_things.push_back(vent);
  return sketch;
}

const Tile* tile_named(const TileGrid& grid, const std::string& name) {
  for (const Tile& tile : grid.tiles)
    if (tile.name == name) return &tile;
  return nullptr;
}

TEST(SuspendedCeiling, IsTheRoomsUpperSideAndNothingIsFixedToIt) {
  const Room room = room_from(scene_from(hall()));
  const Sheet* ceiling = sheet_named(room, "Ceiling tiles");
  ASSERT_NE(ceiling, nullptr);
  EXPECT_EQ(ceiling->role, SheetRole::suspended_ceiling);
  EXPECT_FALSE(ceiling->fixable);
  EXPECT_NEAR(ceiling->frame.origin.z, 2.5, 1e-6);
  EXPECT_EQ(sheet_named(room, "Slab above"), nullptr);  // hidden by the tiles
  const Sheet* wall = sheet_named(room, "Wall left");
  ASSERT_NE(wall, nullptr);
  EXPECT_NEAR(area(wall->region), 5.6 * 2.5, 1e-3);
}

TEST(SuspendedCeiling, HasAPlenumOfTheMeasuredHeight) {
  const Room room = room_from(scene_from(hall()));
  ASSERT_EQ(room.voids.size(), 1U);
  const Void& plenum = room.voids[0];
  EXPECT_EQ(plenum.kind, VoidKind::plenum);
  EXPECT_NEAR(plenum.height_m, 2.9 - 2.515, 1e-4);
  EXPECT_NEAR(plenum.frame.origin.z, 2.515, 1e-6);
  EXPECT_NEAR(area(plenum.plan), 4.2 * 5.6, 1e-3);
  EXPECT_EQ(plenum.handles_air, HandlesAir::unknown);
  ASSERT_GE(plenum.air, 0);
  EXPECT_EQ(room.airs[static_cast<std::size_t>(plenum.air)].kind, AirKind::plenum);
  const bool asked = std::any_of(room.guesses.begin(), room.guesses.end(), [](const Guess& g) {
    return g.overrule.find("handles_air") != std::string::npos;
  });
  EXPECT_TRUE(asked);
}

TEST(SuspendedCeiling, NamesTilesByRowAndColumnAndSparesThoseThatHoldSomething) {
  const Room room = room_from(scene_from(hall()));
  ASSERT_EQ(room.grids.size(), 1U);
  const TileGrid& grid = room.grids[0];
  // 4.2 / 0.6 = 7 columns, 5.6 / 0.6 = 9.33: 10 rows, the last one 0.2 m deep.
  EXPECT_EQ(grid.tiles.size(), 70U);
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(grid.sheet)];
  const Tile* a1 = tile_named(grid, "A1");
  ASSERT_NE(a1, nullptr);
  const Vec3 middle = ceiling.frame.to_world(centroid(a1->ring));
  EXPECT_NEAR(distance(middle, {0.3, 0.3, 2.5}), 0, 1e-4);
  const Tile* c3 = tile_named(grid, "C3");
  ASSERT_NE(c3, nullptr);
  EXPECT_FALSE(c3->cuttable);
  EXPECT_EQ(c3->reason, "holds Luminaire 1");
  const Tile* f6 = tile_named(grid, "F6");
  ASSERT_NE(f6, nullptr);
  EXPECT_FALSE(f6->cuttable);
  const auto cuttable = std::count_if(grid.tiles.begin(), grid.tiles.end(),
                                      [](const Tile& tile) { return tile.cuttable; });
  EXPECT_EQ(cuttable, 68);
}

TEST(SuspendedCeiling, EachCuttableTileIsACrossingClearOfTheTees) {
  Job job;
  job.prefer.tee_margin_m = 0.04;
  const Room room = room_from(scene_from(hall()), job);
  ASSERT_EQ(room.crossings.size(), 68U);
  for (const Crossing& crossing : room.crossings) {
    EXPECT_EQ(crossing.kind, CrossingKind::tile_cut);
    EXPECT_EQ(crossing.to, (PlaceId{PlaceKind::void_space, 0}));
    EXPECT_NEAR(crossing.frame.n.z, 1, 1e-12);
    EXPECT_GT(signed_area(crossing.region.outline), 0);
    EXPECT_NEAR(crossing.thickness_m, 0.015, 1e-6);
  }
  EXPECT_EQ(room.crossings[0].name, "tile A1");
  EXPECT_NEAR(area(room.crossings[0].region), 0.52 * 0.52, 1e-4);
}

TEST(SuspendedCeiling, TileByTileGivesTheSameGrid) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->tile_by_tile = true;
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.grids.size(), 1U);
  EXPECT_NEAR(room.grids[0].pitch_u_m, 0.6, 1e-4);
  EXPECT_NEAR(room.grids[0].pitch_v_m, 0.6, 1e-4);
  EXPECT_EQ(room.grids[0].tiles.size(), 70U);
  EXPECT_EQ(room.crossings.size(), 68U);
  const Tile* c3 = tile_named(room.grids[0], "C3");
  ASSERT_NE(c3, nullptr);
  EXPECT_FALSE(c3->cuttable);
}

// A first job tells the tiles' size. Where they lie is drawn: were the grid centred instead, holes
// would be cut through tees.
TEST(SuspendedCeiling, TileByTileTheGridLiesWhereTheTilesAreThoughTheJobTellsTheirSize) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->tile_by_tile = true;
  sketch.suspended_ceiling->grid_from_m = {0.17, 0.31};
  sketch.ceiling_things.clear();
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts) part.extras.clear();
  Job job;
  job.parts = {rule("Tile*", Role::suspended_ceiling)};
  job.parts[0].tile_m = {0.6, 0.6};
  const Room room = room_from(scene, job);
  ASSERT_EQ(room.grids.size(), 1U);
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
  int corners = 0;
  for (const Tile& tile : room.grids[0].tiles)
    for (const Vec2& p : tile.ring)
      if (distance(ceiling.frame.to_world(p), {0.17, 0.31, 2.5}) < 1e-4) ++corners;
  EXPECT_EQ(corners, 4);
}

/// A box that is part of the scene.
void add_box(Scene& scene, const std::string& name, const Vec3& low, const Vec3& high) {
  Part part;
  part.name = name;
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.point_count = 8;
  part.triangle_count = 12;
  for (int i = 0; i < 8; ++i)
    scene.points.push_back(
        {i & 1 ? high.x : low.x, i & 2 ? high.y : low.y, i & 4 ? high.z : low.z});
  constexpr std::array<std::array<std::uint32_t, 3>, 12> kFaces = {{{0, 2, 3},
                                                                    {0, 3, 1},
                                                                    {4, 5, 7},
                                                                    {4, 7, 6},
                                                                    {0, 1, 5},
                                                                    {0, 5, 4},
                                                                    {2, 6, 7},
                                                                    {2, 7, 3},
                                                                    {0, 4, 6},
                                                                    {0, 6, 2},
                                                                    {1, 3, 7},
                                                                    {1, 7, 5}}};
  for (const auto& [a, b, c] : kFaces)
    scene.triangles.push_back({part.first_point + a, part.first_point + b, part.first_point + c});
  scene.face.resize(scene.triangles.size(), -1);
  scene.parts.push_back(part);
}

// Blender's array modifier makes one object of all tiles.
TEST(SuspendedCeiling, TilesThatAreOnePartAreAGridAllTheSame) {
  Scene scene = scene_from(rectangular_room("Hall", 4.2, 4.8, 2.9));
  for (Part& part : scene.parts) part.extras.clear();
  Part all;
  all.name = "Ceiling tiles";
  all.first_point = static_cast<std::uint32_t>(scene.points.size());
  all.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  for (int i = 0; i < 7; ++i)
    for (int k = 0; k < 8; ++k) {
      add_box(scene, "", {0.6 * i + 0.003, 0.6 * k + 0.003, 2.5},
              {0.6 * i + 0.597, 0.6 * k + 0.597, 2.515});
      scene.parts.pop_back();
    }
  all.point_count = static_cast<std::uint32_t>(scene.points.size()) - all.first_point;
  all.triangle_count = static_cast<std::uint32_t>(scene.triangles.size()) - all.first_triangle;
  scene.parts.push_back(all);
  const Room room = room_from(scene);
  ASSERT_EQ(room.grids.size(), 1U);
  EXPECT_EQ(room.grids[0].tiles.size(), 56U);
  EXPECT_EQ(room.crossings.size(), 56U);
  EXPECT_NEAR(room.grids[0].pitch_u_m, 0.6, 1e-4);
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
  EXPECT_EQ(ceiling.name, "Ceiling tiles");
  EXPECT_NEAR(area(ceiling.region), 4.194 * 4.794, 0.01);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 0.385, 1e-3);
}

// What fills a tile and says nothing by its name is no furniture, and its tile is not cut.
TEST(SuspendedCeiling, ATileThatHoldsAThingWithoutAMeaningIsNotCut) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->tile_by_tile = true;
  sketch.ceiling_things.clear();
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts) {
    part.extras.clear();
    part.layer.clear();
  }
  for (Part& part : scene.parts)
    if (part.name == "Tile C3") part.name = part.path = "Xyz";
  const Room room = room_from(scene);
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if (scene.parts[i].name != "Xyz") continue;
    EXPECT_EQ(room.roles[i].role, Role::obstacle);
  }
  ASSERT_EQ(room.grids.size(), 1U);
  const Tile* c3 = tile_named(room.grids[0], "C3");
  ASSERT_NE(c3, nullptr);
  EXPECT_FALSE(c3->cuttable);
}

// Drawn tees and angles are of the ceiling, however many there are: neither furniture nor tiles.
TEST(SuspendedCeiling, TeesThatAreDrawnAreOfItAndNoTiles) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->tile_by_tile = true;
  sketch.ceiling_things.clear();
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts) part.extras.clear();
  for (int i = 1; i < 7; ++i)
    for (int k = 0; k < 20; ++k)
      add_box(scene, "Tee " + std::to_string(20 * i + k), {0.6 * i - 0.012, 0.28 * k, 2.499},
              {0.6 * i + 0.012, 0.28 * (k + 1), 2.538});
  Job job;
  job.parts = {rule("Tile*", Role::suspended_ceiling)};
  job.parts[0].handles_air = HandlesAir::no;
  const Room room = room_from(scene, job);
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if (!scene.parts[i].name.starts_with("Tee")) continue;
    EXPECT_EQ(room.roles[i].role, Role::suspended_ceiling) << scene.parts[i].name;
  }
  ASSERT_EQ(room.grids.size(), 1U);
  EXPECT_NEAR(room.grids[0].pitch_u_m, 0.6, 1e-4);
  EXPECT_NEAR(room.grids[0].pitch_v_m, 0.6, 1e-4);
  EXPECT_NEAR(room.grids[0].thickness_m, 0.015, 1e-4);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_EQ(room.voids[0].handles_air, HandlesAir::no);
}

// An attic tiled between its slopes at 2.4 m: the void is as high as the flat part above, 2.9 m
// less tile, and the slopes that come down to the tiles are in the way of what lies higher.
TEST(SuspendedCeiling, BetweenSlopesHasAVoidWithTheSlopesInItsWay) {
  RoomSketch sketch = rectangular_room("Attic", 4.4, 5.5, 2.9);
  sketch.slopes = {{"Slope left", "Wall left", 1.3, kPi / 4},
                   {"Slope right", "Wall right", 1.3, kPi / 4}};
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->height_m = 2.4;
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.voids.size(), 1U);
  const Void& space = room.voids[0];
  EXPECT_NEAR(space.height_m, 2.9 - 2.415, 1e-3);
  const auto blocked = [&](const Vec3& p) {
    const Vec3 at = space.frame.to_local(p);
    return std::any_of(space.obstacles.begin(), space.obstacles.end(),
                       [&](const VoidObstacle& one) { return one.box.contains(at); });
  };
  for (double x = 1.15; x < 3.3; x += 0.1)
    for (double z = 2.43; z < 2.89; z += 0.05) {
      const double slope = 1.3 + std::min(x, 4.4 - x);
      if (z > slope + 0.001) {
        EXPECT_TRUE(blocked({x, 2, z})) << x << ", " << z;
      }
      // Boxes of at most 0.15 m a step.
      if (z < slope - 0.16) {
        EXPECT_FALSE(blocked({x, 2, z})) << x << ", " << z;
      }
    }
}

TEST(SuspendedCeiling, TheJobsGridWinsOverTheModels) {
  Job job;
  job.parts = {rule("Ceiling tiles", Role::suspended_ceiling)};
  job.parts[0].tile_m = {1.2, 0.6};
  job.parts[0].tile_origin_m = {0.3, 0};
  job.parts[0].handles_air = HandlesAir::no;
  const Room room = room_from(scene_from(hall()), job);
  ASSERT_EQ(room.grids.size(), 1U);
  // From x = 0.3: one narrow column, three of 1.2 m, one of 0.3 m: 0.3 + 3 * 1.2 + 0.3 = 4.2.
  EXPECT_EQ(room.grids[0].tiles.size(), 5U * 10U);
  EXPECT_EQ(room.voids[0].handles_air, HandlesAir::no);
}

TEST(SuspendedCeiling, WithoutAnyWordTheGridFollowsALuminaire) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->grid_from_m = {0, 0.4};
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts) part.extras.clear();
  const Room room = room_from(scene);
  ASSERT_EQ(room.grids.size(), 1U);
  const Tile* c3 = tile_named(room.grids[0], "C3");
  ASSERT_NE(c3, nullptr);
  EXPECT_EQ(c3->reason, "holds Luminaire 1");
  EXPECT_EQ(room.crossings.size(), 68U);
}

/// The hall with luminaires of so many metres in its tiles, whose size nobody tells.
Room hall_of_untold_tiles(const std::array<double, 2>& tile_m, double play_m) {
  RoomSketch sketch = hall();
  sketch.suspended_ceiling->tile_m = tile_m;
  sketch.ceiling_things.resize(1);  // the luminaire
  sketch.suspended_ceiling->grid_from_m = {0.1, 0.2};
  Scene scene = scene_from(sketch);
  for (Part& part : scene.parts) {
    part.extras.clear();
    if (part.name != "Luminaire 1") continue;
    Box3 box = box_of(scene, part);
    for (std::uint32_t i = 0; i < part.point_count; ++i) {
      Vec3& point = scene.points[part.first_point + i];
      point.x += (point.x < box.centre().x ? 0.5 : -0.5) * play_m;
      point.y += (point.y < box.centre().y ? 0.5 : -0.5) * play_m;
    }
  }
  return room_from(scene);
}

// Panels are sold a few millimetres smaller than their module: common practice, no source.
TEST(SuspendedCeiling, WithoutAnyWordATileIsOfTheModuleThatItsLuminaireFills) {
  for (const double module_m : {0.6, 0.6096, 0.625})
    for (const double play_m : {0.0, 0.005}) {
      const Room room = hall_of_untold_tiles({module_m, module_m}, play_m);
      ASSERT_EQ(room.grids.size(), 1U);
      EXPECT_NEAR(room.grids[0].pitch_u_m, module_m, 1e-6) << play_m;
      EXPECT_NEAR(room.grids[0].pitch_v_m, module_m, 1e-6) << play_m;
      const auto told = std::find_if(room.guesses.begin(), room.guesses.end(), [](const Guess& g) {
        return g.what == "Tiles of Ceiling tiles";
      });
      ASSERT_NE(told, room.guesses.end());
      EXPECT_NE(told->why.find("Luminaire 1"), std::string::npos) << told->why;
      EXPECT_NE(told->overrule.find("\"tile\""), std::string::npos);
    }
  const Room longer = hall_of_untold_tiles({1.25, 0.625}, 0.004);
  ASSERT_EQ(longer.grids.size(), 1U);
  EXPECT_NEAR(longer.grids[0].pitch_u_m, 0.625, 1e-6) << "two tiles long";
  const Room odd = hall_of_untold_tiles({0.45, 0.45}, 0);
  ASSERT_EQ(odd.grids.size(), 1U);
  EXPECT_NEAR(odd.grids[0].pitch_u_m, 0.6, 1e-6) << "no module of ceilings";
}

TEST(SuspendedCeiling, DuctsBecomeBoxesWithALevelOverThem) {
  RoomSketch sketch = hall();
  LineSketch duct;
  duct.name = "Duct";
  duct.points = {{1, 0.2, 2.68}, {1, 4, 2.68}, {3.9, 4, 2.68}};
  duct.width_m = 0.3;
  duct.height_m = 0.15;
  sketch.lines.push_back(duct);
  const Room room = room_from(scene_from(sketch));
  ASSERT_EQ(room.voids.size(), 1U);
  const Void& plenum = room.voids[0];
  double plan = 0;
  for (const VoidObstacle& obstacle : plenum.obstacles) {
    if (obstacle.name != "Duct") continue;
    const Vec3 size = obstacle.box.size();
    plan += size.x * size.y;
    EXPECT_NEAR(obstacle.box.low.z, 2.68 - 0.075 - 2.515, 1e-4);
  }
  // Its legs cover 0.3 m x (3.8 + 0.15) m and 0.3 m x 2.75 m; one box would cover 12.2 m2.
  EXPECT_GT(plan, 0.3 * 6.7 - 0.05);
  EXPECT_LT(plan, 0.3 * 6.7 + 0.4);
  ASSERT_GE(plenum.support_levels_m.size(), 2U);
  EXPECT_NEAR(plenum.support_levels_m[0], 0.10, 1e-9);
  EXPECT_NEAR(plenum.support_levels_m.back(), 0.24 + 0.025 + 0.02, 1e-3);
}

TEST(SuspendedCeiling, WithoutADeckItsHeightIsGuessedAndTold) {
  Scene scene = scene_from(hall());
  for (Part& part : scene.parts)
    if (part.name == "Slab above") part.extras["is"] = "ignore";
  const Room room = room_from(scene);
  ASSERT_EQ(room.voids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 0.4, 1e-9);
  const bool told = std::any_of(room.guesses.begin(), room.guesses.end(),
                                [](const Guess& g) { return g.what == "Height of plenum"; });
  EXPECT_TRUE(told);
}

TEST(SuspendedCeiling, StaysTheSameInATurnedRoom) {
  const Room room = room_from(turned(scene_from(hall()), 0.4, {5, 5, 0}));
  ASSERT_EQ(room.grids.size(), 1U);
  EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.515, 1e-4);
  const Sheet& ceiling = room.sheets[static_cast<std::size_t>(room.grids[0].sheet)];
  EXPECT_NEAR(ceiling.frame.u.x, std::cos(0.4), 1e-5);
}

/// The hall, its tiles drawn to within so much of the walls.
Room hall_with_gap(double gap_m) {
  Scene scene = scene_from(hall());
  for (const Part& part : scene.parts) {
    if (part.name != "Ceiling tiles") continue;
    for (std::uint32_t i = 0; i < part.point_count; ++i) {
      Vec3& point = scene.points[part.first_point + i];
      point.x = std::clamp(point.x, gap_m, 4.2 - gap_m);
      point.y = std::clamp(point.y, gap_m, 5.6 - gap_m);
    }
  }
  return room_from(scene);
}

bool warns(const Room& room, const std::string& words) {
  return std::any_of(room.warnings.begin(), room.warnings.end(), [&](const std::string& warning) {
    return warning.find(words) != std::string::npos;
  });
}

// Tiles along a wall lie on its trim, 19 to 24 mm wide, and end short of it: common practice, no
// source.
TEST(SuspendedCeiling, MeetsAWallThatItsTilesDoNotQuiteReach) {
  const Room room = hall_with_gap(0.012);
  const Seam* seam = seam_between(room, "Wall left", "Ceiling tiles");
  ASSERT_NE(seam, nullptr);
  EXPECT_TRUE(warns(room, "they are taken to meet"));
  EXPECT_FALSE(warns(room, "taken for apart"));
}

TEST(SuspendedCeiling, ThatEndsFartherFromAWallThanATrimIsWideIsToldToBeApart) {
  const Room apart = hall_with_gap(0.04);
  EXPECT_EQ(seam_between(apart, "Wall left", "Ceiling tiles"), nullptr);
  EXPECT_TRUE(warns(apart, "miss each other by 0.0400 m: that is more than the 0.0250 m"));
  EXPECT_FALSE(warns(hall_with_gap(0.3), "taken for apart")) << "a raft, as it was meant";
}

TEST(SuspendedCeiling, ThatMissesManyWallsIsToldToMissAFewAndHowManyMore) {
  RoomSketch sketch;
  sketch.outline = OutlineKind::points;
  sketch.height_m = 2.9;
  for (int corner = 0; corner < 8; ++corner) {
    const double angle = -(corner + 0.5) * kPi / 4;
    sketch.points_m.push_back({4 + 4 * std::cos(angle), 4 + 4 * std::sin(angle)});
    sketch.walls.push_back({.name = "Wall " + std::to_string(corner + 1)});
  }
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  Scene scene = scene_from(sketch);
  for (const Part& part : scene.parts) {
    if (part.name != "Ceiling tiles") continue;
    const Box3 box = box_of(scene, part);
    const Vec3 middle = (box.low + box.high) * 0.5;
    const double nearer = 1 - 0.04 / (box.high.x - middle.x);
    for (std::uint32_t i = 0; i < part.point_count; ++i) {
      Vec3& point = scene.points[part.first_point + i];
      point.x = middle.x + nearer * (point.x - middle.x);
      point.y = middle.y + nearer * (point.y - middle.y);
    }
  }
  EXPECT_TRUE(warns(room_from(scene), "2 more ceilings miss a wall by more than a trim"));
}

}  // namespace
}  // namespace roomloom
