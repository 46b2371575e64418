#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "job/job.h"
#include "job/read_as_built.h"

/// What lies on the job's shelf after one plan was recorded by after another.
namespace roomloom {
namespace {

using Json = nlohmann::json;

Json cut(const std::string& run, double metres, const std::string& plan, const std::string& spool,
         double whole_m, bool from_shelf = true) {
  return {{"run", run},
          {"measured", metres},
          {"spool",
           {{"plan", plan},
            {"name", spool},
            {"cable", "cat6"},
            {"colour", "blue"},
            {"length", whole_m},
            {"on_shelf", from_shelf}}}};
}

Json fixed(const std::string& plan, const std::string& stock, double whole_m, double cut_m) {
  return {
      {"raceway", "16 x 16"},
      {"on", "Wall"},
      {"stock",
       {{"plan", plan}, {"name", stock}, {"length", whole_m}, {"cut", cut_m}, {"on_shelf", true}}}};
}

Job after(const std::vector<Json>& runs, const std::vector<Json>& raceway = {}) {
  auto job = parse_job(R"({"model": {"file": "a.step"}, "ends": [{"id": "a", "xyz": [0, 0, 0]}],
    "runs": [], "stock": {"spools": [{"cable": "cat6", "length": "100 m", "colour": "blue"}],
                          "raceways": [{"raceway": "16 x 16", "length": "3 m"}]}})",
                       "t.json");
  EXPECT_TRUE(job) << to_text(job.error());
  const Json record{{"format", "roomloom-as-built"}, {"runs", runs}, {"raceway", raceway}};
  const auto built = parse_as_built(record.dump(), "as-built.json");
  EXPECT_TRUE(built) << to_text(built.error());
  apply_as_built(*built, *job);
  return *job;
}

double cable_m(const Job& job) {
  double sum = 0;
  for (const SpoolSpec& spool : job.spools) sum += spool.count * spool.length_m;
  return sum;
}

double raceway_m(const Job& job) {
  double sum = 0;
  for (const RacewayStock& stock : job.work.raceway) sum += stock.count * stock.length_m;
  return sum;
}

TEST(ShelfAfterRecords, HoldsTheRestOfASpoolOnceThoughALaterPlanCutIt) {
  EXPECT_NEAR(cable_m(after({})), 100, 1e-9);
  const Json first = cut("N8", 16, "p1", "A1", 100), second = cut("N7", 9.65, "p2", "A1", 84);
  EXPECT_NEAR(cable_m(after({first})), 84, 1e-9);
  const Job twice = after({first, second});
  ASSERT_EQ(twice.spools.size(), 1U);
  EXPECT_NEAR(twice.spools[0].length_m, 74.35, 1e-9);
  EXPECT_NEAR(cable_m(after({first, second, cut("N6", 10, "p3", "B2", 74.35)})), 64.35, 1e-9);
}

TEST(ShelfAfterRecords, KnowsThatSpoolThoughTheEarlierPlanIsRecordedByOnceMore) {
  const Json first = cut("N8", 16, "p1", "A1", 100), late = cut("N5", 12, "p1", "A1", 100);
  EXPECT_NEAR(cable_m(after({first, cut("N7", 9.65, "p2", "A1", 84), late})), 62.35, 1e-9);
  // p2 was made before the late cut, and recorded by after it.
  EXPECT_NEAR(cable_m(after({first, late, cut("N7", 9.65, "p2", "A1", 84)})), 62.35, 1e-9);
}

TEST(ShelfAfterRecords, HoldsTwoRestsOfOnePlanAndWhatWasBought) {
  EXPECT_NEAR(cable_m(after({cut("N8", 16, "p1", "A1", 100), cut("N7", 16, "p1", "A2", 100, false),
                             cut("N6", 4, "p2", "A1", 84), cut("N5", 4, "p2", "A2", 84)})),
              160, 1e-9);
}

