#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "pipeline/planning.h"

/// Ends and gear inside furniture: cable gets in by the wall behind it, or over the floor, and lies
/// bare there.
namespace roomloom::testing {
namespace {

using Json = nlohmann::json;

/// 4.5 x 5.5 x 2.6 m with a rack at the front wall; a cupboard at the back wall holds the box.
struct Trial {
  Json room = Json::parse(R"({ "name": "Box", "outline": { "width": 4.5, "depth": 5.5 },
    "height": 2.6, "cupboards": [ { "name": "Cupboard", "wall": "Wall back", "from_left": 2.5,
      "off_wall": 0, "width": 1.2, "depth": 0.4, "height": 0.9, "boards": "18 mm" } ] })");
  Json job = Json::parse(R"({ "model": { "file": "room.glb" },
    "sight": { "seats": false, "doors": false },
    "parts": [ { "match": "Cupboard", "is": "cupboard", "hides": true } ],
    "gear": [ { "id": "rack", "box": [0.6, 0.45, 0.8], "at": "Wall front", "from_left": 1.9,
                "off_wall": 0.15, "ports": ["1..4"] } ],
    "ends": [ { "id": "box", "xyz": [1.4, 0.2, 0.4], "mount": "in furniture" } ],
    "runs": [ { "id": "R", "from": "rack", "to": "box", "cable": "cat6" } ] })");
};

struct Outcome {
  bool routed = false;
  std::string blocked_by;
  double drawn = 0;
  bool bare_inside = true;  ///< no raceway in the furniture
  std::vector<std::string> must, guesses;
};

/// Plans, writes, and checks the trial; `inside` is where no raceway may lie.
Outcome outcome_of(const Trial& trial, const Box3& inside) {
  Outcome outcome;
  const TestFolder folder;
  sketch_model(trial.room.dump(), folder, ".glb");
  const auto planned = plan(trial.job.dump(), folder);
  EXPECT_TRUE(planned) << (planned ? "" : to_text(planned.error()));
  if (!planned) return outcome;
  outcome.routed = planned->plan.runs.front().routed;
  outcome.blocked_by = planned->plan.runs.front().blocked_by;
  for (const Guess& guess : planned->ends.guesses) outcome.guesses.push_back(guess.what);
  if (!outcome.routed) return outcome;
  outcome.drawn = drawn_m(*planned, "R");
  for (const PlannedRun& run : planned->plan.runs)
    for (const Step& step : run.steps) {
      const TrackEdge& edge = planned->tracks.edges[static_cast<std::size_t>(step.edge)];
      const Vec3 middle = 0.5 * (planned->tracks.nodes[static_cast<std::size_t>(edge.a)].position +
                                 planned->tracks.nodes[static_cast<std::size_t>(edge.b)].position);
      if (inside.contains(middle) && edge.medium == Medium::raceway) outcome.bare_inside = false;
    }
  WriteOptions lists_only;
  lists_only.drawings = lists_only.report = false;
  const auto judged = write_plan(*planned, folder / "out", lists_only);
  EXPECT_TRUE(judged) << to_text(judged.error());
  if (!judged) return outcome;
  for (const Finding& finding : judged->items)
    if (finding.level == Level::must) outcome.must.push_back(finding.text);
  return outcome;
}

void expect_reached(const Outcome& outcome, double shortest_m, double longest_m) {
  EXPECT_TRUE(outcome.routed) << outcome.blocked_by;
  EXPECT_GT(outcome.drawn, shortest_m);
  EXPECT_LT(outcome.drawn, longest_m);
  EXPECT_TRUE(outcome.bare_inside);
  EXPECT_EQ(outcome.must, std::vector<std::string>{});
}

bool holds(const std::vector<std::string>& all, const std::string& one) {
  return std::find(all.begin(), all.end(), one) != all.end();
}

// From the rack (x 1.9 to 2.5) to the end: 5.5 m along the room, and at least 0.5 m across it.
constexpr double kShortest_m = 5.3, kLongest_m = 12.0;

TEST(InFurniture, AnEndInACupboardFlushWithItsWallIsReachedBareAndTheCheckIsClean) {
  const Outcome outcome = outcome_of(Trial(), {{0.8, 0, 0}, {2.0, 0.4, 0.9}});
  expect_reached(outcome, kShortest_m, kLongest_m);
  EXPECT_TRUE(holds(outcome.guesses, "Way into \"Cupboard\""));
}

TEST(InFurniture, AnEndInASideboardThatStandsOffTheWallIsReachedFromTheWallBehindIt) {
  Trial trial;
  trial.room["cupboards"][0]["off_wall"] = 0.2;
  trial.job["ends"][0]["xyz"] = {1.4, 0.4, 0.4};
  expect_reached(outcome_of(trial, {{0.8, 0, 0}, {2.0, 0.6, 0.9}}), kShortest_m, kLongest_m);
}

