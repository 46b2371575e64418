#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

Solution solved(const Problem& problem, EffortLevel level) {
  Effort effort;
  effort.level = level;
  Result<Solution> result = solve(problem, effort);
  EXPECT_TRUE(result);
  for (const std::string& defect : defects(problem, *result)) ADD_FAILURE() << defect;
  return *result;
}

/// A room in which most edges cost more once more lies on them.
Problem sized_problem(int seed, bool mixed) {
  GridSpec spec;
  spec.seed = 700 + static_cast<std::uint64_t>(seed);
  spec.wide = 3;
  spec.runs = 6;
  Problem problem = grid_problem(spec);
  for (std::size_t k = 0; k < problem.commodities.size(); ++k)
    problem.commodities[k].load = mixed ? 1 + 0.4 * static_cast<double>(k % 3) : 1;
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const double price = 1 + static_cast<double>(e * 7 % 5);
    if (e % 4 != 0) problem.edges[e].steps = {{2, price}, {4, 1.5 * price}, {100, 2.5 * price}};
  }
  return problem;
}

/// Whether two runs pass an edge in opposite directions.
bool has_opposed_runs(const Solution& solution) {
  std::set<std::pair<int, bool>> passed;
  for (const Route& route : solution.routes)
    for (const Step& step : route.steps) passed.emplace(step.edge, step.forward);
  return std::any_of(passed.begin(), passed.end(), [&](const auto& step) {
    return passed.count({step.first, !step.second}) > 0;
  });
}

class SizesBySeed : public testing::TestWithParam<int> {};

TEST_P(SizesBySeed, TheBoundIsBelowAndThePlanNearTheOptimumOfTheIntegerProgramme) {
  for (const bool mixed : {false, true}) {
    const Problem problem = sized_problem(GetParam(), mixed);
    const double optimum = milp_optimum(problem);
    ASSERT_GT(optimum, 0);
    const Solution solution = solved(problem, EffortLevel::normal);
    EXPECT_LE(solution.bound, optimum * (1 + 1e-7)) << "mixed " << mixed;
    EXPECT_GE(solution.bound, optimum * 0.97) << "mixed " << mixed;
    EXPECT_GE(solution.objective, optimum * (1 - 1e-7)) << "mixed " << mixed;
    EXPECT_LE(solution.objective, optimum * 1.03) << "mixed " << mixed;
  }
}

INSTANTIATE_TEST_SUITE_P(Generated, SizesBySeed, testing::Range(1, 6));

/// The same, with a second way to pass each edge, which is cheaper but asks for the larger size:
/// what bends in raceway are to runs.
Problem problem_of_levels(int seed) {
  Problem problem = sized_problem(seed, seed % 2 == 0);
  problem.outward = true;
  const std::size_t count = problem.edges.size();
  for (std::size_t e = 0; e < count; ++e) {
    Edge& edge = problem.edges[e];
    if (edge.steps.empty()) continue;
    const double price = edge.steps[0].price;
    edge.steps.clear();
    edge.charges.push_back(static_cast<int>(problem.charges.size()));
    edge.passes.assign(edge.charges.size(), 0);
    problem.charges.push_back({0.5, {{2, price, 1}, {4, 1.5 * price}, {kUnlimited, 2.5 * price}}});
    Edge twin = edge;
    std::swap(twin.a, twin.b);
    for (int& passed : twin.passes) passed ^= 1;
    twin.level = 1;
    twin.cost *= 0.6;
    problem.edges.push_back(twin);
  }
  return problem;
}

class LevelsBySeed : public testing::TestWithParam<int> {};

TEST_P(LevelsBySeed, TheBoundIsBelowAndThePlanNearTheOptimumOfTheIntegerProgramme) {
  const Problem problem = problem_of_levels(GetParam());
  const double optimum = milp_optimum(problem);
  ASSERT_GT(optimum, 0);
  const Solution solution = solved(problem, EffortLevel::normal);
  EXPECT_LE(solution.bound, optimum * (1 + 1e-7));
  EXPECT_GE(solution.bound, optimum * 0.95);
  EXPECT_GE(solution.objective, optimum * (1 - 1e-7));
  EXPECT_LE(solution.objective, optimum * 1.05);
}

