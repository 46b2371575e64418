#include "network/flow_trees.h"

#include <gtest/gtest.h>

#include "network/flow_cuts.h"
#include "network/flow_problems.h"

namespace roomloom::network {
namespace {

TEST(FlowTrees, MeetEveryBalance) {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const PooledFlow flow = made_up(seed, 12);
    const std::vector<double> amounts = anneal_trees(flow, 20'000, seed, kUnlimited);
    ASSERT_EQ(amounts.size(), flow.arcs.size()) << seed;
    EXPECT_LE(missed(flow, amounts), 1e-6) << seed;
  }
}

// By hand: from 0 to 2 over 1 costs 4 + 4 + 3 * 2 = 14, straight 10 + 3 = 13, and what is cheap by
// the unit is dear to open.
TEST(FlowTrees, WeighOpeningAgainstAmount) {
  PooledFlow flow;
  flow.arcs = {{0, 1, 4, 1, kUnlimited}, {1, 2, 4, 1, kUnlimited}, {0, 2, 10, 1, kUnlimited}};
  flow.balance = {3, 0, -3};
  EXPECT_NEAR(anneal_trees(flow, 1000, 1, kUnlimited)[2], 3, 1e-9);
  flow.balance = {1, 0, -1};
  EXPECT_NEAR(anneal_trees(flow, 1000, 1, kUnlimited)[2], 0, 1e-9) << "4 + 4 + 2 = 10 against 11";
}

TEST(FlowTrees, AreNoneWhereASinkCannotBeReached) {
  PooledFlow flow;
  flow.arcs = {{1, 0, 4, 1, kUnlimited}};
  flow.balance = {3, -3};
  EXPECT_TRUE(anneal_trees(flow, 1000, 1, kUnlimited).empty());
}

// A cut may forbid a relaxation's solution, never a plan: openings of a plan are whole.
TEST(FlowCuts, HoldForEveryPlan) {
  std::size_t found = 0;
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const PooledFlow flow = made_up(seed, 12);
    std::vector<std::vector<double>> plans;
    for (std::uint64_t one = 1; one <= 5; ++one)
      plans.push_back(anneal_trees(flow, 50 * static_cast<std::int64_t>(one), one, kUnlimited));
    double total = 0;
    for (const double b : flow.balance) total += std::max(0.0, b);
    for (const std::vector<double>& plan : plans) {
      if (plan.empty()) continue;
      // As a relaxation would have it: each arc open by the share of all flow that it carries.
      std::vector<double> openings;
      for (const double amount : plan) openings.push_back(amount / total);
      for (const FlowCut& cut : violated_cuts(flow, openings, plan, seed, kUnlimited)) {
        ++found;
        for (const std::vector<double>& other : plans) {
          if (other.empty()) continue;
          double sum = 0;
          for (const FlowCut::Part& part : cut.parts) {
            const double amount = other[static_cast<std::size_t>(part.arc)];
            sum += part.opening ? cut.needed * (amount > 0 ? 1 : 0) : amount;
          }
          EXPECT_GE(sum, cut.needed * (1 - 1e-9)) << seed;
        }
      }
    }
  }
  EXPECT_GT(found, 100U);
}

}  // namespace
}  // namespace roomloom::network
