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

}  // namespace
}  // namespace roomloom::testing
