#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>

#include "base/files.h"
#include "job/job.h"

/// One house file that several jobs cut from and give back to.
namespace roomloom {
namespace {

/// The house file's text as jobs record by plans of theirs, and what lies there.
class SharedHouse : public testing::Test {
 protected:
  void SetUp() override {
    house_ = std::filesystem::temp_directory_path() /
             ("roomloom-shared-house-" + std::to_string(::getpid()) + ".json");
  }
  void TearDown() override { std::filesystem::remove(house_); }
  void step(const AsBuilt& before, const AsBuilt& after) {
    const auto next = with_leftovers(text_, "house.json", before, after);
    ASSERT_TRUE(next) << to_text(next.error());
    text_ = next->text;
    told_ = next->told;
  }
  std::vector<double> lengths() {
    EXPECT_TRUE(write_file(house_, text_));
    const JobReading reading =
        examine_job(R"({"model": {"file": "r.glb"}})", "t.json", {house_, {}, false});
    EXPECT_TRUE(reading.job) << to_text(reading.problems.front());
    std::vector<double> all;
    if (reading.job)
      for (const SpoolSpec& spool : reading.job->spools)
        for (int i = 0; i < spool.count; ++i) all.push_back(spool.length_m);
    std::sort(all.begin(), all.end());
    return all;
  }
  static AsBuilt cuts_of(const std::string& plan, const std::vector<double>& metres) {
    AsBuilt built;
    for (const double length : metres) {
      BuiltRun& run = built.runs.emplace_back();
      run.id = "N" + std::to_string(built.runs.size());
      run.measured_m = length;
      run.plan = plan;
      run.spool = "A";
      run.cable = "cat6";
      run.spool_m = 100;
      run.from_shelf = run.in_house = true;
    }
    return built;
  }

  std::filesystem::path house_;
  std::vector<std::string> told_;
  std::string text_ = R"({ "version": 1,
    "stock": { "spools": [ { "cable": "cat6", "length": "100 m", "price": 55 } ] } })";
};

using Lengths = std::vector<double>;

// Two jobs were planned while the spool was whole: both cut from the same one all the same.
TEST_F(SharedHouse, OneWholeSpoolOfTwoPlansIsOneSpool) {
  const std::string whole = text_;
  const AsBuilt one = cuts_of("one", {12}), two = cuts_of("two", {16});
  step({}, one);
  EXPECT_EQ(lengths(), Lengths({88}));
  EXPECT_TRUE(told_.empty());
  step({}, two);
  EXPECT_EQ(lengths(), Lengths({72}));
  const AsBuilt more = cuts_of("one", {12, 5});
  step(one, more);
  EXPECT_EQ(lengths(), Lengths({67})) << "whoever cuts, the one rest is shorter";
  const AsBuilt yet_more = cuts_of("two", {16, 7});
  step(two, yet_more);
  EXPECT_EQ(lengths(), Lengths({60}));
  step(more, {});
  EXPECT_EQ(lengths(), Lengths({77}));
  step(yet_more, {});
  EXPECT_EQ(lengths(), Lengths({100}));
  EXPECT_NE(text_.find("\"price\": 55"), std::string::npos) << text_;
}

TEST_F(SharedHouse, ASpoolThatIsNotThereIsNotMadeOfOneThatIsTooShort) {
  const AsBuilt one = cuts_of("one", {95}), two = cuts_of("two", {16});
  step({}, one);
  EXPECT_EQ(lengths(), Lengths({5}));
  step({}, two);
  EXPECT_EQ(lengths(), Lengths({5, 84})) << "it was cut from another, that the file did not have";
  EXPECT_EQ(told_.size(), 1U);
}

