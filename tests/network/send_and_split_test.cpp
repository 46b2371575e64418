#include "network/send_and_split.h"

#include <gtest/gtest.h>

#include <string>

#include "network/flow_problems.h"

namespace roomloom::network {
namespace {

void expect_optimum(const PooledFlow& flow, const std::string& which) {
  ASSERT_TRUE(can_send_and_split(flow)) << which;
  const auto plan = send_and_split(flow, kUnlimited);
  ASSERT_TRUE(plan.has_value()) << which;
  const double optimum = plain_optimum(flow);
  EXPECT_EQ(plan->empty(), optimum < 0) << which;
  if (plan->empty() || optimum < 0) return;
  EXPECT_NEAR(cost_of(flow, *plan), optimum, 1e-6 * (1 + optimum)) << which;
  EXPECT_LE(missed(flow, *plan), 1e-9) << which;
}

// Against CBC with the plain integer programme.
TEST(SendAndSplit, FindsTheOptimumOfRings) {
  for (std::uint64_t seed = 1; seed <= 60; ++seed)
    expect_optimum(made_up(seed, 6 + static_cast<int>(seed % 4)), "ring " + std::to_string(seed));
}

// Against CBC with the plain integer programme; among them are some without a plan.
TEST(SendAndSplit, FindsTheOptimumOfScatteredEnds) {
  for (std::uint64_t seed = 1; seed <= 140; ++seed) {
    const int nodes = 2 + static_cast<int>(seed % 9);
    expect_optimum(scattered(seed, nodes, 3 * nodes), "scattered " + std::to_string(seed));
  }
}

TEST(SendAndSplit, StopsAtTheDeadline) {
  EXPECT_FALSE(send_and_split(made_up(1, 24), -kUnlimited).has_value());
}

TEST(SendAndSplit, KnowsWhenThereAreTooManyEnds) {
  PooledFlow flow;
  flow.balance.assign(40, 1.0);
  flow.balance.back() = -39;
  EXPECT_FALSE(can_send_and_split(flow));
}

TEST(SendAndSplit, NeedsNothingWhereNobodyGives) {
  PooledFlow flow;
  flow.arcs = {{0, 1, 4, 1, kUnlimited}};
  flow.balance = {0, 0};
  EXPECT_EQ(send_and_split(flow, kUnlimited), std::vector<double>{0});
}

}  // namespace
}  // namespace roomloom::network
