#include "job/variants.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "job/job.h"

namespace roomloom {
namespace {

constexpr const char* kJob = R"({
  "model": { "file": "room.glb" },
  "parts": [ { "match": "Wall *", "is": "wall", "fishable": true } ],
  "gear": [ { "id": "rack", "box": [0.6, 0.5, 1], "at": "Wall front", "from_left": 0.2, "ports": ["W1..W2", "S1..S9"] } ],
  "ends": [ { "id": "sub front left", "at": "Floor", "from_left": 0.4, "up": 4.6 },
            { "id": "sub front right", "at": "Floor", "from_right": 0.4, "up": 4.6 } ],
  "layout": { "system": "4+5+0", "listener": { "xyz": [2, 2, 1.2] } },
  "runs": [ { "id": "W1", "from": "rack.W1", "to": "sub front left", "cable": "line coax" },
            { "id": "W2", "from": "rack.W2", "to": "sub front right", "cable": "line coax" },
            { "id": "S1", "from": "rack.S1", "to": "M+030", "cable": "speaker 2x2.5" } ],
  "prefer": "least seen",
  "variants": [
    { "name": "two subwoofers" },
    { "name": "four subwoofers", "change": {
        "gear": [ { "id": "rack", "ports": ["W1..W4", "S1..S9"] } ],
        "ends": [ { "id": "sub rear", "at": "Floor", "from_left": 0.4, "up": 0.4 } ],
        "runs": [ { "id": "W3", "from": "rack.W3", "to": "sub rear", "cable": "line coax" } ] } },
    { "name": "rack right", "change": { "gear": [ { "id": "rack", "from_left": 3 } ] } },
    { "name": "4+7+0 later", "change": {
        "layout": { "system": "4+7+0" },
        "runs": [ { "id": "S2", "from": "rack.S2", "to": "M+090", "cable": "speaker 2x2.5" } ] } },
    { "name": "on the wall", "change": {
        "parts": [ { "match": "Wall front", "is": "wall", "fishable": false } ],
        "prefer": { "contingency": "10 %" } } },
    { "name": "one subwoofer", "without": ["sub front right"] }
  ]
})";

Job read(const std::vector<std::string>& variants) {
  const auto job = parse_job(kJob, "t.json", {{}, variants, false});
  EXPECT_TRUE(job) << to_text(job.error());
  return job ? *job : Job{};
}

std::vector<std::string> run_ids(const Job& job) {
  std::vector<std::string> ids;
  for (const RunSpec& run : job.runs) ids.push_back(run.id);
  return ids;
}

const RunSpec& run_of(const Job& job, const std::string& id) {
  return *std::find_if(job.runs.begin(), job.runs.end(),
                       [&](const RunSpec& run) { return run.id == id; });
}

using Ids = std::vector<std::string>;

TEST(Variants, AJobIsReadAsWrittenUnlessOneIsChosen) {
  const Job job = read({});
  EXPECT_EQ(run_ids(job), (Ids{"W1", "W2", "S1"}));
  EXPECT_EQ(job.origin.variants.size(), 6U);
  EXPECT_TRUE(job.origin.chosen.empty());
}

TEST(Variants, AChangeIsMergedItemByItem) {
  const Job job = read({"four subwoofers"});
  EXPECT_EQ(run_ids(job), (Ids{"W1", "W2", "S1", "W3"}));
  ASSERT_EQ(job.gear.size(), 1U);
  EXPECT_EQ(job.gear[0].holds[0].ports.size(), 13U);
  EXPECT_EQ(job.ends.size(), 3U);
}

TEST(Variants, ARuleForPartsComesBeforeThoseThatItOverrules) {
  const Job job = read({"on the wall"});
  ASSERT_EQ(job.parts.size(), 2U);
  EXPECT_EQ(job.parts[0].match, "Wall front");
  EXPECT_EQ(job.parts[0].fishable, false);
}

TEST(Variants, APresetStaysWhereOnlyAMarginIsChanged) {
  const Job job = read({"on the wall"});
  EXPECT_EQ(job.prefer.preset, Preset::least_seen);
  EXPECT_DOUBLE_EQ(job.prefer.contingency, 0.1);
}