INSTANTIATE_TEST_SUITE_P(Generated, LevelsBySeed, testing::Range(1, 5));

TEST(Sizes, ASizeThatDoesNotServeALevelIsPassedOver) {
  const std::vector<ChargeSize> sizes{{2, 10, 1}, {1, 12, 3}, {kUnlimited, 15}};
  EXPECT_EQ(price_of_size(sizes, 2, 1), 10);
  EXPECT_EQ(price_of_size(sizes, 1, 2), 12);
  EXPECT_EQ(price_of_size(sizes, 2, 3), 15);
  EXPECT_EQ(price_of_size(sizes, 2, 0), 0);
}

TEST(Sizes, ThePriceIsThatOfTheFirstSizeThatHoldsTheLoad) {
  const std::vector<SizeStep> steps{{2, 10}, {4, 15}};
  EXPECT_EQ(price_of_size(steps, 0), 0);
  EXPECT_EQ(price_of_size(steps, 2), 10);
  EXPECT_EQ(price_of_size(steps, 2.1), 15);
  EXPECT_EQ(price_of_size(steps, 40), 15);
  EXPECT_EQ(price_of_size({}, 3), 0);
}

TEST(Sizes, RunsPartWhereOneSizeLessIsCheaper) {
  Problem problem;
  problem.node_count = 2;
  problem.charges = {{1}};
  Edge sized, plain;
  sized.b = plain.b = 1;
  sized.steps = {{2, 3}, {3, 50}};
  plain.cost = 4;
  problem.edges = {sized, plain};
  Commodity across;
  across.target = 1;
  problem.commodities.assign(3, across);
  const Solution solution = solved(problem, EffortLevel::prove);
  EXPECT_NEAR(solution.objective, 3 + 4, 1e-9);
  EXPECT_LE(solution.bound, solution.objective + 1e-9);
}

TEST(Sizes, SizesThatDoNotAscendAreRefused) {
  Problem problem;
  problem.node_count = 2;
  Edge edge;
  edge.b = 1;
  edge.steps = {{4, 3}, {2, 5}};
  problem.edges = {edge};
  const auto result = solve(problem, {});
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, "network.malformed");
}

TEST(Outward, ChangesNothingWhereCostsAreProportional) {
  for (int seed = 1; seed <= 3; ++seed) {
    GridSpec spec;
    spec.seed = 800 + static_cast<std::uint64_t>(seed);
    spec.runs = 6;
    Problem problem = grid_problem(spec);
    const Solution before = solved(problem, EffortLevel::prove);
    problem.outward = true;
    const Solution after = solved(problem, EffortLevel::prove);
    EXPECT_NEAR(before.objective, after.objective, 1e-6 * before.objective) << "seed " << seed;
    EXPECT_TRUE(after.proven) << "seed " << seed;
  }
}

TEST(Outward, ABoundForPlansWithoutOpposedRunsIsNotBelowThatForAll) {
  for (int seed = 1; seed <= 4; ++seed) {
    GridSpec spec;
    spec.seed = 900 + static_cast<std::uint64_t>(seed);
    spec.runs = 6;
    spec.classes = 2;
    Problem problem = grid_problem(spec);
    const Solution all = solved(problem, EffortLevel::prove);
    problem.outward = true;
    const Solution outward = solved(problem, EffortLevel::prove);
    ASSERT_TRUE(all.proven);
    EXPECT_GE(outward.bound, all.bound * (1 - 1e-6)) << "seed " << seed;
    if (has_opposed_runs(all)) continue;
    EXPECT_NEAR(outward.bound, all.objective, 1e-6 * all.objective) << "seed " << seed;
  }
}

}  // namespace
}  // namespace roomloom::network
