#include <gtest/gtest.h>

#include <set>

#include "place/place.h"
#include "place/tests_place.h"

namespace roomloom {
namespace {

using namespace testing_rooms;

constexpr double kW = 4.2, kD = 5.6, kH = 2.5;

Job job_with_stand() {
  Job job;
  GearSpec& stand = add_gear(job, "stand", OnPart{"Wall front", 1.3, std::nullopt, std::nullopt, 0},
                             {1.6, 0.45, 0.6}, 0.1);
  add_component(stand, "amp", {"S1", "S2", "S3", "LFE1"});
  add_component(stand, "switch", {"1", "2"});
  return job;
}

std::string from_of(const Ends& ends, const std::string& run) {
  for (const Run& r : ends.runs)
    if (r.id == run) return ends.ends[static_cast<std::size_t>(r.from)].id;
  return "no run";
}

TEST(Runs, TakeThePortNamedLikeThemElseTheFirstThatIsFree) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job = job_with_stand();
  for (const char* id : {"a", "b", "c", "d"})
    add_end(job, id, AtPoint{{0, 1 + 0.3 * static_cast<double>(job.ends.size()), 1}});
  add_run(job, "x", "amp", "a");
  add_run(job, "S1", "amp", "b");
  add_run(job, "y", "amp.S2", "c");
  add_run(job, "LFE1", "amp", "d");
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.runs.size(), 4U);
  EXPECT_EQ(from_of(ends, "S1"), "amp.S1");
  EXPECT_EQ(from_of(ends, "y"), "amp.S2");
  EXPECT_EQ(from_of(ends, "LFE1"), "amp.LFE1");
  EXPECT_EQ(from_of(ends, "x"), "amp.S3");
}

TEST(Runs, BetweenComponentsAreRunsToo) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job = job_with_stand();
  add_run(job, "net", "switch", "amp");
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.runs.size(), 1U) << problems_text(ends);
  EXPECT_EQ(from_of(ends, "net"), "switch.1");
  EXPECT_EQ(ends.ends[static_cast<std::size_t>(ends.runs[0].to)].id, "amp.S1");
  EXPECT_EQ(ends.ends[0].slack_m, job.prefer.service_loop_start_m);
}

TEST(Runs, ToGearWithoutPortsEachGetOneOfTheirOwn) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_gear(job, "rack", OnPart{"Wall back", 1.0, std::nullopt, std::nullopt, 0}, {0.6, 0.6, 1},
           0.1);
  for (int i = 0; i < 20; ++i) {
    const std::string id = "e" + std::to_string(i);
    add_end(job, id, AtPoint{{0, 1 + 0.1 * i, 1}});
    add_run(job, "r" + std::to_string(i), "rack", id);
  }
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");  // no two ports in one place
  EXPECT_EQ(ends.runs.size(), 20U);
}

TEST(Runs, ReportPortsThatAreTakenAndComponentsThatAreNotNamed) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job = job_with_stand();
  for (int i = 0; i < 6; ++i) add_end(job, "e" + std::to_string(i), AtPoint{{0, 1 + 0.3 * i, 1}});
  add_run(job, "a", "switch", "e0");
  add_run(job, "b", "switch", "e1");
  add_run(job, "c", "switch", "e2");
  add_run(job, "d", "stand", "e3");
  add_run(job, "e", "amp.S9", "e4");
  add_run(job, "f", "nowhere", "e5");
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.port", "/runs/2/from"));
  EXPECT_TRUE(reports(ends, "place.port", "/runs/3/from"));
  EXPECT_TRUE(reports(ends, "place.port", "/runs/4/from"));
  EXPECT_TRUE(reports(ends, "place.name", "/runs/5/from"));
  EXPECT_EQ(ends.runs.size(), 2U);  // the others are planned still
}

TEST(Runs, CarryWhatTheFarEndSays) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job = job_with_stand();
  EndSpec& rear = add_end(job, "rear", AtPoint{{0, 1, 1}});
  rear.connector = "plug";
  rear.slack_m = 0.7;
  RunSpec& plain = add_run(job, "a", "amp", "rear");
  plain.slack_m = 0.9;
  RunSpec& later = add_run(job, "b", "amp", "rear");
  later.provision = true;
  later.end.pointer = "/runs/1/end";
  later.end.may_move = MayMove{0.5, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  const End& first = ends.ends[static_cast<std::size_t>(ends.runs[0].to)];
  const End& second = ends.ends[static_cast<std::size_t>(ends.runs[1].to)];
  EXPECT_EQ(first.connector, "plug");
  EXPECT_EQ(first.slack_m, 0.7);  // what the end says itself counts more
  EXPECT_EQ(ends.ends[static_cast<std::size_t>(ends.runs[0].from)].slack_m, 0.9);
  EXPECT_EQ(first.state, EndState::fitted);
  EXPECT_TRUE(first.may_move_to.empty());
  EXPECT_EQ(second.state, EndState::coiled);  // a provision
  EXPECT_EQ(second.may_move_to.size(), 8U);
  EXPECT_EQ(second.place.position, first.place.position);
}

