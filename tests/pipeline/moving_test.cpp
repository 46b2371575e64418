#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// Things that move: with each of them the plan keeps clear; without it, the plan does go there.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// 6 x 8 x 2.5 m and a subwoofer out in the floor. Cable may cross the floor anywhere.
struct Trial {
  Json room = Json::parse(R"({ "name": "Box", "outline": { "width": 6, "depth": 8 },
                               "height": 2.5 })");
  Json job = Json::parse(R"({ "model": { "file": "room.glb" }, "prefer": "least cable",
    "floor": { "cross": "anywhere" }, "sight": { "seats": false, "doors": false },
    "ends": [ { "id": "a", "at": "Wall left", "from_left": 1, "up": 0.3 },
              { "id": "sub", "xyz": [2.2, 3.1, 0.2], "mount": "on floor" } ],
    "runs": [ { "id": "R", "from": "a", "to": "sub", "cable": "line coax" } ] })");

  void sub_at(double x, double y) { job["ends"][1]["xyz"] = {x, y, 0.2}; }
};

struct Outcome {
  bool routed = false;
  std::string blocked_by;
  std::vector<Vec3> line;  ///< of the run, every 10 mm
  std::vector<RampRow> ramps;
  Findings findings;

  bool enters(const Box3& box) const {
    return std::any_of(line.begin(), line.end(), [&](const Vec3& p) { return box.contains(p); });
  }
  bool tells(const std::string& id, Level level) const {
    return std::any_of(findings.items.begin(), findings.items.end(), [&](const Finding& finding) {
      return finding.id == id && finding.level == level;
    });
  }
};

std::vector<Vec3> line_of(const CableShape& shape) {
  std::vector<Vec3> line;
  for (const Piece& piece : shape.pieces) {
    std::vector<Vec3> corners;
    if (const auto* straight = std::get_if<Line3>(&piece))
      corners = {straight->from, straight->to};
    else
      corners = arc_points(std::get<Arc>(piece), 1e-4);
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
      const int steps = 1 + static_cast<int>(distance(corners[i], corners[i + 1]) / 0.01);
      for (int k = 0; k <= steps; ++k)
        line.push_back(corners[i] +
                       (static_cast<double>(k) / steps) * (corners[i + 1] - corners[i]));
    }
  }
  return line;
}

Outcome outcome_of(const Trial& trial) {
  Outcome outcome;
  const TestFolder folder;
  sketch_model(trial.room.dump(), folder, ".glb");
  const auto planned = plan(trial.job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  if (!planned) return outcome;
  outcome.routed = planned->plan.runs.front().routed;
  outcome.blocked_by = planned->plan.runs.front().blocked_by;
  outcome.line = line_of(planned->shapes.cables.front());
  outcome.ramps = planned->takeoff.ramps;
  WriteOptions lists_only;
  lists_only.drawings = lists_only.report = false;
  const auto judged = write_plan(*planned, folder / "out", lists_only);
  EXPECT_TRUE(judged) << to_text(judged.error());
  if (judged) outcome.findings = *judged;
  return outcome;
}

/// The check's own word on the plan of one job when another, which it was not made for, is true.
bool check_objects(const Trial& planned_for, const Trial& true_one, const std::string& id) {
  const TestFolder folder;
  sketch_model(true_one.room.dump(), folder, ".glb");
  const auto planned = plan(planned_for.job.dump(), folder);
  EXPECT_TRUE(planned) << to_text(planned.error());
  if (!planned) return false;
  WriteOptions lists_only;
  lists_only.drawings = lists_only.report = false;
  EXPECT_TRUE(write_plan(*planned, folder / "out", lists_only));
  write_text(planned->job_file, true_one.job.dump());
  const auto judged = check_folder(folder / "out", test_options());
  EXPECT_TRUE(judged) << to_text(judged.error());
  return judged && std::any_of(judged->items.begin(), judged->items.end(),
                               [&](const Finding& finding) { return finding.id == id; });
}

const Box3 everything_low{{-9, -9, -1}, {9, 9, 0.1}};

// A door in the back wall, 0.1 m from the left corner: open, its leaf stands along the left wall.
// The nearest free foot of a wall is the left one's: that of the back wall is the doorway.
Trial behind_a_door(const std::string& swing) {
  Trial trial;
  trial.room["doors"] = Json::parse(R"([ { "name": "Door", "wall": "Wall back", "from_right": 0.1,
    "width": 0.9, "height": 2.05, "hinge": "right" } ])");
  trial.job["parts"] = Json::array({{{"match", "Door"}, {"is", "door"}, {"swing", swing}}});
  trial.sub_at(0.75, 0.7);
  return trial;
}

