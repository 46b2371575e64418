#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

#include <map>

#include "base/files.h"
#include "job/job.h"

namespace roomloom {
namespace {

namespace fs = std::filesystem;

constexpr const char* kHouse = R"({
  "version": 1,
  "name": "Two hands and a ladder",
  "currency": "GBP",
  "favourites": { "loudspeaker": "house pair", "network": "cat6" },
  "cables": [ { "id": "house pair", "like": "speaker 2x2.5", "price_per_metre": 1.1 } ],
  "prices": [ { "item": "grommet", "price": 2 }, { "item": "hook", "price": 1 } ],
  "work": { "money_per_hour": 40, "minutes": [ { "task": "cut a hole", "minutes": 8 },
                                               { "task": "lift a tile", "minutes": 1 } ] },
  // what lies on the shelf
  "stock": { "spools": [
    { "cable": "cat6", "length": "305 m", "count": 2 },
    { "cable": "house pair", "length": 40, "colour": "black" } ] },
  "prefer": { "contingency": "5 %", "money_per_minute": 0.8 }
})";

std::string job(const std::string& more) {
  return R"({ "model": { "file": "r.glb" },
    "gear": [ { "id": "rack", "box": [0.6, 0.5, 1], "at": "Wall front", "from_left": 1, "ports": ["1..2"] } ],
    "ends": [ { "id": "desk", "xyz": [1, 1, 1] }, { "id": "left", "xyz": [1, 2, 1] } ],
    "runs": [ { "id": "N1", "from": "rack", "to": "desk", "cable": "network" },
              { "id": "S1", "from": "rack", "to": "left", "cable": "loudspeaker" } ])" +
         more + "}";
}

class HouseTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ =
        fs::temp_directory_path() / ("roomloom-house-" + std::to_string(::getpid()) + "-" +
                                     testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::create_directories(folder_);
    ASSERT_TRUE(write_file(house(), kHouse));
  }
  void TearDown() override { fs::remove_all(folder_); }
  fs::path house() const { return folder_ / "house.json"; }
  JobReading read(const std::string& more) const {
    return examine_job(job(more), "t.json", {house(), {}, false});
  }
  fs::path folder_;
};

double minutes_of(const Job& job, const std::string& task) {
  for (const WorkTask& one : job.work.minutes)
    if (one.name == task) return one.minutes;
  return 0;
}

double price_of(const Job& job, const std::string& item) {
  for (const ItemPrice& one : job.work.prices)
    if (one.item == item) return one.price;
  return 0;
}

TEST_F(HouseTest, WhatTheHouseKeepsGoesForEveryJob) {
  const JobReading reading = read("");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.front());
  const Job& job = *reading.job;
  EXPECT_EQ(job.runs[0].cable, "cat6");
  EXPECT_EQ(job.runs[1].cable, "house pair");
  EXPECT_EQ(job.currency, "GBP");
  EXPECT_DOUBLE_EQ(job.prefer.contingency, 0.05);
  EXPECT_DOUBLE_EQ(job.prefer.money_per_minute, 0.8);
  EXPECT_DOUBLE_EQ(job.work.money_per_hour, 40);
  EXPECT_DOUBLE_EQ(minutes_of(job, "cut a hole"), 8);
  EXPECT_DOUBLE_EQ(price_of(job, "grommet"), 2);
  EXPECT_EQ(job.spools.size(), 2U);
  EXPECT_TRUE(job.origin.house_stock);
}

TEST_F(HouseTest, AJobOverridesIt) {
  const JobReading reading = read(R"(, "currency": "EUR", "prefer": "least work",
    "favourites": { "network": "cat6a" }, "prices": [ { "item": "hook", "price": 3 } ],
    "work": { "minutes": [ { "task": "cut a hole", "minutes": 20 } ] },
    "stock": { "spools": [ { "cable": "cat6a", "length": 100 } ] })");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.front());
  const Job& job = *reading.job;
  EXPECT_EQ(job.runs[0].cable, "cat6a");
  EXPECT_EQ(job.currency, "EUR");
  EXPECT_DOUBLE_EQ(job.prefer.money_per_minute, 2) << "the job's preset beats the house's weight";
  EXPECT_DOUBLE_EQ(job.prefer.contingency, 0.05) << "of which the preset says nothing";
  EXPECT_DOUBLE_EQ(minutes_of(job, "cut a hole"), 20);
  EXPECT_DOUBLE_EQ(minutes_of(job, "lift a tile"), 1);
  EXPECT_DOUBLE_EQ(price_of(job, "hook"), 3);
  EXPECT_DOUBLE_EQ(price_of(job, "grommet"), 2);
  ASSERT_EQ(job.spools.size(), 1U);
  EXPECT_FALSE(job.origin.house_stock);
}