TEST(Runs, MayPlaceTheirFarEndThemselves) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job = job_with_stand();
  RunSpec& run = add_run(job, "a", "amp", "top middle");
  run.end.pointer = "/runs/0/end";
  run.end.place = OnPart{"Ceiling", 2.0, std::nullopt, 2.0, 0};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  EXPECT_EQ(ends.ends.at(static_cast<std::size_t>(ends.runs.at(0).to)).id, "top middle");
}

TEST(Moves, AlongACircleStayOnTheSheetAndAtTheirDistance) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "free", AtPoint{{0, 2.5, 1.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  add_end(job, "by the floor", AtPoint{{0, 4, 0.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  ASSERT_EQ(ends.ends[0].may_move_to.size(), 8U);
  for (const EndPlace& place : ends.ends[0].may_move_to) {
    EXPECT_NEAR(distance(place.position, {0, 2.5, 1.2}), 0.5, 1e-9);
    EXPECT_NEAR(place.position.x, 0, 1e-12);
    EXPECT_EQ(place.home, ends.ends[0].place.home);
  }
  double lowest = 9;
  for (const EndPlace& place : ends.ends[1].may_move_to)
    lowest = std::min(lowest, place.position.z);
  EXPECT_NEAR(lowest, 0, 1e-9);  // cut off at the wall's foot
}

// A wall's length of way is a sum of coordinates. Over a circle that the floor cuts off 0.2 m below
// its middle it is greatest down and aside where the circle meets the floor: sqrt(0.25 - 0.04).
TEST(Moves, AlongACircleThatTheFloorCutsReachWhereTheyMeet) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "e", AtPoint{{0, 2.5, 0.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(ends.ends[0].moves_within);
  double most = 0;
  for (const EndPlace& place : ends.ends[0].may_move_to)
    most = std::max(most, place.position.y - place.position.z);
  EXPECT_NEAR(most, 2.5 + std::sqrt(0.21), 1e-6);
}

// Stops at the very edge of an opening, not somewhere short of it.
TEST(Moves, ReachRightUpToAnOpening) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.7, 0, 1, kH);
  Job job;
  add_end(job, "e", AtPoint{{0, 2.5, 1.2}}).may_move = MayMove{0.5, std::nullopt, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  double farthest = 0;
  for (const EndPlace& place : ends.ends[0].may_move_to)
    farthest = std::max(farthest, place.position.y);
  EXPECT_NEAR(farthest, 2.7, 1e-5);
}

TEST(Moves, InARectangleReachItsCornersAndStopAtAnOpening) {
  BoxRoom box = box_room(kW, kD, kH);
  add_opening(box, "Wall left", "Window 1", Role::window, 2.7, 0, 1, kH);
  Job job;
  add_end(job, "e", AtPoint{{0, 2.5, 1.2}}).may_move =
      MayMove{0, std::array<double, 2>{1.0, 0.4}, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  // Two corners, the two others drawn back toward the end, and where the window cuts two sides.
  ASSERT_EQ(ends.ends[0].may_move_to.size(), 6U);
  int corners = 0, cuts = 0;
  for (const EndPlace& place : ends.ends[0].may_move_to) {
    EXPECT_LE(place.position.y, 2.7 + 1e-9);
    corners += std::abs(place.position.y - 2.0) < 1e-9 &&
               std::abs(std::abs(place.position.z - 1.2) - 0.2) < 1e-9;
    cuts += std::abs(place.position.y - 2.7) < 1e-3 &&
            std::abs(std::abs(place.position.z - 1.2) - 0.2) < 1e-3;
  }
  EXPECT_EQ(corners, 2);
  EXPECT_EQ(cuts, 2);
}

TEST(Moves, ToListedPlacesMayChangeTheSurface) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "e", AtPoint{{0, 2.5, 1.2}}).may_move =
      MayMove{0, std::nullopt, {AtPoint{{kW, 2.5, 1.2}}, AtPoint{{2, 2, 1.2}}}};
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends[0].may_move_to.size(), 1U);
  EXPECT_NE(ends.ends[0].may_move_to[0].home, ends.ends[0].place.home);
  EXPECT_TRUE(reports(ends, "place.surface", "/ends/0/may_move/alternatives/1"));
}

TEST(Moves, ToListedPlacesAreMeasuredLikeEnds) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  const OnPart measured{"Wall right", 1.0, std::nullopt, 1.2, 0},
      nowhere{"Wal right", 1.0, {}, {}, 0};
  add_end(job, "e", AtPoint{{0, 2.5, 1.2}}).may_move =
      MayMove{0, std::nullopt, {measured, nowhere}};
  add_end(job, "there", measured);
  const Ends ends = place_ends(box.scene, box.room, job);
  ASSERT_EQ(ends.ends[0].may_move_to.size(), 1U);
  EXPECT_EQ(ends.ends[0].may_move_to[0].home, ends.ends[1].place.home);
  EXPECT_NEAR(distance(ends.ends[0].may_move_to[0].position, ends.ends[1].place.position), 0,
              1e-12);
  EXPECT_TRUE(reports(ends, "place.part", "/ends/0/may_move/alternatives/1/at"));
}

TEST(Runs, ReportTwoEndsInOnePlaceAndRunsToThemselves) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "a", AtPoint{{0, 2.5, 1.2}});
  add_end(job, "b", AtPoint{{0, 2.5, 1.2}});
  add_run(job, "r", "a", "a");
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.same", "/ends/1"));
  EXPECT_TRUE(reports(ends, "place.run", "/runs/0/to"));
  EXPECT_TRUE(ends.runs.empty());
}

