#include <gtest/gtest.h>

#include <algorithm>

#include "geometry/arc.h"
#include "pipeline/box_room.h"
#include "pipeline/planning.h"

/// The job's words about the way of a run. For each: a plan without the word that breaks it, and
/// one with it that does not, both judged by the check from the written files.
namespace roomloom::testing {
namespace {

Json room_with_holes() {
  Json room = Json::parse(kBoxRoom);
  room["holes"] = Json::parse(R"([
    { "name": "Hole beside", "at": [0.3, 3.3], "diameter": "60 mm" },
    { "name": "Hole far out", "at": [2.05, 2.7], "diameter": "60 mm" } ])");
  return room;
}

class Rules : public ::testing::Test {
 protected:
  void SetUp() override { sketch_model(room_with_holes().dump(), folder_, ".glb"); }

  /// Plans and writes; returns how often the check says that a run does not keep the rules of
  /// `judged_by`.
  int broken(const Json& planned_by, const Json& judged_by) {
    auto planned = plan(planned_by.dump(), folder_);
    EXPECT_TRUE(planned) << to_text(planned.error());
    if (!planned) return -1;
    notes_ = planned->plan.notes;
    EXPECT_TRUE(write_plan(*planned, folder_ / "out", {.drawings = false, .report = false}));
    write_text(folder_ / "job.json", judged_by.dump());
    const auto findings = check_folder(folder_ / "out", test_options());
    EXPECT_TRUE(findings) << to_text(findings.error());
    if (!findings) return -1;
    lengths_.clear();
    for (const RunRow& row : planned->takeoff.runs) lengths_[row.id] = row.track_m;
    return static_cast<int>(
        std::count_if(findings->items.begin(), findings->items.end(),
                      [](const Finding& finding) { return finding.id == "run-rules"; }));
  }

  void expect_broken_without_and_kept_with(const Json& with_rule) {
    EXPECT_EQ(broken(box_job(), with_rule), 1) << "the plan that breaks it";
    EXPECT_EQ(broken(with_rule, with_rule), 0);
    EXPECT_TRUE(notes_.empty()) << notes_.front();
  }

  TestFolder folder_;
  std::vector<std::string> notes_;
  std::map<std::string, double> lengths_;
};

TEST_F(Rules, ViaLeadsARunThroughAHoleThatIsThere) {
  Json job = box_job();
  job["runs"][0]["via"] = "Hole beside";
  expect_broken_without_and_kept_with(job);
}

/// Degrees of the sharpest turn of a run's way, and where it is.
std::pair<double, Vec3> sharpest_turn(const PlannedRoom& planned, const PlannedRun& run) {
  std::vector<Vec3> way;
  for (const Step& step : run.steps) {
    const TrackEdge& edge = planned.tracks.edges[static_cast<std::size_t>(step.edge)];
    for (const int node : {step.forward ? edge.a : edge.b, step.forward ? edge.b : edge.a}) {
      const Vec3& at = planned.tracks.nodes[static_cast<std::size_t>(node)].position;
      if (way.empty() || distance(way.back(), at) > 1e-4) way.push_back(at);
    }
  }
  std::pair<double, Vec3> most;
  for (std::size_t i = 1; i + 1 < way.size(); ++i) {
    const double turn = degrees(angle_between(way[i] - way[i - 1], way[i + 1] - way[i]));
    if (turn > most.first) most = {turn, way[i]};
  }
  return most;
}

// A hole that is there costs nothing: a run that is to pass a tile of its own may not go round by
// that hole instead, up to the tile and back on the spot.
TEST_F(Rules, ViaTurnsNoRunBackForTheSakeOfACheaperHole) {
  sketch_model(R"({ "name": "Box", "outline": { "width": 4, "depth": 5 }, "height": 2.9,
    "suspended_ceiling": { "name": "Ceiling", "height": 2.5, "tile": [0.6, 0.6],
                           "grid_from": [0, 0] },
    "holes": [ { "name": "Ready", "at": [1.3, 4.94], "diameter": "40 mm" } ] })",
               folder_, ".glb");
  const Json job = Json::parse(R"({ "model": { "file": "room.glb" },
    "parts": [ { "match": "Ceiling", "is": "suspended ceiling", "tile": [0.6, 0.6],
                 "tile_origin": [0, 0] },
               { "match": "Ready", "is": "hole", "inside": "40 mm" } ],
    "gear": [ { "id": "rack", "box": [0.6, 0.4, 0.8], "at": "Wall front", "from_left": 1.3,
                "ports": ["1..8"] } ],
    "ends": [ { "id": "a", "at": "Wall back", "from_left": 0.79, "up": 1.6 },
              { "id": "b", "at": "Wall front", "from_left": 0.83, "up": 0.7 },
              { "id": "c", "at": "Wall left", "from_left": 2.09, "up": 0.38 } ],
    "runs": [ { "id": "A", "from": "rack", "to": "a", "cable": "cat6", "via": "tile I2" },
              { "id": "B", "from": "rack", "to": "b", "cable": "cat6" },
              { "id": "C", "from": "rack", "to": "c", "cable": "cat6", "via": "tile I3" } ] })");
  EXPECT_EQ(broken(job, job), 0);
  const auto planned = plan(job.dump(), folder_);
  ASSERT_TRUE(planned) << to_text(planned.error());
  for (const PlannedRun& run : planned->plan.runs) {
    ASSERT_TRUE(run.routed);
    const auto [turn, at] = sharpest_turn(*planned, run);
    EXPECT_LT(turn, 165) << "run " << run.run << " at " << at.x << ", " << at.y << ", " << at.z;
  }
}

