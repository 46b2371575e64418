#include "route/paths.h"

#include <gtest/gtest.h>

#include "route/planned_case.h"

namespace roomloom::route {
namespace {

using namespace roomloom::testing;

class WaysByRuns : public ::testing::TestWithParam<int> {};

TEST_P(WaysByRuns, AreTheSameWhetherOrNotWhatRunsPayAtLeastIsKnown) {
  const Case c = stand_case(GetParam());
  const Tracks tracks = build_tracks(c.scene, c.room, c.ends, c.job);
  Setting knowing = make_setting(tracks, c.ends, c.room, c.job);
  settle_simple_runs(knowing);
  Setting plain = knowing;
  for (RunNeeds& run : plain.runs) {
    ASSERT_FALSE(run.least.to_end.empty());
    run.least = {};
  }
  const Ways alone = separate_ways(knowing);
  EXPECT_EQ(alone, separate_ways(plain));
  const Ways together = improved_ways(knowing, alone, 4);
  EXPECT_EQ(together, improved_ways(plain, alone, 4));
  EXPECT_NE(together, alone) << "nothing was shared, so nothing was tried";
}

TEST_P(WaysByRuns, CostNoLessThanWhatTheirRunsPayAtLeast) {
  const Case c = stand_case(GetParam());
  const Tracks tracks = build_tracks(c.scene, c.room, c.ends, c.job);
  Setting setting = make_setting(tracks, c.ends, c.room, c.job);
  settle_simple_runs(setting);
  const Ways ways = separate_ways(setting);
  for (std::size_t r = 0; r < ways.size(); ++r) {
    const int run = static_cast<int>(r);
    const Occupation nobody(setting);
    const LeastWay& least = setting.runs[r].least;
    const double at_least = least.to_end[static_cast<std::size_t>(setting.runs[r].from_node)];
    double of_least = 0;
    for (const Step& step : least.steps) of_least += run_cost(setting, run, step.edge);
    EXPECT_NEAR(of_least, at_least, 1e-9);
    EXPECT_GE(nobody.way_cost(run, ways[r]), at_least - 1e-9);
  }
}

INSTANTIATE_TEST_SUITE_P(Stand, WaysByRuns, ::testing::Values(2, 3, 5, 8));

}  // namespace
}  // namespace roomloom::route
