#include "network/price_polish.h"

#include <gtest/gtest.h>

#include "network/dual_search.h"
#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/network.h"

namespace roomloom::network {
namespace {

/// The bound that many moves reach toward far more than can be proved.
double polished(const Problem& problem, double target) {
  const Model model = build_model(problem);
  const Permitted permitted = everything(model);
  Router router(model);
  Plan plan = empty_plan(model);
  for (int k : all_demands(model)) router.insert(k, permitted, plan);
  PricePolish prices(model, permitted);
  prices.start_from(first_dual(model, permitted, 1), plan);
  prices.improve(400, target);
  return prices.bound();
}

/// A charge that a way out and a way back both draw on: each alone would rather go round it.
TEST(PricePolish, WhatEdgesOfOneChargeDrawInDifferentDirectionsAddsUp) {
  Problem problem;
  problem.node_count = 3;
  problem.charges = {{10}};
  Edge out, back, round;
  out.a = 0;
  out.b = 1;
  back.a = 2;
  back.b = 0;
  out.charges = back.charges = {0};
  problem.edges = {out, back};
  for (const int end : {1, 2}) {
    round.a = 0;
    round.b = end;
    round.cost = 8;
    problem.edges.push_back(round);
    Commodity run;
    run.target = end;
    problem.commodities.push_back(run);
  }
  EXPECT_LE(polished(problem, 20), 10 * (1 + 1e-9));
}

class PolishBySeed : public testing::TestWithParam<int> {};

// The outside answer: COIN-OR CBC 2.10.8 on the whole integer programme.
TEST_P(PolishBySeed, NeverProvesMoreThanTheOptimumOfTheIntegerProgramme) {
  GridSpec spec;
  spec.seed = 1300 + static_cast<std::uint64_t>(GetParam());
  spec.runs = 6;
  spec.shared_charges = 15;
  spec.sources = 1 + GetParam() % 2;
  const Problem problem = grid_problem(spec);
  const double optimum = milp_optimum(problem);
  ASSERT_GT(optimum, 0);
  const double bound = polished(problem, 1.5 * optimum);
  EXPECT_LE(bound, optimum * (1 + 1e-9));
  EXPECT_GE(bound, 0.9 * optimum);
}

INSTANTIATE_TEST_SUITE_P(Generated, PolishBySeed, testing::Range(1, 7));

}  // namespace
}  // namespace roomloom::network
