#include <gtest/gtest.h>

#include "check/drawn_runs.h"

/// Runs drawn nearer to each other than their cables are thick, on centrelines made by hand.
namespace roomloom::check {
namespace {

std::vector<Finding> told_of(const std::vector<double>& places, double diameter_m) {
  CableType cable;
  cable.diameter_m = diameter_m;
  std::vector<DrawnRun> runs;
  for (const double y : places) {
    DrawnRun run;
    run.id = "R" + std::to_string(runs.size() + 1);
    run.cable = &cable;
    run.line = {{0, y, 0}, {2, y, 0}};
    runs.push_back(run);
  }
  Findings findings;
  check_meetings(Written(), runs, findings);
  EXPECT_EQ(findings.quiet, findings.items.empty() ? 1 : 0);
  return findings.items;
}

TEST(RunsThatMeet, AreNoneWhereCablesLieBesideEachOther) {
  EXPECT_TRUE(told_of({0, 0.006, 0.012}, 0.006).empty());
}

TEST(RunsThatMeet, AreToldAsOneWithThePairThatLacksMost) {
  const auto all = told_of({0, 0.005, 0.009, 0.5}, 0.006);
  ASSERT_EQ(all.size(), 1U);
  EXPECT_EQ(all[0].subject, "R2");
  EXPECT_EQ(all[0].figure, "4.0 mm apart");
  EXPECT_EQ(all[0].limit, "6.0 mm");
  EXPECT_NE(all[0].text.find("Runs R2 and R3 are drawn 4.0 mm apart"), std::string::npos);
  EXPECT_NE(all[0].text.find("R1 and R2"), std::string::npos) << all[0].text;
  ASSERT_TRUE(all[0].where);
  EXPECT_NEAR(all[0].where->y, 0.005, 1e-9);
}

// Ten in one place are 45 pairs.
TEST(RunsThatMeet, AreCountedWhereTheyAreMany) {
  const auto all = told_of({0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, 0.006);
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NE(all[0].text.find("and 40 more pairs"), std::string::npos) << all[0].text;
}

}  // namespace
}  // namespace roomloom::check