TEST(InFurniture, AnEndInADeskOutInTheRoomIsReachedOverTheFloorWhereThatIsAllowedOnly) {
  Trial trial;
  trial.room.erase("cupboards");
  trial.room["furniture"] = Json::parse(R"([ { "name": "Desk", "at": [2.2, 2.5], "width": 1.2,
                                               "depth": 0.6, "height": 0.74 } ])");
  trial.job["parts"][0] = {{"match", "Desk"}, {"is", "furniture"}, {"hides", true}};
  trial.job["ends"][0]["xyz"] = {2.2, 2.5, 0.3};
  const Box3 desk{{1.6, 2.2, 0}, {2.8, 2.8, 0.74}};
  const Outcome refused = outcome_of(trial, desk);
  EXPECT_FALSE(refused.routed);
  EXPECT_NE(refused.blocked_by.find("\"cross\""), std::string::npos) << refused.blocked_by;
  trial.job["floor"] = {{"cross", "anywhere"}};
  expect_reached(outcome_of(trial, desk), 3.0, kLongest_m);
}

TEST(InFurniture, ARackInACupboardIsWiredThroughItOnlyWhereTheCupboardMayHoldCables) {
  Trial trial;
  trial.room["cupboards"][0]["wall"] = "Wall front";
  trial.room["cupboards"][0]["from_left"] = 1.4;
  trial.room["cupboards"][0]["width"] = 1.6;
  trial.room["cupboards"][0]["depth"] = 0.7;
  trial.room["cupboards"][0]["height"] = 1.2;
  trial.job["ends"][0] = {{"id", "box"}, {"at", "Wall back"}, {"from_left", 2.25}, {"up", 0.3}};
  const Box3 cupboard{{1.4, 4.8, 0}, {3.0, 5.5, 1.2}};
  expect_reached(outcome_of(trial, cupboard), kShortest_m, kLongest_m);
  trial.job["parts"][0].erase("hides");
  const Outcome closed = outcome_of(trial, cupboard);
  EXPECT_FALSE(closed.routed);
  EXPECT_NE(closed.blocked_by.find("Cupboard (if cables may lie in it"), std::string::npos)
      << closed.blocked_by;
}

TEST(InFurniture, AnEndOnTheWallBehindACupboardThatMayHoldCablesIsReached) {
  Trial trial;
  trial.job["ends"][0] = {{"id", "box"}, {"at", "Wall back"}, {"from_left", 3.1}, {"up", 0.4}};
  expect_reached(outcome_of(trial, {{0.8, 0, 0}, {2.0, 0.4, 0.9}}), kShortest_m, kLongest_m);
}

// The plain words: who puts an end in the cupboard has said that cable may lie there.
TEST(InFurniture, AnEndThatNamesTheCupboardLiesInItWithoutAnotherWord) {
  Trial trial;
  trial.job["parts"] = Json::array();
  trial.job["ends"][0] = {{"id", "box"}, {"at", "Cupboard"}};
  const Outcome named = outcome_of(trial, {{0.8, 0, 0}, {2.0, 0.4, 0.9}});
  expect_reached(named, kShortest_m, kLongest_m);
  EXPECT_TRUE(holds(named.guesses, "Place of /ends/0 in Cupboard")) << "its middle";
  EXPECT_TRUE(holds(named.guesses, "Way into \"Cupboard\""));
  trial.job["ends"][0] = {{"id", "box"}, {"xyz", {1.4, 0.2, 0.45}}, {"mount", "in furniture"}};
  EXPECT_NEAR(outcome_of(trial, {{0.8, 0, 0}, {2.0, 0.4, 0.9}}).drawn, named.drawn, 1e-6);
}

// From 3 m to 1.8 m along the wall's left edge stands the cupboard: x 0.8 to 2.0; 0.3 m from its
// left side, as one stands before it, is x 1.7.
TEST(InFurniture, MeasuresOnACupboardAreFromItsLeftSideAndUpFromTheFloor) {
  Trial trial;
  trial.job["ends"][0] = {{"id", "box"}, {"at", "Cupboard"}, {"from_left", 0.3}, {"up", 0.6}};
  const TestFolder folder;
  sketch_model(trial.room.dump(), folder, ".glb");
  const auto planned = plan(trial.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  const End& end = planned->ends.ends[static_cast<std::size_t>(planned->ends.runs[0].to)];
  EXPECT_NEAR(distance(end.place.position, {1.7, 0.2, 0.6}), 0, 1e-6);
  trial.job["ends"][0]["from_left"] = 1.3;
  const auto outside = plan(trial.job.dump(), folder);
  ASSERT_FALSE(outside);
  EXPECT_NE(to_text(outside.error()).find("It is 1.20 m wide and reaches from 0.00 m to 0.90 m"),
            std::string::npos)
      << to_text(outside.error());
}

TEST(InFurniture, ADeskThatStandsOutInTheRoomIsReachedByItsName) {
  Trial trial;
  trial.room.erase("cupboards");
  trial.room["furniture"] = Json::parse(R"([ { "name": "Desk", "at": [2.2, 2.5], "width": 1.2,
                                               "depth": 0.6, "height": 0.74 } ])");
  trial.job["parts"] = Json::array();
  trial.job["ends"][0] = {{"id", "box"}, {"at", "desk"}, {"up", 0.3}};
  trial.job["floor"] = {{"cross", "anywhere"}};
  expect_reached(outcome_of(trial, {{1.6, 2.2, 0}, {2.8, 2.8, 0.74}}), 3.0, kLongest_m);
}

