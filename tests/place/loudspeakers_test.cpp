#include <gtest/gtest.h>

#include <cmath>

#include "place/aim.h"
#include "place/place.h"
#include "place/tests_place.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

constexpr double kW = 4.2, kD = 5.6, kH = 2.9;
constexpr Vec3 kEar{2.1, 3.0, 1.2};

// Loudspeaker vectors of 2 m in a public set of room response files (bbc/bbcrd-brirs, SystemE.asd
// and SystemF.asd): x right, y front. The third is az 30, el 40.
TEST(Directions, AgreeWithPublishedVectors) {
  const place::Listener listener;
  expect_near(2 * place::direction_of(listener, radians(30), 0), {-1, 1.732, 0}, 5e-4);
  expect_near(2 * place::direction_of(listener, radians(110), 0), {-1.879, -0.684, 0}, 5e-4);
  expect_near(2 * place::direction_of(listener, radians(30), radians(40)), {-0.766, 1.327, 1.286},
              5e-4);
}

TEST(Directions, AndBearingsAreInverse) {
  const place::Listener listener{kEar, radians(35)};
  for (double azimuth = -175; azimuth <= 180; azimuth += 5) {
    for (double elevation = -85; elevation <= 85; elevation += 10) {
      const Vec3 p =
          kEar + 1.7 * place::direction_of(listener, radians(azimuth), radians(elevation));
      const place::Bearing b = place::bearing_of(listener, p);
      EXPECT_NEAR(std::cos(b.azimuth_rad - radians(azimuth)), 1, 1e-12);
      EXPECT_NEAR(b.elevation_rad, radians(elevation), 1e-9);
      EXPECT_NEAR(b.distance_m, 1.7, 1e-12);
    }
  }
}

// ITU-R BS.775-3: centre at 0, left and right at 30, surrounds at 100 to 120 degrees. The places on
// the walls of a bare box follow by trigonometry.
TEST(Loudspeakers, OfFiveChannelsLandWhereTheirAnglesMeetTheWalls) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  set_listener(job, kEar, "0+5+0");
  for (const char* label : {"M+000", "M+030", "M-030", "M+110", "M-110"})
    add_run(job, label, "amp", label);
  add_gear(job, "amp", OnPart{"Wall front", std::nullopt, std::nullopt, std::nullopt, 0},
           {0.6, 0.4, 0.5}, 0.1);
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  expect_near(end_named(ends, "M+000")->place.position, {2.1, kD, 1.2});
  const double side = 2.6 * std::tan(radians(30));  // front wall is 2.6 m ahead
  expect_near(end_named(ends, "M+030")->place.position, {2.1 - side, kD, 1.2});
  expect_near(end_named(ends, "M-030")->place.position, {2.1 + side, kD, 1.2});
  const double behind = 2.1 * std::tan(radians(20));  // 110 degrees meets the side wall
  expect_near(end_named(ends, "M+110")->place.position, {0, 3.0 - behind, 1.2});
  expect_near(end_named(ends, "M-110")->place.position, {kW, 3.0 - behind, 1.2});
  ASSERT_EQ(ends.loudspeakers.size(), 5U);
  for (const LoudspeakerPlace& speaker : ends.loudspeakers) {
    EXPECT_FALSE(speaker.moved_within_range);
    const LabelRange* range = find_label("0+5+0", speaker.label);
    EXPECT_NEAR(degrees(speaker.azimuth_rad), range->azimuth, 1e-9);
  }
}