TEST(MovingThings, NoRunLiesWhereADoorSwings) {
  const Box3 in_the_swing{{0.15, 0.6, 0}, {0.5, 0.8, 0.1}};
  const Outcome shut = outcome_of(behind_a_door("0 deg"));
  ASSERT_TRUE(shut.routed) << shut.blocked_by;
  EXPECT_TRUE(shut.enters(in_the_swing)) << "nothing opens: the nearest way";
  const Outcome open = outcome_of(behind_a_door("90 deg"));
  ASSERT_TRUE(open.routed) << open.blocked_by;
  EXPECT_FALSE(open.enters(in_the_swing));
  EXPECT_FALSE(open.tells("pinch-point", Level::should));
  EXPECT_TRUE(check_objects(behind_a_door("0 deg"), behind_a_door("90 deg"), "pinch-point"));
}

TEST(MovingThings, NoCoilLiesWhereADoorSwings) {
  for (const char* swing : {"0 deg", "90 deg"}) {
    Trial trial = behind_a_door(swing);
    trial.sub_at(0.5, 0.5);
    trial.job["ends"][1]["state"] = "coiled";
    const Outcome outcome = outcome_of(trial);
    EXPECT_EQ(outcome.routed, std::string(swing) == "0 deg") << outcome.blocked_by;
    if (!outcome.routed) {
      EXPECT_EQ(outcome.blocked_by, "the space where Door swings");
    }
  }
  Trial shut = behind_a_door("0 deg"), open = behind_a_door("90 deg");
  for (Trial* trial : {&shut, &open}) {
    trial->sub_at(0.3, 0.92);  // the coil reaches in, its middle does not
    trial->job["ends"][1]["state"] = "coiled";
  }
  EXPECT_TRUE(check_objects(shut, open, "pinch-point"));
}

TEST(MovingThings, ADoorThatHingesOnTheOtherSideLeavesTheWayFree) {
  Trial trial = behind_a_door("90 deg");
  trial.job["parts"][0]["hinge"] = "left";  // the leaf swings about x = 1.0
  trial.sub_at(0.35, 0.8);
  const Outcome outcome = outcome_of(trial);
  ASSERT_TRUE(outcome.routed) << outcome.blocked_by;
  EXPECT_TRUE(outcome.enters({{0.1, 0.75, 0}, {0.3, 0.85, 0.1}}));
  EXPECT_FALSE(outcome.tells("pinch-point", Level::should));
}

// A cupboard at the back wall and a board beside it, so that only the side walls can be come from;
// the left one is nearer, and the way from it passes before the cupboard's doors.
Trial before_a_cupboard(bool doors) {
  Trial trial;
  trial.room["cupboards"] = Json::parse(R"([ { "name": "Cupboard", "wall": "Wall back",
    "from_right": 0.8, "width": 0.6, "depth": 0.4, "height": 0.9 } ])");
  trial.room["furniture"] = Json::parse(R"([ { "name": "Board", "wall": "Wall back",
    "from_right": 1.5, "width": 4, "depth": 0.2, "height": 0.5 } ])");
  trial.job["parts"] = Json::array(
      {{{"match", "Cupboard"}, {"is", "cupboard"}, {"swing", doors ? "90 deg" : "0 deg"}}});
  trial.sub_at(2.2, 0.7);
  return trial;
}