TEST_F(SharedHouse, WhatASpoolCostIsKnownAgainThoughItsRestWasTooShortToKeep) {
  const AsBuilt all = cuts_of("one", {60, 39.95}), less = cuts_of("one", {60});
  step({}, all);
  EXPECT_EQ(lengths(), Lengths({}));
  step(all, less);
  EXPECT_EQ(lengths(), Lengths({40}));
  step(less, all);
  step(all, {});
  EXPECT_EQ(lengths(), Lengths({100}));
  EXPECT_NE(text_.find("\"price\": 55"), std::string::npos) << text_;
}

TEST_F(SharedHouse, ARecordThatIsBegunAnewTakesNoSecondSpool) {
  text_.replace(text_.find("\"price\""), 0, "\"count\": 2, ");
  const AsBuilt one = cuts_of("one", {12});
  step({}, one);
  step({}, one);
  EXPECT_EQ(lengths(), Lengths({88, 100}));
}

// The spool was shorter than its label said, and the file corrected between plan and record.
TEST_F(SharedHouse, ASpoolThatWasCorrectedByHandIsStillTheOneThatWasCut) {
  text_.replace(text_.find("100 m"), 5, "95 m");
  text_.replace(
      text_.find("{ \"cable\""), 0,
      R"({ "cable": "cat6", "length": "305 m" }, { "cable": "cat6", "length": "8 m" }, )");
  const AsBuilt one = cuts_of("one", {9.9}), more = cuts_of("one", {9.9, 10});
  step({}, one);
  EXPECT_EQ(lengths(), Lengths({8, 85.1, 305}));
  ASSERT_EQ(told_.size(), 1U);
  EXPECT_NE(told_[0].find("from A, 100.00 m of cat6"), std::string::npos) << told_[0];
  EXPECT_NE(told_[0].find("95.00 m"), std::string::npos) << told_[0];
  step({}, one);
  EXPECT_EQ(lengths(), Lengths({8, 85.1, 305})) << "a record that is begun anew";
  step(one, more);
  EXPECT_EQ(lengths(), Lengths({8, 75.1, 305}));
  EXPECT_TRUE(told_.empty()) << "it is known by now";
  step(more, {});
  EXPECT_EQ(lengths(), Lengths({8, 95, 305}));
  EXPECT_NE(text_.find("\"price\": 55"), std::string::npos) << text_;
}

TEST_F(SharedHouse, MoreRecordedThanThereWasIsNoLongerThereOnceCorrected) {
  const AsBuilt over = cuts_of("one", {104}), right = cuts_of("one", {9.9});
  step({}, over);
  EXPECT_EQ(lengths(), Lengths({}));
  step(over, right);
  EXPECT_EQ(lengths(), Lengths({90.1}));
  // By way of another mistake.
  const AsBuilt more = cuts_of("one", {110});
  step(right, over);
  step(over, more);
  step(more, right);
  EXPECT_EQ(lengths(), Lengths({90.1}));
  step(right, {});
  EXPECT_EQ(lengths(), Lengths({100}));
}

// Written by hand: of the rest that is there less is left than is worth keeping.
TEST_F(SharedHouse, WhatComesBackIntoARestThatStaysTooShortLeavesTheFileWhole) {
  text_ = R"({ "version": 1, "stock": { "spools": [
    { "cable": "cat6", "length": "0.01 m", "left_from": "two A",
      "was": { "cable": "cat6", "length": "5 m", "left_from": "one A" } } ] } })";
  AsBuilt one = cuts_of("one", {0.02});
  one.runs[0].spool_m = 5.02;
  step(one, {});
  EXPECT_EQ(lengths(), Lengths({}));
  EXPECT_EQ(text_.find("one A"), std::string::npos) << text_;
}

TEST_F(SharedHouse, StaysReadableHoweverManyPlansCutFromOneSpool) {
  double left = 100;
  for (int i = 0; i < 90; ++i) {
    AsBuilt next = cuts_of("plan " + std::to_string(i), {1});
    next.runs[0].spool_m = left;
    step({}, next);
    left -= 1;
  }
  EXPECT_EQ(lengths(), Lengths({10}));
}

}  // namespace
}  // namespace roomloom