TEST_F(HouseTest, ItsMistakesAreToldWithItsOwnFileLineAndPointer) {
  ASSERT_TRUE(write_file(house(),
                         "{\n \"prices\": [ { \"item\": \"hook\", \"prise\": 1 } ],\n"
                         " \"favourites\": { \"network\": \"cat66\" },\n"
                         " \"runs\": []\n}"));
  const JobReading reading = read("");
  EXPECT_FALSE(reading.job);
  std::string all;
  for (const Error& problem : reading.problems) all += to_text(problem) + "\n";
  EXPECT_NE(all.find(house().string() + ":2:32 /prices/0/prise"), std::string::npos) << all;
  EXPECT_NE(all.find(house().string() + ":3:29 /favourites/network"), std::string::npos) << all;
  EXPECT_NE(all.find(house().string() + ":4:2 /runs"), std::string::npos) << all;
}

TEST_F(HouseTest, ARunWithoutAFavouriteSaysWhatToDo) {
  const JobReading reading = examine_job(job(""), "t.json");
  ASSERT_EQ(reading.problems.size(), 2U);
  EXPECT_EQ(reading.problems[0].code, "job.choose-cable");
  EXPECT_NE(reading.problems[0].remedy.find("house file"), std::string::npos);
}

TEST_F(HouseTest, ANewerOneSaysWhatToDo) {
  ASSERT_TRUE(write_file(house(), R"({"version": 2, "future": {}})"));
  const JobReading reading = read("");
  ASSERT_FALSE(reading.problems.empty());
  EXPECT_EQ(reading.problems[0].code, "version.newer");
  EXPECT_NE(reading.problems[0].remedy.find("newer roomloom"), std::string::npos);
}

TEST_F(HouseTest, ItIsFoundByFlagEnvironmentAndConfigurationFolder) {
  fs::create_directories(folder_ / "config" / "roomloom");
  const fs::path usual = folder_ / "config" / "roomloom" / "house.json";
  ASSERT_TRUE(write_file(usual, "{}"));
  ::unsetenv("ROOMLOOM_HOUSE");
  ::setenv("XDG_CONFIG_HOME", (folder_ / "config").c_str(), 1);
  EXPECT_EQ(*house_file(""), usual);
  ::setenv("ROOMLOOM_HOUSE", house().c_str(), 1);
  EXPECT_EQ(*house_file(""), house());
  EXPECT_EQ(*house_file(usual.string()), usual);
  EXPECT_TRUE(house_file("none")->empty());
  ::setenv("ROOMLOOM_HOUSE", "none", 1);
  EXPECT_TRUE(house_file("")->empty());
  EXPECT_EQ(house_file((folder_ / "nowhere.json").string()).error().code, "house.missing");
  ::unsetenv("ROOMLOOM_HOUSE");
  ::setenv("XDG_CONFIG_HOME", (folder_ / "empty").c_str(), 1);
  EXPECT_TRUE(house_file("")->empty());
}

BuiltRun cut(const std::string& id, const std::string& spool, const std::string& cable,
             double spool_m, double measured_m) {
  BuiltRun run;
  run.id = id;
  run.measured_m = measured_m;
  run.plan = "abc";
  run.spool = spool;
  run.cable = cable;
  run.spool_m = spool_m;
  run.from_shelf = true;
  run.in_house = true;
  return run;
}

TEST_F(HouseTest, WhatIsLeftOfASpoolGoesBackToItsStockAndCommentsStay) {
  AsBuilt before, after;
  after.runs = {cut("N1", "A", "cat6", 305, 12.5)};
  const auto once = with_leftovers(kHouse, "house.json", before, after);
  ASSERT_TRUE(once);
  EXPECT_NE(once->text.find("// what lies on the shelf"), std::string::npos);
  ASSERT_TRUE(write_file(house(), once->text));
  JobReading reading = read("");
  ASSERT_TRUE(reading.job) << to_text(reading.problems.front());
  ASSERT_EQ(reading.job->spools.size(), 3U);
  EXPECT_EQ(reading.job->spools[0].count, 1) << "one whole spool was begun";
  EXPECT_DOUBLE_EQ(reading.job->spools[2].length_m, 292.5);

  // A second run from it, and the first measured again.
  before = after;
  after.runs = {cut("N1", "A", "cat6", 305, 13), cut("N2", "A", "cat6", 305, 20)};
  const auto twice = with_leftovers(once->text, "house.json", before, after);
  ASSERT_TRUE(twice);
  ASSERT_TRUE(write_file(house(), twice->text));
  reading = read("");
  ASSERT_EQ(reading.job->spools.size(), 3U);
  EXPECT_EQ(reading.job->spools[0].count, 1);
  EXPECT_DOUBLE_EQ(reading.job->spools[2].length_m, 272);
}