TEST(Loudspeakers, OfEverySystemStandAtTheirNominalDirectionOrWithinTheirRange) {
  const BoxRoom box = box_room(kW, kD, kH);
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    Job job;
    set_listener(job, kEar, system.name);
    for (const LabelRange& label : system.labels) {
      EndSpec end;
      end.id = label.label;
      end.place = AtLabel{label.label};
      end.pointer = "/ends/" + label.label;
      if (label.positioned) job.ends.push_back(end);
    }
    const Ends ends = place_ends(box.scene, box.room, job);
    EXPECT_EQ(problems_text(ends), "") << system.name;
    EXPECT_EQ(ends.loudspeakers.size(), job.ends.size());
    for (const LoudspeakerPlace& speaker : ends.loudspeakers) {
      const LabelRange* range = find_label(system.name, speaker.label);
      const double azimuth = degrees(speaker.azimuth_rad),
                   elevation = degrees(speaker.elevation_rad);
      const Vec3 p = ends.ends[static_cast<std::size_t>(speaker.end)].place.position;
      EXPECT_GE(elevation, range->elevation_low - 1e-9) << speaker.label;
      EXPECT_LE(elevation, range->elevation_high + 1e-9) << speaker.label;
      if (speaker.moved_within_range) {
        int near_faces = 0;  // a corner is near two faces
        for (const double away : {p.x, kW - p.x, p.y, kD - p.y, p.z, kH - p.z})
          near_faces += away < 0.0499;
        EXPECT_EQ(near_faces, 1) << speaker.label;
        EXPECT_GE(azimuth, range->azimuth_low - 1e-9) << speaker.label;
        EXPECT_LE(azimuth, range->azimuth_high + 1e-9) << speaker.label;
      } else {
        EXPECT_NEAR(elevation, range->elevation, 1e-9) << speaker.label;
        if (range->elevation < 90) {
          EXPECT_NEAR(std::cos(radians(azimuth - range->azimuth)), 1, 1e-12) << speaker.label;
        }
      }
    }
  }
}

TEST(Loudspeakers, TurnWithTheListener) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  set_listener(job, kEar);
  job.layout->facing_part = "Wall left";
  add_end(job, "M+000", std::monostate{});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_NEAR(ends.facing_rad, kPi / 2, 1e-12);  // from +y counter-clockwise to -x
  expect_near(ends.ends.at(0).place.position, {0, 3.0, 1.2});
}

// The window covers M+090 of 0+7+0 at its nominal 90 degrees (3 m along the left wall); the range
// is 85 to 110. Its edges lie at 2.9 and 3.6 m, so the nearest place is toward the back:
// tan(a) = (0.1 + 0.05) / 2.1 gives 4.09 degrees, the first whole degree beyond is 95.
TEST(Loudspeakers, MoveWithinTheirRangeOutOfAnOpening) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.9, 0.8, 0.7, 1.0);
  Job job;
  set_listener(job, kEar, "0+7+0");
  add_end(job, "M+090", std::monostate{});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.loudspeakers.size(), 1U);
  EXPECT_TRUE(ends.loudspeakers[0].moved_within_range);
  EXPECT_NEAR(degrees(ends.loudspeakers[0].azimuth_rad), 95, 1e-9);
  expect_near(ends.ends[0].place.position, {0, 3.0 - 2.1 * std::tan(radians(5)), 1.2});
  EXPECT_NE(ends.ends[0].how.find("Window 1"), std::string::npos) << ends.ends[0].how;
}

// With the ceiling at 2.5 m, U+110 at its nominal elevation of 30 degrees meets the side wall
// 2.1 / cos 20 away in plan at 1.2 + 2.2348 tan 30 = 2.490 m: 1 cm below the ceiling.
TEST(Loudspeakers, KeepOffTheEdgeOfTheirSheetIfTheirRangeAllows) {
  const BoxRoom box = box_room(kW, kD, 2.5);
  Job job;
  set_listener(job, kEar, "4+5+0");
  add_end(job, "U+110", std::monostate{});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.loudspeakers.size(), 1U) << problems_text(ends);
  EXPECT_TRUE(ends.loudspeakers[0].moved_within_range);
  const Vec3 p = ends.ends[0].place.position;
  EXPECT_GE(std::max(p.x, 2.5 - p.z), 0.05);
  EXPECT_GE(degrees(ends.loudspeakers[0].elevation_rad), 30 - 1e-9);
  EXPECT_NE(ends.ends[0].how.find("edge of Wall left"), std::string::npos) << ends.ends[0].how;
  // A fixed direction has no choice: it stays at the edge.
  Job fixed;
  set_listener(fixed, {2.1, 3.0, 2.48}, "0+5+0");
  add_end(fixed, "M+000", std::monostate{});
  const Ends at_edge = place_ends(box.scene, box.room, fixed);
  ASSERT_EQ(at_edge.loudspeakers.size(), 1U) << problems_text(at_edge);
  EXPECT_FALSE(at_edge.loudspeakers[0].moved_within_range);
  expect_near(at_edge.ends[0].place.position, {2.1, kD, 2.48});
}