TEST(MovingThings, NoRunLiesWhereACupboardOpens) {
  const Box3 before_the_doors{{0.85, 0.65, 0}, {1.3, 0.75, 0.1}};
  const Outcome none = outcome_of(before_a_cupboard(false));
  ASSERT_TRUE(none.routed) << none.blocked_by;
  EXPECT_TRUE(none.enters(before_the_doors));
  const Outcome doors = outcome_of(before_a_cupboard(true));
  ASSERT_TRUE(doors.routed) << doors.blocked_by;
  EXPECT_FALSE(doors.enters(before_the_doors));
  EXPECT_FALSE(doors.tells("pinch-point", Level::should));
  EXPECT_TRUE(check_objects(before_a_cupboard(false), before_a_cupboard(true), "pinch-point"));
}

Trial past_a_seat(const char* key, const char* reach) {
  Trial trial;
  trial.room["seats"] = Json::parse(
      R"([ { "name": "Seat", "at": [1.5, 2.5], "width": 0.65, "depth": 0.9, "height": 1 } ])");
  trial.job["parts"] = Json::array({{{"match", "Seat"}, {"is", "seat"}, {key, reach}}});
  return trial;
}

TEST(MovingThings, NoRunLiesWhereASeatReclinesOrSlides) {
  const Box3 before_the_seat{{1.2, 3.0, 0}, {1.8, 3.2, 0.1}};
  for (const char* key : {"recline", "slide"}) {
    const Outcome still = outcome_of(past_a_seat(key, "0 m"));
    ASSERT_TRUE(still.routed) << still.blocked_by;
    EXPECT_TRUE(still.enters(before_the_seat)) << key;
    const Outcome moving = outcome_of(past_a_seat(key, "300 mm"));
    ASSERT_TRUE(moving.routed) << moving.blocked_by;
    EXPECT_FALSE(moving.enters(before_the_seat)) << key;
    EXPECT_FALSE(moving.tells("pinch-point", Level::should));
    EXPECT_TRUE(check_objects(past_a_seat(key, "0 m"), past_a_seat(key, "300 mm"), "pinch-point"))
        << key;
  }
}

TEST(MovingThings, ASeatThatSlidesTheOtherWayLeavesTheWayFree) {
  Trial trial = past_a_seat("slide", "300 mm");
  trial.job["parts"][0]["toward"] = "Wall back";
  const Outcome outcome = outcome_of(trial);
  ASSERT_TRUE(outcome.routed) << outcome.blocked_by;
  EXPECT_TRUE(outcome.enters({{1.2, 3.0, 0}, {1.8, 3.2, 0.1}}));
  EXPECT_FALSE(outcome.tells("pinch-point", Level::should));
}

Trial beside_a_walkway(bool walkway) {
  Trial trial;
  if (walkway)
    trial.job["walkways"] =
        Json::parse(R"([ { "name": "Aisle", "points": [[1.2, 1], [1.2, 7]], "width": 0.9 } ])");
  return trial;
}

TEST(MovingThings, NoRunLiesWherePeopleWalk) {
  const Box3 on_the_aisle{{0.9, 2.9, 0}, {1.5, 3.3, 0.1}};
  const Outcome none = outcome_of(beside_a_walkway(false));
  ASSERT_TRUE(none.routed) << none.blocked_by;
  EXPECT_TRUE(none.enters(on_the_aisle));
  const Outcome aisle = outcome_of(beside_a_walkway(true));
  ASSERT_TRUE(aisle.routed) << aisle.blocked_by;
  EXPECT_FALSE(aisle.enters(on_the_aisle));
  EXPECT_FALSE(aisle.tells("walkway", Level::must));
  EXPECT_TRUE(check_objects(beside_a_walkway(false), beside_a_walkway(true), "walkway"));
}

