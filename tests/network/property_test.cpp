#include <gtest/gtest.h>

#include <algorithm>

#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

Solution proved(const Problem& problem) {
  Effort effort;
  effort.level = EffortLevel::prove;
  Result<Solution> result = solve(problem, effort);
  EXPECT_TRUE(result);
  EXPECT_TRUE(result->proven);
  return *result;
}

Problem room_of(int seed) {
  GridSpec spec;
  spec.seed = 1000 + static_cast<std::uint64_t>(seed);
  spec.runs = 6;
  spec.classes = 2;
  return grid_problem(spec);
}

class PropertyBySeed : public testing::TestWithParam<int> {};

TEST_P(PropertyBySeed, ClosingAnEdgeNeverLowersTheProvedOptimum) {
  Problem problem = room_of(GetParam());
  const Solution before = proved(problem);
  const int busiest = before.routes.front().steps.front().edge;
  for (Commodity& commodity : problem.commodities) commodity.forbidden_edges = {busiest};
  const Solution after = proved(problem);
  for (const Route& route : after.routes)
    if (!route.reachable) GTEST_SKIP() << "the edge was the only way";
  EXPECT_GE(after.objective, before.objective * (1 - 1e-9));
}

TEST_P(PropertyBySeed, LeavingOutARunNeverRaisesTheProvedOptimum) {
  Problem problem = room_of(GetParam());
  const double before = proved(problem).objective;
  problem.commodities.pop_back();
  EXPECT_LE(proved(problem).objective, before * (1 + 1e-9));
}

TEST_P(PropertyBySeed, OrderOfRunsAndEdgesLeavesTheProvedOptimum) {
  Problem problem = room_of(GetParam());
  const double before = proved(problem).objective;
  std::reverse(problem.commodities.begin(), problem.commodities.end());
  std::reverse(problem.edges.begin(), problem.edges.end());
  EXPECT_NEAR(proved(problem).objective, before, 1e-6 * before);
}

TEST_P(PropertyBySeed, TheSameProblemGivesTheSamePathsAgain) {
  const Problem problem = room_of(GetParam());
  const Result<Solution> first = solve(problem, {}), second = solve(problem, {});
  ASSERT_TRUE(first);
  ASSERT_TRUE(second);
  for (std::size_t k = 0; k < first->routes.size(); ++k)
    EXPECT_EQ(first->routes[k].steps, second->routes[k].steps);
  EXPECT_EQ(first->bound, second->bound);
}

INSTANTIATE_TEST_SUITE_P(Generated, PropertyBySeed, testing::Range(1, 6));

}  // namespace
}  // namespace roomloom::network