/// The same records beside a stock that was changed by hand since.
Job beside(const char* stock, const std::vector<Json>& runs) {
  auto job =
      parse_job(R"({"model": {"file": "a.step"}, "runs": [], "stock": )" + std::string(stock) + "}",
                "t.json");
  EXPECT_TRUE(job) << to_text(job.error());
  const Json record{{"format", "roomloom-as-built"}, {"runs", runs}};
  const auto built = parse_as_built(record.dump(), "as-built.json");
  EXPECT_TRUE(built) << to_text(built.error());
  apply_as_built(*built, *job);
  return *job;
}

// A spool that was shorter than its label said, corrected in the job: it is not there twice.
TEST(ShelfAfterRecords, ASpoolThatWasCorrectedByHandIsStillTheOneThatWasCut) {
  const Json first = cut("N8", 16, "p1", "A1", 100), second = cut("N7", 4, "p2", "A1", 84);
  const char* corrected =
      R"({"spools": [{"cable": "cat6", "length": "30 m", "colour": "blue"},
                     {"cable": "cat6", "length": "300 m", "colour": "blue", "on_shelf": false}]})";
  const Job once = beside(corrected, {first});
  EXPECT_NEAR(cable_m(once) - 300, 14, 1e-9);
  ASSERT_EQ(once.origin.notes.size(), 1U);
  EXPECT_NE(once.origin.notes[0].find("100.00 m"), std::string::npos) << once.origin.notes[0];
  EXPECT_NE(once.origin.notes[0].find("30.00 m"), std::string::npos) << once.origin.notes[0];
  EXPECT_NEAR(cable_m(beside(corrected, {first, second})) - 300, 10, 1e-9);
  EXPECT_TRUE(after({first, second}).origin.notes.empty()) << "nothing was changed";
}

// Corrected after the first of three plans: the later ones found the rest as it really was.
TEST(ShelfAfterRecords, ASpoolThatWasCorrectedByHandIsKnownToThePlansMadeSince) {
  const Json first = cut("N8", 9.9, "p1", "A1", 100), second = cut("N7", 10.8, "p2", "A1", 85.1),
             third = cut("N6", 4, "p3", "A1", 74.3), late = cut("N5", 5, "p1", "A1", 100);
  const char* corrected = R"({"spools": [{"cable": "cat6", "length": "95 m", "colour": "blue"}]})";
  const Job twice = beside(corrected, {first, second});
  ASSERT_EQ(twice.spools.size(), 1U);
  EXPECT_NEAR(twice.spools[0].length_m, 74.3, 1e-9);
  EXPECT_EQ(twice.origin.notes.size(), 1U) << "of the correction, and of nothing else";
  const Job thrice = beside(corrected, {first, second, third});
  ASSERT_EQ(thrice.spools.size(), 1U);
  EXPECT_NEAR(thrice.spools[0].length_m, 70.3, 1e-9);
  // The first plan is recorded by once more, after the second was made.
  EXPECT_NEAR(cable_m(beside(corrected, {first, late, second})), 69.3, 1e-9);
}

TEST(ShelfAfterRecords, ASpoolFromWhichMoreIsRecordedThanItHeldIsUsedUp) {
  const Job job = after({cut("N8", 104, "p1", "A1", 100)});
  EXPECT_NEAR(cable_m(job), 0, 1e-9);
  EXPECT_TRUE(job.origin.notes.empty());
}

TEST(ShelfAfterRecords, WhatTheStockListsNoMoreIsTold) {
  const Job job = beside(R"({"spools": []})", {cut("N8", 16, "p1", "A1", 100)});
  EXPECT_NEAR(cable_m(job), 84, 1e-9);
  EXPECT_EQ(job.origin.notes.size(), 1U);
}

TEST(ShelfAfterRecords, HoldsRacewayOnceToo) {
  const Json first = fixed("p1", "no. 1", 3, 1.2), second = fixed("p2", "no. 3", 1.8, 0.5);
  EXPECT_NEAR(raceway_m(after({}, {first})), 1.8, 1e-9);
  EXPECT_NEAR(raceway_m(after({}, {first, second})), 1.3, 1e-9);
  EXPECT_NEAR(raceway_m(after({}, {first, second, fixed("p3", "no. 1", 1.3, 1.1)})), 0, 1e-9)
      << "a rest of 0.2 m is waste";
}

}  // namespace
}  // namespace roomloom
