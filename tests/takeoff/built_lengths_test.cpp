#include <gtest/gtest.h>

#include "takeoff/built.h"

namespace roomloom {
namespace {

TEST(CompareLengths, FindsBiasAndSpreadAndAContingencyThatCoversThem) {
  AsBuilt built;
  for (const double more : {0.1, 0.3, 0.2, 0.1, 0.3}) {
    BuiltRun run;
    run.drawn_m = 10;
    run.predicted_m = 11;
    run.measured_m = 11 + more;
    built.runs.push_back(run);
  }
  const LengthComparison all = compare_lengths(built, 0.02);
  EXPECT_EQ(all.runs, 5);
  EXPECT_NEAR(all.bias, 0.02, 1e-12);
  EXPECT_NEAR(all.spread, 0.01, 1e-12);  // sqrt((2 * 0.01^2 + 2 * 0.01^2) / 4)
  EXPECT_NEAR(all.contingency, 0.02 + 0.02 + 2.05 * 0.01, 1e-12);
}

/// 0.40 m more each, and 1 % of the length: what is the same for all is no contingency.
TEST(CompareLengths, TellsWhatEveryRunDiffersByFromWhatGrowsWithLength) {
  AsBuilt built;
  const auto add = [&](double drawn, double more) {
    BuiltRun run;
    run.drawn_m = drawn;
    run.predicted_m = drawn + 1;
    run.measured_m = run.predicted_m + more;
    built.runs.push_back(run);
  };
  for (const double drawn : {2.0, 5.0, 9.0, 14.0, 20.0}) add(drawn, 0.4 + 0.01 * drawn);
  const LengthComparison all = compare_lengths(built, 0.02);
  EXPECT_NEAR(all.each_m, 0.4, 1e-9);
  EXPECT_NEAR(all.contingency, 0.03, 1e-9);
  // What only scatters shows no such part.
  built.runs.clear();
  for (const double drawn : {2.0, 5.0, 9.0, 14.0, 20.0})
    add(drawn, 0.02 * drawn * (built.runs.size() % 2 == 0 ? 1.2 : 0.8));
  EXPECT_EQ(compare_lengths(built, 0.02).each_m, 0);
}

TEST(CompareLengths, LeavesOutASlipOfThePenAndTellsOfIt) {
  AsBuilt built;
  const auto add = [&](const std::string& id, double drawn, double measured) {
    BuiltRun run;
    run.id = id;
    run.drawn_m = drawn;
    run.predicted_m = drawn + 1;
    run.measured_m = measured;
    built.runs.push_back(run);
  };
  for (const double drawn : {6.0, 8.0, 10.0, 12.0, 14.0}) add("N", drawn, drawn + 1.1);
  const LengthComparison right = compare_lengths(built, 0.02);
  EXPECT_TRUE(right.odd.empty());
  add("N8", 11, 160);   // 16.0 m
  add("N9", 11, 1.2);   // no cable is shorter than its way
  add("S3", 11, 14.9);  // could be, by itself
  const LengthComparison all = compare_lengths(built, 0.02);
  EXPECT_EQ(all.odd, (std::vector<std::string>{"N8", "N9", "S3"}));
  EXPECT_EQ(all.runs, 5);
  EXPECT_DOUBLE_EQ(all.bias, right.bias);
  EXPECT_DOUBLE_EQ(all.contingency, right.contingency);
}

/// What scatters whatever the length is wanted by a short run as much as by a long one.
TEST(CompareLengths, AllowsForWhatScattersInWhatIsTheSameForAll) {
  AsBuilt built;
  double sign = 1;
  for (const double drawn : {2.0, 5.0, 9.0, 14.0, 20.0, 22.0}) {
    BuiltRun run;
    run.drawn_m = drawn;
    run.predicted_m = drawn + 1;
    run.measured_m = run.predicted_m + 0.5 + 0.05 * sign;
    sign = -sign;
    built.runs.push_back(run);
  }
  const LengthComparison all = compare_lengths(built, 0.02);
  ASSERT_NE(all.each_m, 0);
  EXPECT_GT(all.allow_m, all.each_m + 0.05);
  for (const BuiltRun& run : built.runs)
    EXPECT_LT(run.measured_m - run.predicted_m,
              all.allow_m + (all.contingency - 0.02) * run.drawn_m);
}

}  // namespace
}  // namespace roomloom
