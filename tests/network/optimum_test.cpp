#include <gtest/gtest.h>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

Solution proved(const Problem& problem) {
  Effort effort;
  effort.level = EffortLevel::prove;
  Result<Solution> result = solve(problem, effort);
  EXPECT_TRUE(result);
  return *result;
}

/// The outside answer: COIN-OR CBC 2.10.8 on the whole integer programme.
void expect_same_as_milp(const GridSpec& spec) {
  const Problem problem = grid_problem(spec);
  const double optimum = milp_optimum(problem);
  const Solution solution = proved(problem);
  for (const std::string& defect : defects(problem, solution)) ADD_FAILURE() << defect;
  if (optimum < 0) {
    EXPECT_FALSE(solution.proven) << "seed " << spec.seed;
    return;
  }
  EXPECT_TRUE(solution.proven) << "seed " << spec.seed << " gap " << solution.gap;
  EXPECT_NEAR(solution.objective, optimum, 1e-5 * optimum) << "seed " << spec.seed;
  EXPECT_LE(solution.bound, optimum * (1 + 1e-7)) << "seed " << spec.seed;
}

class RoomBySeed : public testing::TestWithParam<int> {};

TEST_P(RoomBySeed, OneSourceEqualsTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = static_cast<std::uint64_t>(GetParam());
  spec.runs = 4 + GetParam() % 5;
  expect_same_as_milp(spec);
}

TEST_P(RoomBySeed, SharedChargesEqualTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = 100 + static_cast<std::uint64_t>(GetParam());
  spec.runs = 6;
  spec.shared_charges = 12;
  expect_same_as_milp(spec);
}

TEST_P(RoomBySeed, TwoSourcesClassesAndMasksEqualTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = 200 + static_cast<std::uint64_t>(GetParam());
  spec.runs = 6;
  spec.sources = 2;
  spec.classes = 2;
  spec.masks = GetParam() % 2 == 0;
  spec.shared_charges = 6;
  Problem problem = grid_problem(spec);
  const Solution solution = proved(problem);
  bool all = true;
  for (const Route& route : solution.routes) all = all && route.reachable;
  if (all) expect_same_as_milp(spec);
}

TEST_P(RoomBySeed, SizesWithFloorAndCapacityEqualTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = 300 + static_cast<std::uint64_t>(GetParam());
  spec.wide = 3;
  spec.runs = 5;
  spec.capacities = true;
  expect_same_as_milp(spec);
}

double length_of(const Problem& problem, const Route& route) {
  double sum = 0;
  for (const Step& step : route.steps)
    sum += problem.edges[static_cast<std::size_t>(step.edge)].length;
  return sum;
}

/// Limits between what each of two runs would take and the least that it can.
void shorten_two(Problem& problem) {
  const Solution free = proved(problem);
  for (std::size_t k = 0; k < 2; ++k) {
    Problem alone = problem;
    alone.commodities = {problem.commodities[k]};
    for (Charge& charge : alone.charges) charge.price = 0;
    for (Edge& edge : alone.edges) edge.cost = edge.length;
    const double least = length_of(problem, proved(alone).routes[0]);
    const double taken = length_of(problem, free.routes[k]);
    problem.commodities[k].max_length = least + 0.5 * (taken - least) + 1e-6;
  }
}

TEST_P(RoomBySeed, GreatestLengthsEqualTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = 400 + static_cast<std::uint64_t>(GetParam());
  spec.runs = 5;
  Problem problem = grid_problem(spec);
  shorten_two(problem);
  const double optimum = milp_optimum(problem);
  ASSERT_GT(optimum, 0);
  const Solution solution = proved(problem);
  for (const std::string& defect : defects(problem, solution)) ADD_FAILURE() << defect;
  for (const Route& route : solution.routes) EXPECT_FALSE(route.too_long);
  EXPECT_NEAR(solution.objective, optimum, 1e-5 * optimum) << "seed " << spec.seed;
  EXPECT_LE(solution.bound, optimum * (1 + 1e-7));
  EXPECT_GE(solution.bound, 0.97 * optimum);
}

INSTANTIATE_TEST_SUITE_P(Generated, RoomBySeed, testing::Range(1, 11));

}  // namespace
}  // namespace roomloom::network