// The same under tiles: of the directions that clear the edge, one is taken over which a tile can
// be cut, 70 mm from the next tee; a nominal direction stays where it is.
TEST(Loudspeakers, AreMovedToWhereATileCanBeCutForThem) {
  BoxRoom box = box_room(kW, kD, 2.5);
  const int ceiling = static_cast<int>(box.room.sheets.size()) - 1;
  box.room.sheets.back().role = SheetRole::suspended_ceiling;
  TileGrid grid;
  grid.sheet = ceiling;
  for (int row = 0; row * 0.6 < kD; ++row)
    for (int column = 0; column * 0.6 < kW; ++column) {
      Tile tile;
      tile.ring = rectangle(0.6 * column, 0.6 * row, std::min(kW, 0.6 * (column + 1)),
                            std::min(kD, 0.6 * (row + 1)));
      grid.tiles.push_back(tile);
    }
  box.room.grids.push_back(grid);
  Job job;
  set_listener(job, kEar, "4+5+0");
  for (const char* label : {"U+110", "U-110", "U+030"}) add_end(job, label, std::monostate{});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.loudspeakers.size(), 3U) << problems_text(ends);
  for (std::size_t i = 0; i < 3; ++i) {
    if (!ends.loudspeakers[i].moved_within_range) continue;
    const EndPlace& place = ends.ends[i].place;
    if (place.home.index != ceiling) continue;
    const Vec2 at = box.room.sheets.back().frame.to_plane(place.position);
    for (const double along : {at.x, at.y})
      EXPECT_GE(std::abs(std::remainder(along, 0.6)), 0.07 - 1e-9) << ends.ends[i].id;
  }
  EXPECT_TRUE(ends.loudspeakers[0].moved_within_range);
  EXPECT_TRUE(ends.loudspeakers[1].moved_within_range);
  EXPECT_FALSE(ends.loudspeakers[2].moved_within_range);
}

TEST(Loudspeakers, NameTheDoorThatANotchOfTheWallLeavesOpen) {
  BoxRoom box = box_room(kW, kD, kH);
  Sheet& front = sheet_of(box, "Wall front");
  front.region.outline = {{0, 0},   {1.6, 0}, {1.6, 2}, {2.6, 2},
                          {2.6, 0}, {kW, 0},  {kW, kH}, {0, kH}};
  add_solid(box, "Door", Role::door, {1.6, kD, 0}, {2.6, kD + 0.04, 2});
  Job job;
  set_listener(job, kEar, "0+5+0");
  add_end(job, "M+000", std::monostate{});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.range", "/ends/0"));
  EXPECT_NE(problems_text(ends).find("meets Door"), std::string::npos) << problems_text(ends);
}

TEST(Loudspeakers, MoveToTheMirroredPlaceInAMirroredRoom) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.7, 0.8, 0.6, 1.0);
  add_solid(box, "Pillar", Role::obstacle, {0.6, 4.2, 0}, {0.9, 4.5, kH});
  const BoxRoom other = mirrored(box);
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    for (const LabelRange& label : system.labels) {
      const std::size_t plus = label.label.find('+');
      if (!label.positioned || plus == std::string::npos) continue;
      std::string opposite = label.label;
      if (label.azimuth != 0 && label.azimuth != 180) opposite[plus] = '-';
      Job job, mirror_job;
      set_listener(job, kEar, system.name);
      set_listener(mirror_job, kEar, system.name);  // it sits on the room's axis
      add_end(job, "e", AtLabel{label.label});
      add_end(mirror_job, "e", AtLabel{opposite});
      const Ends a = place_ends(box.scene, box.room, job);
      const Ends b = place_ends(other.scene, other.room, mirror_job);
      ASSERT_EQ(a.ends.size(), b.ends.size()) << label.label;
      if (a.ends.empty()) continue;
      const Vec3 p = a.ends[0].place.position;
      expect_near(b.ends[0].place.position, {kW - p.x, p.y, p.z});
    }
  }
}

