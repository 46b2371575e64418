#include <gtest/gtest.h>

#include <filesystem>

#include "job/job.h"
#include "place/tests_place.h"
#include "room/room.h"
#include "sketch/sketch.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

struct Understood {
  Scene scene;
  Room room;
};

Understood understood(const RoomSketch& sketch, const Job& job) {
  const auto solids = build_sketch(sketch);
  EXPECT_TRUE(solids) << (solids ? "" : to_text(solids.error()));
  Understood u{scene_of(*solids), {}};
  auto room = understand_room(u.scene, job);
  EXPECT_TRUE(room) << (room ? "" : to_text(room.error()));
  if (room) u.room = std::move(*room);
  return u;
}

// The room's origin is its inside rear left corner, the front wall at y = depth: by hand.
TEST(SketchedRoom, MeasuresOnItsWallsAgreeWithTheTape) {
  RoomSketch sketch = rectangular_room("Test room", 4.2, 5.6, 2.6);
  sketch.openings.push_back(door("Door", "Wall back", 0.4, 0.9, 2.1));
  sketch.openings.push_back(window("Window", "Wall right", 1.0, 0.9, 1.2, 1.2));
  Job job;
  const Understood u = understood(sketch, job);
  add_end(job, "front", OnPart{"Wall front", 1.0, std::nullopt, 0.5, 0});
  add_end(job, "right", OnPart{"Wall right", 3.0, std::nullopt, 0.5, 0});
  add_end(job, "back", OnPart{"Wall back", std::nullopt, 1.0, 0.5, 0});
  add_end(job, "left", OnPart{"Wall left", 1.0, std::nullopt, 0.5, 0});
  add_end(job, "in the window", OnPart{"Wall right", 1.5, std::nullopt, 1.5, 0});
  add_end(job, "in the door", OnPart{"Wall back", 0.8, std::nullopt, 1.0, 0});
  const Ends ends = place_ends(u.scene, u.room, job);
  ASSERT_EQ(ends.ends.size(), 4U) << problems_text(ends);
  expect_near(ends.ends[0].place.position, {1.0, 5.6, 0.5}, 1e-3);
  expect_near(ends.ends[1].place.position, {4.2, 2.6, 0.5}, 1e-3);
  expect_near(ends.ends[2].place.position, {1.0, 0, 0.5}, 1e-3);
  expect_near(ends.ends[3].place.position, {0, 1.0, 0.5}, 1e-3);
  EXPECT_EQ(ends.problems.size(), 2U) << problems_text(ends);
}

class DemoRooms : public testing::TestWithParam<const char*> {};

TEST_P(DemoRooms, HaveEveryEndOfTheirJobInPlace) {
  const std::filesystem::path folder =
      std::filesystem::path(ROOMLOOM_SOURCE_DIR) / "models" / GetParam();
  ASSERT_TRUE(std::filesystem::exists(folder / "job.json"));
  const auto job = read_job(folder / "job.json");
  ASSERT_TRUE(job) << to_text(job.error());
  const auto sketch = read_sketch(folder / "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  const Understood u = understood(*sketch, *job);
  const Ends ends = place_ends(u.scene, u.room, *job);
  EXPECT_EQ(problems_text(ends), "");
  EXPECT_EQ(ends.runs.size(), job->runs.size());
  for (const End& end : ends.ends) {
    std::vector<EndPlace> places = end.may_move_to;
    places.push_back(end.place);
    for (const EndPlace& place : places) {
      const auto index = static_cast<std::size_t>(place.home.index);
      if (place.home.kind == PlaceKind::sheet) {
        const Frame& frame = u.room.sheets.at(index).frame;
        EXPECT_TRUE(end.mount == Mount::on_floor ||
                    std::abs(frame.height(place.position)) <= kReachOfSurface_m)
            << end.id;
        EXPECT_NEAR(norm(place.outward), 1, 1e-9) << end.id;
      } else {
        ASSERT_EQ(place.home.kind, PlaceKind::zone) << end.id;
        EXPECT_LT(index, ends.zones.size()) << end.id;
      }
    }
  }
}

TEST_P(DemoRooms, StartAJobThatTheReaderAccepts) {
  const std::filesystem::path folder =
      std::filesystem::path(ROOMLOOM_SOURCE_DIR) / "models" / GetParam();
  const auto sketch = read_sketch(folder / "room.json");
  ASSERT_TRUE(sketch) << to_text(sketch.error());
  Understood u = understood(*sketch, Job{});
  u.scene.source.path = "room.step";
  const JobReading reading = examine_job(starting_job(u.scene, u.room), "start.json");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.at(0));
  EXPECT_GT(reading.job->parts.size(), 3U);
  // The rules say again what was guessed without them.
  const auto again = understand_room(u.scene, *reading.job);
  ASSERT_TRUE(again);
  for (std::size_t i = 0; i < u.scene.parts.size(); ++i)
    EXPECT_EQ(again->roles[i].role, u.room.roles[i].role) << u.scene.parts[i].name;
}

INSTANTIATE_TEST_SUITE_P(Each, DemoRooms,
                         testing::Values("alder-hall", "attic-studio", "classroom"));

}  // namespace
}  // namespace roomloom