TEST_F(HouseTest, WhatWasRecordedByMistakeLiesThereWholeAgain) {
  AsBuilt one, two;
  one.runs = {cut("N1", "A", "cat6", 305, 12.5)};
  two.runs = {cut("N1", "A", "cat6", 305, 12.5), cut("S1", "B", "house pair", 40, 12)};
  two.runs[1].colour = "black";
  const auto begun = with_leftovers(kHouse, "house.json", {}, two);
  ASSERT_TRUE(begun);
  const auto less = with_leftovers(begun->text, "house.json", two, one);
  ASSERT_TRUE(less);
  const auto none = with_leftovers(less->text, "house.json", one, {});
  ASSERT_TRUE(none);
  ASSERT_TRUE(write_file(house(), none->text));
  const JobReading after = read("");
  ASSERT_TRUE(after.job) << to_text(after.problems.front());
  ASSERT_TRUE(write_file(house(), kHouse));
  const JobReading before = read("");
  ASSERT_EQ(after.job->spools.size(), before.job->spools.size());
  const auto whole = [](const Job& job) {
    std::map<std::pair<std::string, double>, int> count;
    for (const SpoolSpec& spool : job.spools) count[{spool.cable, spool.length_m}] += spool.count;
    return count;
  };
  EXPECT_EQ(whole(*after.job), whole(*before.job));
}

// The first job's rest is the second's spool: what both take back is one spool, as it was written.
TEST_F(HouseTest, OneSpoolOfTwoJobsComesBackOnceAndAsItWas) {
  const std::string house_text = R"({ "version": 1,
    "favourites": { "loudspeaker": "speaker 2x2.5", "network": "cat6" }, "stock": { "spools": [
    { "cable": "cat6", "length": "305 m", "count": 2, "price": 99.5 },
    { "cable": "cat6", "length": "50 m", "colour": "grey", "price": 9.5 } ] } })";
  AsBuilt first, second;
  first.runs = {cut("N1", "A", "cat6", 50, 3.2)};
  second.runs = {cut("N9", "A", "cat6", 46.8, 10)};
  second.runs[0].plan = "xyz";
  for (BuiltRun* run : {&first.runs[0], &second.runs[0]}) run->colour = "grey";
  std::string text = house_text;
  const auto step = [&](const AsBuilt& before, const AsBuilt& after) {
    const auto next = with_leftovers(text, "house.json", before, after);
    ASSERT_TRUE(next) << to_text(next.error());
    text = next->text;
    ASSERT_TRUE(write_file(house(), text));
    const JobReading reading = read("");
    ASSERT_TRUE(reading.job) << to_text(reading.problems.front());
  };
  const auto grey_m = [&] {
    const JobReading reading = read("");
    double sum = 0;
    for (const SpoolSpec& spool : reading.job->spools)
      if (spool.colour == "grey") sum += spool.count * spool.length_m;
    return sum;
  };
  step({}, first);
  step({}, second);
  EXPECT_NEAR(grey_m(), 36.8, 1e-9);
  step(second, {});
  EXPECT_NEAR(grey_m(), 46.8, 1e-9);
  AsBuilt longer = first;
  longer.runs[0].measured_m = 4;
  step(first, longer);
  EXPECT_NEAR(grey_m(), 46, 1e-9) << "it is the first job's rest again";
  step(longer, {});
  EXPECT_NEAR(grey_m(), 50, 1e-9);
  EXPECT_NE(text.find("\"price\": 9.5"), std::string::npos) << text;
  EXPECT_NE(text.find("\"price\": 99.5"), std::string::npos) << text;

  // Taken back in the other order: the rest is in the second job's hands, and so much longer.
  text = house_text;
  step({}, first);
  step({}, second);
  step(first, {});
  EXPECT_NEAR(grey_m(), 40, 1e-9) << "36.8 left by the second, 3.2 of the first";
  step(second, {});
  EXPECT_NEAR(grey_m(), 50, 1e-9);
  EXPECT_NE(text.find("\"price\": 9.5"), std::string::npos) << text;
}