TEST(Loudspeakers, TurnAndMoveWithTheRoom) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.9, 0.8, 0.7, 1.0);
  const double turn = radians(37);
  const Vec3 by{12, -3, 4};
  const BoxRoom other = moved(box, turn, by);
  const auto to_other = [&](const Vec3& p) {
    return Vec3{std::cos(turn) * p.x - std::sin(turn) * p.y,
                std::sin(turn) * p.x + std::cos(turn) * p.y, p.z} +
           by;
  };
  Job job, turned;
  set_listener(job, kEar, "4+7+0");
  set_listener(turned, to_other(kEar), "4+7+0", turn);
  for (Job* each : {&job, &turned}) {
    for (const char* label : {"M+000", "M+090", "U+045", "U-135"})
      add_end(*each, label, std::monostate{});
    add_end(*each, "measured", OnPart{"Wall right", 1.0, std::nullopt, 0.4, 0});
  }
  const Ends a = place_ends(box.scene, box.room, job);
  const Ends b = place_ends(other.scene, other.room, turned);
  ASSERT_EQ(a.ends.size(), 5U) << problems_text(a);
  ASSERT_EQ(b.ends.size(), 5U) << problems_text(b);
  for (std::size_t i = 0; i < a.ends.size(); ++i)
    expect_near(b.ends[i].place.position, to_other(a.ends[i].place.position), 1e-6);
}

TEST(Loudspeakers, AreStoppedByObstaclesAndFurnitureButNotByCurtainsAndSeats) {
  for (const Role role : {Role::obstacle, Role::furniture, Role::curtain, Role::seat}) {
    BoxRoom box = box_room(kW, kD, kH);
    add_solid(box, "Thing", role, {1.8, 4.5, 0}, {2.4, 4.7, 2.0});
    Job job;
    set_listener(job, kEar, "0+5+0");
    add_end(job, "M+000", std::monostate{});
    const Ends ends = place_ends(box.scene, box.room, job);
    const bool stops = role == Role::obstacle || role == Role::furniture;
    EXPECT_EQ(reports(ends, "place.range", "/ends/0"), stops) << to_string(role);
    EXPECT_EQ(problems_text(ends).find("Thing") != std::string::npos, stops);
  }
}

TEST(Loudspeakers, WithADistanceStandOnTheFloorThere) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  set_listener(job, kEar, "0+5+0");
  job.layout->distance_m = 1.5;
  add_end(job, "M+030", std::monostate{});
  add_end(job, "far", FromListener{radians(10), 0, 9.0});
  add_end(job, "chair side", FromListener{radians(-90), radians(-20), 1.0});
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends.size(), 2U) << problems_text(ends);
  EXPECT_EQ(ends.ends[0].mount, Mount::on_floor);
  expect_near(ends.ends[0].place.position, {2.1 - 0.75, 3.0 + 1.5 * std::cos(radians(30)), 1.2});
  EXPECT_TRUE(reports(ends, "place.outside", "/ends/1"));
}

TEST(Loudspeakers, ReportWhatHasNoPlace) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  set_listener(job, {2, 9, 1.2}, "4+5+0");
  add_end(job, "M+030", std::monostate{});
  Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.listener", "/layout/listener"));
  EXPECT_TRUE(reports(ends, "place.listener", "/ends/0"));

  set_listener(job, kEar, "4+5+0");
  add_end(job, "LFE1", std::monostate{});
  job.layout->facing_part = "Ceiling";
  ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.label", "/ends/1"));
  EXPECT_TRUE(reports(ends, "place.facing", "/layout/facing"));
}

TEST(Loudspeakers, AnOpenSideHoldsNone) {
  BoxRoom box = box_room(kW, kD, kH);
  sheet_of(box, "Wall front").role = SheetRole::open_side;
  Job job;
  set_listener(job, kEar, "0+5+0");
  add_end(job, "M+000", std::monostate{});
  EXPECT_TRUE(reports(place_ends(box.scene, box.room, job), "place.range", "/ends/0"));
}

}  // namespace
}  // namespace roomloom