TEST(MovingThings, AWalkwayOfTheModelCountsAsOneOfTheJob) {
  Trial trial;
  trial.room["walkways"] =
      Json::parse(R"([ { "name": "Walkway", "points": [[1.2, 1], [1.2, 7]], "width": 0.9 } ])");
  const Outcome outcome = outcome_of(trial);
  ASSERT_TRUE(outcome.routed) << outcome.blocked_by;
  EXPECT_FALSE(outcome.enters({{0.9, 2.9, 0}, {1.5, 3.3, 0.1}}));
}

TEST(MovingThings, AWalkwayIsCrossedUnderARampWhereTheJobAllowsIt) {
  Trial trial = beside_a_walkway(true);
  trial.job["floor"]["cross"] =
      Json::parse(R"([ { "name": "To the sub", "from": [0, 3], "to": [2.3, 3.2] } ])");
  const Outcome outcome = outcome_of(trial);
  ASSERT_TRUE(outcome.routed) << outcome.blocked_by;
  EXPECT_TRUE(outcome.enters({{0.9, 2.9, 0}, {1.5, 3.3, 0.1}}));
  ASSERT_EQ(outcome.ramps.size(), 1U);
  EXPECT_NEAR(outcome.ramps[0].length_m, 2.2, 0.01);
  EXPECT_TRUE(outcome.ramps[0].on_walkway);
  EXPECT_NEAR(outcome.ramps[0].inside_m, 0.006, 1e-9);  // of "line coax"
  EXPECT_TRUE(outcome.tells("floor-crossing", Level::should)) << "the caution";
  EXPECT_FALSE(outcome.tells("walkway", Level::must));
}

TEST(MovingThings, APlaceThatAnEndMayMoveToAndNoWayReachesIsAFindingThatSaysWhatToDo) {
  Trial trial;
  trial.sub_at(0.4, 3.1);
  trial.job["ends"][1]["may_move"] =
      Json::parse(R"({ "alternatives": [[0.4, 4.4, 0.2], [2.6, 3.1, 0.2]] })");
  Trial forbidden = trial;
  forbidden.job.erase("floor");
  const Outcome refused = outcome_of(forbidden);
  ASSERT_TRUE(refused.routed) << refused.blocked_by;
  const auto found =
      std::find_if(refused.findings.items.begin(), refused.findings.items.end(),
                   [](const Finding& finding) { return finding.id == "move-without-way"; });
  ASSERT_NE(found, refused.findings.items.end());
  EXPECT_EQ(found->level, Level::should);
  EXPECT_NE(found->text.find("1 of the 2 places"), std::string::npos) << found->text;
  ASSERT_TRUE(found->where);
  EXPECT_NEAR(found->where->x, 2.6, 0.01);
  EXPECT_NE(found->remedy.find("\"alternatives\""), std::string::npos) << found->remedy;
  EXPECT_FALSE(outcome_of(trial).tells("move-without-way", Level::should));
}

TEST(MovingThings, OpenFloorIsNotCrossedWithoutLeave) {
  Trial trial;
  Trial forbidden = trial;
  forbidden.job.erase("floor");
  const Outcome refused = outcome_of(forbidden);
  EXPECT_FALSE(refused.routed);
  EXPECT_NE(refused.blocked_by.find("\"floor\": { \"cross\""), std::string::npos)
      << refused.blocked_by;
  const Outcome allowed = outcome_of(trial);
  ASSERT_TRUE(allowed.routed) << allowed.blocked_by;
  EXPECT_TRUE(allowed.enters(everything_low));
  EXPECT_EQ(allowed.ramps.size(), 1U);
  EXPECT_TRUE(check_objects(trial, forbidden, "floor-crossing"));
}

}  // namespace
}  // namespace roomloom::testing