TEST(Variants, WhatIsTakenAwayTakesItsRunsAlong) {
  const Job job = read({"one subwoofer"});
  EXPECT_EQ(run_ids(job), (Ids{"W1", "S1"}));
  EXPECT_EQ(job.ends.size(), 1U);
}

TEST(Variants, WiredTogetherEachSameRunIsThereOnceAndTheOtherIsAProvision) {
  const Job job = read({"two subwoofers", "four subwoofers"});
  EXPECT_EQ(run_ids(job), (Ids{"W1", "W2", "S1", "W3"}));
  EXPECT_FALSE(run_of(job, "W1").provision);
  EXPECT_TRUE(run_of(job, "W3").provision);
  ASSERT_EQ(job.gear.size(), 1U) << "the rack stands in one place";
  EXPECT_EQ(job.gear[0].holds[0].ports.size(), 13U);
  EXPECT_TRUE(job.origin.notes.empty());
}

TEST(Variants, ALaterLayoutAddsItsLabelsAndTheFirstOneCounts) {
  const Job job = read({"two subwoofers", "4+7+0 later"});
  EXPECT_EQ(run_ids(job), (Ids{"W1", "W2", "S1", "S2"}));
  EXPECT_EQ(job.layout->system, "4+5+0");
  ASSERT_EQ(job.origin.notes.size(), 1U);
  EXPECT_NE(job.origin.notes[0].find("\"layout\""), std::string::npos);
}

TEST(Variants, GearInTwoPlacesIsWiredFromBoth) {
  const Job job = read({"two subwoofers", "rack right"});
  ASSERT_EQ(job.gear.size(), 2U);
  EXPECT_EQ(job.gear[1].id, "rack (rack right)");
  EXPECT_EQ(run_ids(job),
            (Ids{"W1", "W2", "S1", "W1 (rack right)", "W2 (rack right)", "S1 (rack right)"}));
  EXPECT_EQ(run_of(job, "W2 (rack right)").from, "rack (rack right).W2");
  EXPECT_EQ(run_of(job, "W2 (rack right)").to, "sub front right");
}

TEST(Variants, TheJobItselfCanSayWhichAreWired) {
  std::string text = kJob;
  text.replace(text.rfind('}'), 1, R"(, "wire": ["two subwoofers", "four subwoofers"] })");
  const auto job = parse_job(text, "t.json");
  ASSERT_TRUE(job) << to_text(job.error());
  EXPECT_EQ(job->runs.size(), 4U);
  const auto plain = parse_job(text, "t.json", {{}, {}, true});
  ASSERT_TRUE(plain);
  EXPECT_EQ(plain->runs.size(), 3U);
}

TEST(Variants, MistakesInOneAreToldAtTheirOwnPlaceThoughAnotherIsRead) {
  const std::string text = R"({ "model": { "file": "r.glb" },
  "gear": [ { "id": "rack", "box": [0.6, 0.5, 1], "at": "Wall front", "from_left": 1, "ports": ["1"] } ],
  "ends": [ { "id": "desk", "xyz": [1, 1, 1] } ],
  "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "cat6" } ],
  "variants": [ { "name": "other", "change": {
    "runs": [ { "id": "N2", "from": "rack", "to": "deks", "cable": "cat6" } ] } },
    { "name": "less", "without": ["disk"] } ] })";
  const JobReading reading = examine_job(text, "t.json");
  ASSERT_EQ(reading.problems.size(), 2U);
  EXPECT_EQ(reading.problems[0].where, "t.json:7:34 /variants/1/without");
  EXPECT_EQ(reading.problems[0].remedy, "Did you mean \"desk\"?");
  EXPECT_EQ(reading.problems[1].where, "t.json:6:51 /variants/0/change/runs/0/to");
  EXPECT_EQ(reading.problems[1].what.find("In the variant \"other\": "), 0U);
}

TEST(Variants, NamesThatNothingHasAreRefused) {
  const auto chosen = parse_job(kJob, "t.json", {{}, {"six subwoofers"}, false});
  ASSERT_FALSE(chosen);
  EXPECT_NE(chosen.error().remedy.find("four subwoofers"), std::string::npos);
}

}  // namespace
}  // namespace roomloom
