#include <algorithm>

#include "nameless.h"

namespace roomloom {
namespace {
using namespace testing_rooms;

std::size_t count_of(const Room& room, Role role) {
  return static_cast<std::size_t>(std::count_if(room.roles.begin(), room.roles.end(),
                                                [&](const PartRole& r) { return r.role == role; }));
}

const Guess* guess_of_tiles(const Room& room) {
  const auto found = std::find_if(room.guesses.begin(), room.guesses.end(), [](const Guess& g) {
    return g.what.starts_with("Suspended ceiling at");
  });
  return found == room.guesses.end() ? nullptr : &*found;
}

RoomSketch office(double height_m = 2.9) { return rectangular_room("Office", 4.2, 5.5, height_m); }

/// Tiles of 600 mm at 2.4 m: seven columns, and nine rows with a cut one.
Scene tiled_office() {
  RoomSketch sketch = office();
  sketch.suspended_ceiling = SuspendedCeilingSketch{};
  sketch.suspended_ceiling->height_m = 2.4;
  sketch.suspended_ceiling->tile_by_tile = true;
  sketch.ceiling_things.push_back({});
  sketch.ceiling_things.back().name = "Luminaire";
  sketch.ceiling_things.back().tile = "C3";
  return nameless(scene_from(sketch));
}

TEST(OverheadTiles, AreASuspendedCeilingThoughNoNameSaysSo) {
  for (const double angle : {0.0, 0.35}) {
    const Scene scene = turned(tiled_office(), angle);
    const Room room = room_from(scene);
    ASSERT_EQ(room.voids.size(), 1U) << angle;
    EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.415, 1e-4);
    ASSERT_EQ(room.grids.size(), 1U);
    EXPECT_NEAR(room.grids[0].pitch_u_m, 0.6, 1e-6);
    EXPECT_EQ(count_of(room, Role::suspended_ceiling), 7U * 10 - 1);
    EXPECT_NEAR(room.box.size().z, 2.4, 1e-6);
  }
}

TEST(OverheadTiles, AreToldWithHowToOverruleThem) {
  const Scene scene = tiled_office();
  const Room room = room_from(scene);
  const Guess* guess = guess_of_tiles(room);
  ASSERT_NE(guess, nullptr);
  EXPECT_NE(guess->value.find("69 parts"), std::string::npos) << guess->value;
  EXPECT_NE(guess->overrule.find("\"is\": \"obstacle\""), std::string::npos) << guess->overrule;
  Job job;
  job.parts.push_back(rule("Mesh.*", Role::obstacle));
  EXPECT_EQ(guess_of_tiles(room_from(scene, job)), nullptr);
}

TEST(OverheadTiles, MayLieApartByATeeOrTouch) {
  for (const double gap : {0.0, 0.024}) {
    Scene scene = nameless(scene_from(office()));
    const double side = 0.7 - gap;
    add_plates(scene, {0.5 * gap, 0.5 * gap, 2.35}, {side, side, 0.02}, 6, 7, gap);
    add_plates(scene, {0.5 * gap, 4.9 + 0.5 * gap, 2.35}, {side, 0.6 - gap, 0.02}, 6, 1, gap);
    const Room room = room_from(scene);
    EXPECT_EQ(count_of(room, Role::suspended_ceiling), 48U) << gap;
    ASSERT_EQ(room.voids.size(), 1U) << gap;
    EXPECT_NEAR(room.voids[0].height_m, 2.9 - 2.37, 1e-4);
  }
}

/// What lies in the office instead, which nobody would call its suspended ceiling.
struct Other {
  const char* what;
  void (*add)(Scene&);
};

class OverheadTilesAreNot : public testing::TestWithParam<Other> {};

TEST_P(OverheadTilesAreNot, WhatLiesElsewhere) {
  Scene scene = nameless(scene_from(office()));
  GetParam().add(scene);
  const Room room = room_from(scene);
  EXPECT_EQ(count_of(room, Role::suspended_ceiling), 0U);
  EXPECT_EQ(guess_of_tiles(room), nullptr);
  EXPECT_TRUE(room.voids.empty());
}

const Other kOthers[] = {
    {"FloorTiles",
     [](Scene& s) {
       add_plates(s, {0, 0, 0}, {0.6, 0.5, 0.012}, 7, 11);
     }},
    {"ARaisedFloor",
     [](Scene& s) {
       add_plates(s, {0, 0, 0.2}, {0.6, 0.5, 0.04}, 7, 11);
     }},
    {"DeskTopsInRows",
     [](Scene& s) {
       add_plates(s, {0.1, 0.1, 0.72}, {1.2, 0.8, 0.03}, 3, 6);
     }},
    {"HighDesksFromWallToWall",
     [](Scene& s) {
       add_plates(s, {0, 0, 1.1}, {0.7, 0.5, 0.03}, 6, 11);
     }},
    {"ShelvesOverHeadAlongAWall",
     [](Scene& s) {
       add_plates(s, {0, 0, 2.1}, {0.8, 0.35, 0.025}, 5, 1);
     }},
    {"TwoShelvesOnEachOther",
     [](Scene& s) {
       add_plates(s, {0, 0, 2.0}, {0.8, 0.6, 0.025}, 5, 1);
       add_plates(s, {0, 0, 2.4}, {0.8, 0.6, 0.025}, 5, 1);
     }},
    {"RaftsThatHangApart",
     [](Scene& s) {
       for (const double y : {0.5, 3.1}) {
         add_plates(s, {0.4, y, 2.3}, {0.6, 0.6, 0.04}, 2, 3);
         add_plates(s, {2.4, y, 2.3}, {0.6, 0.6, 0.04}, 2, 3);
       }
     }},
    {"SingleRaftsInAGrid",
     [](Scene& s) {
       add_plates(s, {0.2, 0.2, 2.3}, {1.2, 1.2, 0.04}, 3, 4, 0.1);
     }},
    {"PanelsOnTheRoof",
     [](Scene& s) {
       add_plates(s, {0, 0, 3.3}, {1.0, 1.1, 0.04}, 4, 5);
     }},
    {"TilesGluedUnderTheSlab",
     [](Scene& s) {
       add_plates(s, {0, 0, 2.88}, {0.6, 0.5, 0.02}, 7, 11);
     }},
    {"SeatsInRows",
     [](Scene& s) {
       add_plates(s, {0.1, 0.3, 0.44}, {0.5, 0.5, 0.05}, 7, 5);
     }},
};
INSTANTIATE_TEST_SUITE_P(Room, OverheadTilesAreNot, testing::ValuesIn(kOthers),
                         [](const auto& other) { return std::string(other.param.what); });

// 2.5 m below and 2.6 m above: a storey's floor of boards.
TEST(OverheadTiles, AreNotTheFloorOfTheStoreyAbove) {
  Scene scene = nameless(scene_from(office(5.2)));
  add_plates(scene, {0, 0, 2.5}, {0.6, 1.1, 0.04}, 7, 5);
  EXPECT_EQ(guess_of_tiles(room_from(scene)), nullptr);
}

}  // namespace
}  // namespace roomloom
