#include <gtest/gtest.h>

#include "job/job.h"
#include "job/read_as_built.h"

namespace roomloom {
namespace {

Result<Job> job_with(const std::string& more) {
  return parse_job(R"({"model": {"file": "a.step"},
    "ends": [{"id": "a", "xyz": [0, 0, 0]}, {"id": "b", "xyz": [1, 0, 0]}],
    "runs": [{"id": "S1", "from": "a", "to": "b", "cable": "speaker 2x2.5"}], )" +
                       more + "}",
                   "t.json");
}

TEST(Work, IsReadWithItsPricesAndTheShelfsRaceway) {
  const auto job = job_with(R"("currency": "GBP",
    "work": {"kerf": "2 mm", "raceway_corners": "butt", "day_minutes": 240, "money_per_hour": 40,
             "markup": "10 %", "minutes": [{"task": "cut a hole", "minutes": 24},
                                           {"task": "lift a tile", "minutes": 3, "least": 2, "most": 9}]},
    "prices": [{"item": "network jack", "price": 6}],
    "stock": {"raceways": [{"raceway": "16 x 16", "length": "1.2 m", "count": 2}]})");
  ASSERT_TRUE(job) << to_text(job.error());
  const WorkSpec& work = job->work;
  EXPECT_DOUBLE_EQ(work.kerf_m, 0.002);
  EXPECT_EQ(work.corners, RacewayCorners::butt);
  EXPECT_DOUBLE_EQ(work.markup, 0.1);
  ASSERT_EQ(work.minutes.size(), 2U);
  EXPECT_DOUBLE_EQ(work.minutes[0].least, 12);  // the built-in 6 to 25 about 12, doubled
  EXPECT_DOUBLE_EQ(work.minutes[0].most, 50);
  EXPECT_DOUBLE_EQ(work.minutes[1].most, 9);
  ASSERT_EQ(work.prices.size(), 1U);
  EXPECT_DOUBLE_EQ(work.prices[0].price, 6);
  ASSERT_EQ(work.raceway.size(), 1U);
  EXPECT_EQ(work.raceway[0].count, 2);
}

TEST(Work, NamesTheTaskThatWasMeant) {
  const auto job = job_with(R"("work": {"minutes": [{"task": "cut a hol", "minutes": 24}]})");
  ASSERT_FALSE(job);
  EXPECT_NE(to_text(job.error()).find("cut a hole"), std::string::npos) << to_text(job.error());
}

TEST(Work, RefusesMinutesOutOfTheirRange) {
  EXPECT_FALSE(
      job_with(R"("work": {"minutes": [{"task": "cut a hole", "minutes": 24, "most": 20}]})"));
}

TEST(AsBuilt, InstallsRunsAndPutsTheRestOfTheSpoolOnTheShelf) {
  auto job = job_with(R"("stock": {"spools": [
    {"cable": "speaker 2x2.5", "length": "50 m", "colour": "black", "count": 2}]})");
  ASSERT_TRUE(job) << to_text(job.error());
  const auto built = parse_as_built(R"({"format": "roomloom-as-built", "runs": [
    {"run": "S1", "mark_start": "120 m", "mark_end": "107.5 m", "predicted": 12, "drawn": 10,
     "way": ["tile A1"], "spool": {"plan": "p", "name": "A1", "cable": "speaker 2x2.5",
     "colour": "black", "length": 50, "on_shelf": true}}]})",
                                    "as-built.json");
  ASSERT_TRUE(built) << to_text(built.error());
  apply_as_built(*built, *job);
  EXPECT_TRUE(job->runs[0].installed);
  EXPECT_DOUBLE_EQ(*job->runs[0].measured_m, 12.5);
  EXPECT_EQ(job->runs[0].via, std::vector<std::string>{"tile A1"});
  ASSERT_EQ(job->spools.size(), 2U);  // one whole one, and the rest of the other
  EXPECT_EQ(job->spools[0].count, 1);
  EXPECT_DOUBLE_EQ(job->spools[1].length_m, 37.5);
}

TEST(AsBuilt, RefusesARunWithoutALengthAndAFileOfAnotherKind) {
  const auto none =
      parse_as_built(R"({"format": "roomloom-as-built", "runs": [{"run": "S1"}]})", "r");
  ASSERT_FALSE(none);
  EXPECT_EQ(none.error().code, "built.length");
  EXPECT_FALSE(parse_as_built(R"({"runs": []})", "r"));
}

TEST(AsBuilt, TellsWhereTheMissingFileWasLookedFor) {
  const auto job = job_with(R"("as_built": "nowhere.json")");
  ASSERT_FALSE(job);
  EXPECT_NE(to_text(job.error()).find("/as_built"), std::string::npos) << to_text(job.error());
}

}  // namespace
}  // namespace roomloom