/// A cabinet at the back wall, board by board: x 0.8 to 2.0, 0.4 m deep, 0.9 m high.
Trial board_by_board() {
  Trial trial;
  trial.room.erase("cupboards");
  trial.room["furniture"] = Json::parse(R"([
    { "name": "Cabinet side 1", "at": [0.81, 0.2], "width": 0.02, "depth": 0.4, "height": 0.9 },
    { "name": "Cabinet side 2", "at": [1.99, 0.2], "width": 0.02, "depth": 0.4, "height": 0.9 },
    { "name": "Cabinet back", "at": [1.4, 0.01], "width": 1.16, "depth": 0.02, "height": 0.9 },
    { "name": "Cabinet top", "at": [1.4, 0.21], "width": 1.16, "depth": 0.38, "height": 0.02,
      "up": 0.88 } ])");
  trial.job["parts"] =
      Json::parse(R"([ { "match": "Cabinet *", "is": "furniture", "hides": true } ])");
  return trial;
}

TEST(InFurniture, ACabinetModelledBoardByBoardIsOneSpace) {
  const Trial trial = board_by_board();
  const TestFolder folder;
  sketch_model(trial.room.dump(), folder, ".glb");
  const auto planned = plan(trial.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_EQ(planned->room.zones.size(), 1U) << "not one a board";
  EXPECT_EQ(planned->room.zones[0].name, "in Cabinet");
  EXPECT_NEAR(planned->room.zones[0].size.x, 1.2, 1e-6);
  EXPECT_NEAR(planned->room.zones[0].size.y, 0.4, 1e-6);
  EXPECT_NEAR(planned->room.zones[0].size.z, 0.9, 1e-6);
  expect_reached(outcome_of(trial, {{0.8, 0, 0}, {2.0, 0.4, 0.9}}), kShortest_m, kLongest_m);
}

// A ready hole in the cupboard's back, 0.5 m from its middle: the cable goes through it.
TEST(InFurniture, AGrommetIsTheWayInAndIsToldAsSuch) {
  const Vec3 grommet{0.9, 0.01, 0.5};
  Trial trial;
  trial.job["model"] = {{"file", "room.obj"}, {"unit", "m"}, {"up", "z"}};
  const TestFolder folder;
  sketch_model(trial.room.dump(), folder, ".obj");
  std::string obj = read_text(folder / "room.obj") + "o Grommet\n";
  for (int i = 0; i < 8; ++i) {
    const auto at = [&](int bit, double half) { return ((i >> bit) & 1) != 0 ? half : -half; };
    obj += "v " + std::to_string(grommet.x + at(0, 0.03)) + " " +
           std::to_string(grommet.y + at(1, 0.009)) + " " +
           std::to_string(grommet.z + at(2, 0.03)) + "\n";
  }
  for (const char* face :
       {"-8 -7 -5 -6", "-4 -2 -1 -3", "-8 -4 -3 -7", "-6 -5 -1 -2", "-8 -6 -2 -4", "-7 -3 -1 -5"})
    obj += std::string("f ") + face + "\n";
  write_text(folder / "room.obj", obj);
  const auto planned = plan(trial.job.dump(), folder);
  ASSERT_TRUE(planned) << to_text(planned.error());
  ASSERT_TRUE(planned->plan.runs[0].routed) << planned->plan.runs[0].blocked_by;
  bool passed = false;
  for (const Step& step : planned->plan.runs[0].steps) {
    const TrackEdge& edge = planned->tracks.edges[static_cast<std::size_t>(step.edge)];
    for (const int node : {edge.a, edge.b})
      passed |=
          distance(planned->tracks.nodes[static_cast<std::size_t>(node)].position, grommet) < 0.001;
  }
  EXPECT_TRUE(passed);
  EXPECT_EQ(planned->room.warnings, std::vector<std::string>{}) << "no hole that leads nowhere";
  const auto told =
      std::find_if(planned->ends.guesses.begin(), planned->ends.guesses.end(),
                   [](const Guess& guess) { return guess.what == "Way into \"Cupboard\""; });
  ASSERT_NE(told, planned->ends.guesses.end());
  EXPECT_EQ(told->value, "through \"Grommet\"");
  const auto judged = write_plan(*planned, folder / "out");
  ASSERT_TRUE(judged) << to_text(judged.error());
  for (const Finding& finding : judged->items)
    EXPECT_NE(finding.level, Level::must) << finding.text;
}

}  // namespace
}  // namespace roomloom::testing