// The edge of the sheet cuts two corners off the rectangle: where it does, cable may have to reach
// farther than to the corners drawn back toward the end.
TEST(Runs, ARectangleCutByAnEdgeReachesToWhereTheEdgeCutsItsSides) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "e", AtPoint{{0, 0.15, 1.2}}).may_move =
      MayMove{0, std::array<double, 2>{0.8, 0.4}, {}};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  for (const double z : {1.0, 1.4}) {
    const bool found = std::any_of(ends.ends[0].may_move_to.begin(), ends.ends[0].may_move_to.end(),
                                   [&](const EndPlace& place) {
                                     return distance(place.position, {0, 0, z}) < 0.001;
                                   });
    EXPECT_TRUE(found) << z;
  }
  for (const EndPlace& place : ends.ends[0].may_move_to) EXPECT_GE(place.position.y, -1e-9);
}

TEST(Runs, OfCableThatIsShorterThanTheStraightLineAreStillPlaced) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "a", AtPoint{{0, 0.5, 1}});
  add_end(job, "b", AtPoint{{0, 5.5, 1}});
  add_run(job, "r", "a", "b");
  job.catalogue.cables[0].put_ups_m = {2, 3};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(problems_text(ends), "");
  EXPECT_EQ(ends.runs.size(), 1U);
  ASSERT_EQ(short_cables(ends, job).size(), 1U) << "for where something else stops the job";
  EXPECT_EQ(short_cables(ends, job)[0].code, "place.spool");
  EXPECT_NE(short_cables(ends, job)[0].where.find("/runs/0/cable"), std::string::npos);
  job.spools.push_back({"wire", 5.0, "", 0, 1, true});
  EXPECT_TRUE(short_cables(ends, job).empty());
}

TEST(Runs, ReportWaysThatDoNotExist) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  add_end(job, "a", AtPoint{{0, 0.5, 1}});
  add_end(job, "b", AtPoint{{0, 5.5, 1}});
  RunSpec& run = add_run(job, "r", "a", "b");
  run.via = {"Wall *", "Cieling"};
  run.avoid = {"Door 9"};
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_TRUE(reports(ends, "place.name", "/runs/0/via"));
  EXPECT_TRUE(reports(ends, "place.name", "/runs/0/avoid"));
  EXPECT_NE(problems_text(ends).find("Did you mean \"Ceiling\"?"), std::string::npos);
}

TEST(Runs, ProblemsNameTheJobsFile) {
  const BoxRoom box = box_room(kW, kD, kH);
  Job job;
  job.path = "hall.json";
  add_end(job, "a", AtPoint{{9, 9, 9}});
  const Ends ends = place_ends(box.scene, box.room, job);
  EXPECT_EQ(ends.problems.at(0).where, "hall.json /ends/0/xyz");
}

}  // namespace
}  // namespace roomloom