TEST_F(HouseTest, ARestTooShortToKeepLeavesTheStock) {
  AsBuilt after;
  after.runs = {cut("S1", "B", "house pair", 40, 39.95)};
  after.runs[0].colour = "black";
  const auto text = with_leftovers(kHouse, "house.json", {}, after);
  ASSERT_TRUE(text);
  ASSERT_TRUE(write_file(house(), text->text));
  const JobReading reading = read("");
  ASSERT_TRUE(reading.job);
  EXPECT_EQ(reading.job->spools.size(), 1U);
}

BuiltRaceway fixed(const std::string& stock, double stock_m, double cut_m) {
  BuiltRaceway piece;
  piece.raceway = "40 x 25";
  piece.plan = "abc";
  piece.stock = stock;
  piece.stock_m = stock_m;
  piece.cut_m = cut_m;
  piece.in_house = true;
  return piece;
}

TEST_F(HouseTest, WhatIsLeftOfALengthOfRacewayGoesBackToItsStockAsWell) {
  AsBuilt one, two;
  one.raceway = {fixed("40 x 25 no. 1", 3, 1.2)};
  two.raceway = {fixed("40 x 25 no. 1", 3, 1.2), fixed("40 x 25 no. 1", 3, 1.0),
                 fixed("40 x 25 no. 2", 3, 2.9)};
  const auto once = with_leftovers(kHouse, "house.json", {}, one);
  ASSERT_TRUE(once);
  ASSERT_TRUE(write_file(house(), once->text));
  JobReading reading = read("");
  ASSERT_TRUE(reading.job) << once->text << to_text(reading.problems.front());
  ASSERT_EQ(reading.job->work.raceway.size(), 1U);
  EXPECT_NEAR(reading.job->work.raceway[0].length_m, 1.8, 1e-9);
  EXPECT_EQ(reading.job->spools.size(), 2U) << "spools are as they were";
  const auto twice = with_leftovers(once->text, "house.json", one, two);
  ASSERT_TRUE(twice);
  ASSERT_TRUE(write_file(house(), twice->text));
  reading = read("");
  ASSERT_TRUE(reading.job);
  ASSERT_EQ(reading.job->work.raceway.size(), 1U) << "0.1 m is not worth keeping";
  EXPECT_NEAR(reading.job->work.raceway[0].length_m, 0.8, 1e-9);
  // Used up since by somebody: it does not come back.
  AsBuilt three = two;
  three.raceway.push_back(fixed("40 x 25 no. 1", 3, 0.1));
  const auto gone = with_leftovers(kHouse, "house.json", two, three);
  ASSERT_TRUE(gone);
  EXPECT_EQ(gone->text.find("40 x 25"), std::string::npos);
}

TEST_F(HouseTest, AHouseFileWithoutStockGetsOne) {
  AsBuilt after;
  after.runs = {cut("N1", "A", "cat6", 100, 40)};
  after.runs[0].from_shelf = false;  // a spool that was bought for the job
  for (const char* text : {"{}", "{\n  // mine\n  \"name\": \"x\" }", R"({"stock": {}})",
                           R"({"stock": {"spools": []}})"}) {
    const auto changed = with_leftovers(text, "house.json", {}, after);
    ASSERT_TRUE(changed) << text;
    ASSERT_TRUE(write_file(house(), changed->text));
    const JobReading reading =
        examine_job(R"({"model": {"file": "r.glb"}})", "t.json", {house(), {}, false});
    ASSERT_TRUE(reading.job) << changed->text << to_text(reading.problems.front());
    ASSERT_EQ(reading.job->spools.size(), 1U) << changed->text;
    EXPECT_DOUBLE_EQ(reading.job->spools[0].length_m, 60);
  }
}

TEST(JobVersion, AnOlderJobOpensAndANewerOneSaysWhatToDo) {
  EXPECT_TRUE(examine_job(R"({"model": {"file": "r.glb"}})", "t.json").job);
  EXPECT_TRUE(examine_job(R"({"version": 1, "model": {"file": "r.glb"}})", "t.json").job);
  const JobReading newer = examine_job(R"({"version": 2, "model": 7, "later": 1})", "t.json");
  ASSERT_EQ(newer.problems.size(), 1U) << "its other keys are not judged";
  EXPECT_EQ(newer.problems[0].code, "version.newer");
  EXPECT_NE(newer.problems[0].what.find("version 2"), std::string::npos);
  EXPECT_NE(newer.problems[0].remedy.find("newer roomloom"), std::string::npos);
  EXPECT_EQ(
      examine_job(R"({"version": 0.5, "model": {"file": "r.glb"}})", "t.json").problems.size(), 1U);
}

}  // namespace
}  // namespace roomloom
