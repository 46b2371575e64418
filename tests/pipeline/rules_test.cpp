#include <gtest/gtest.h>

#include <algorithm>

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