TEST_F(Rules, ViaThroughAHoleThatNoTrackReachesIsRefusedWithItsReason) {
  Json job = box_job();
  job["runs"][1]["via"] = "Hole far out";
  EXPECT_EQ(broken(job, job), 1) << "a finding";
  ASSERT_EQ(notes_.size(), 1U);
  EXPECT_NE(notes_[0].find("no track reaches it from both sides"), std::string::npos) << notes_[0];
  job["runs"][1]["via"] = "Hole nowhere";
  const auto refused = plan(job.dump(), folder_);
  ASSERT_FALSE(refused) << "nothing is so named";
  EXPECT_NE(to_text(refused.error()).find("Hole nowhere"), std::string::npos);
}

TEST_F(Rules, AvoidKeepsARunOffAFace) {
  Json job = box_job();
  job["runs"][1]["avoid"] = "Wall front";
  expect_broken_without_and_kept_with(job);
}

TEST_F(Rules, NotWithKeepsTwoRunsInWaysOfTheirOwn) {
  Json job = box_job();
  job["runs"][0]["not_with"] = "S1";
  job["ends"][2] = {{"id", "speaker"}, {"at", "Wall back"}, {"from_left", 1.4}, {"up", 0.4}};
  Json without = job;
  without["runs"][0].erase("not_with");
  EXPECT_EQ(broken(without, job), 1) << "the plan that breaks it";
  EXPECT_EQ(broken(job, job), 0);
}

TEST_F(Rules, SameWayAsLeadsTwoRunsTogether) {
  Json job = box_job();
  job["prefer"] = {{"cable_weight", 40}, {"minutes_per_hole", 5000}};
  job["ends"] = Json::parse(R"([
    { "id": "desk", "at": "Wall back", "from_right": 0.9, "up": 0.4 },
    { "id": "screen", "at": "Wall back", "from_left": 0.9, "up": 0.4 },
    { "id": "speaker", "at": "Wall right", "from_left": 2.9, "up": 1.9 } ])");
  Json without = job;
  job["runs"][0]["same_way_as"] = "N2";
  const auto shared = [&](const Json& by) {
    broken(by, by);
    const Json plan = Json::parse(read_text(folder_ / "out" / "plan.json"));
    double metres = 0;
    for (const Json& stretch : plan["runs"][0]["shares"])
      for (const Json& other : stretch["with"])
        if (other == "N2") metres += stretch["metres"].get<double>();
    return metres;
  };
  EXPECT_LT(shared(without), 1.0) << "they go either side of the room";
  EXPECT_GT(shared(job), 4.0) << "the whole side wall";
}

// Cable is nearly free, so that the best way is a long one; the cable does not reach so far.
TEST_F(Rules, TheGreatestLengthOfACableKeepsItsRunShort) {
  Json job = box_job();
  job["prefer"] = {{"preset", "least seen"}, {"cable_weight", 0.01}, {"minutes_per_hole", 1}};
  job["cables"] = Json::parse(R"([ { "id": "short lead", "like": "cat6" } ])");
  for (Json& run : job["runs"]) run["cable"] = "short lead";
  broken(job, job);
  const auto by_itself = lengths_;
  Json shortest = job;
  shortest["prefer"] = {{"cable_weight", 1000}};
  broken(shortest, shortest);
  std::string run;
  for (const auto& [id, length] : by_itself)
    if (run.empty() || length - lengths_[id] > by_itself.at(run) - lengths_[run]) run = id;
  const double limit = 0.5 * (by_itself.at(run) + lengths_[run]);
  ASSERT_GT(by_itself.at(run), limit + 0.05) << "the plan that would break it";
  job["cables"].push_back({{"id", "shorter"}, {"like", "cat6"}, {"greatest_length", limit}});
  for (Json& one : job["runs"])
    if (one["id"] == run) one["cable"] = "shorter";
  broken(job, job);
  EXPECT_LE(lengths_[run], limit) << run;
  EXPECT_TRUE(notes_.empty()) << notes_.front();
  job["cables"][1]["greatest_length"] = 1.0;
  broken(job, job);
  ASSERT_FALSE(notes_.empty()) << "no way is short enough, and that is told";
  EXPECT_NE(notes_[0].find("not even the shortest keeps to the 1"), std::string::npos) << notes_[0];
}

}  // namespace
}  // namespace roomloom::testing
