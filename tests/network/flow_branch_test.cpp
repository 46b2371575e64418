#include "network/flow_branch.h"

#include <gtest/gtest.h>

#include <chrono>
#include <string>

#include "network/flow_ascent.h"
#include "network/flow_problems.h"
#include "network/flow_trees.h"
#include "network/send_and_split.h"

namespace roomloom::network {
namespace {

/// Far beyond what any of these takes.
double deadline() {
  return 20 +
         std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

int proved(const PooledFlow& flow, const std::string& which) {
  const double optimum = plain_optimum(flow);
  const auto found = cut_and_branch(flow, deadline());
  EXPECT_EQ(found.has_value(), optimum >= 0) << which;
  if (!found || optimum < 0) return 0;
  EXPECT_LE(found->bound, optimum + 1e-6 * (1 + optimum)) << which;
  EXPECT_GE(found->cost, optimum - 1e-6 * (1 + optimum)) << which;
  EXPECT_NEAR(found->cost, cost_of(flow, found->amounts), 1e-6 * (1 + optimum)) << which;
  EXPECT_LE(missed(flow, found->amounts), 1e-6) << which;
  return found->bound >= optimum - 1e-6 * (1 + optimum) ? 1 : 0;
}

// Against CBC with the plain integer programme: a bound above its optimum is the gravest error.
TEST(CutAndBranch, NeverClaimsABoundAboveTheOptimumOfRings) {
  int count = 0;
  for (std::uint64_t seed = 1; seed <= 40; ++seed)
    count += proved(made_up(seed, 6 + static_cast<int>(seed % 5)), "ring " + std::to_string(seed));
  EXPECT_EQ(count, 40);
}

TEST(CutAndBranch, NeverClaimsABoundAboveTheOptimumOfScatteredEnds) {
  int count = 0;
  for (std::uint64_t seed = 1; seed <= 80; ++seed) {
    const int nodes = 3 + static_cast<int>(seed % 8);
    count += proved(scattered(seed, nodes, 4 * nodes), "scattered " + std::to_string(seed));
  }
  EXPECT_GT(count, 40);
}

// Against the sets of ends, where branching is stopped before it is done.
TEST(CutAndBranch, NeverClaimsABoundAboveTheOptimumWhenStopped) {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const PooledFlow flow = made_up(seed, 24);
    const auto best = send_and_split(flow, kUnlimited);
    ASSERT_TRUE(best && !best->empty()) << seed;
    const auto found = cut_and_branch(flow, deadline() - 998.5);
    ASSERT_TRUE(found) << seed;
    EXPECT_LE(found->bound, cost_of(flow, *best) * (1 + 1e-6)) << seed;
    EXPECT_GE(found->cost, cost_of(flow, *best) * (1 - 1e-6)) << seed;
  }
}

// By hand: the arc into the sink and that out of the source must be open.
TEST(AscentCuts, AreThoseOfBothEndsOfALine) {
  PooledFlow flow;
  flow.arcs = {{0, 1, 4, 1, kUnlimited}, {1, 2, 7, 1, kUnlimited}};
  flow.balance = {3, 0, -3};
  double bound = 0;
  for (const FlowCut& cut : ascent_cuts(flow)) {
    ASSERT_EQ(cut.parts.size(), 1U);
    EXPECT_TRUE(cut.parts[0].opening);
    EXPECT_EQ(cut.needed, 3);
    bound += flow.arcs[static_cast<std::size_t>(cut.parts[0].arc)].fixed;
  }
  EXPECT_EQ(bound, 4 + 7);
}

TEST(AscentCuts, HoldForEveryPlan) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const PooledFlow flow = made_up(seed, 12);
    const std::vector<double> plan = anneal_trees(flow, 20'000, seed, kUnlimited);
    ASSERT_FALSE(plan.empty()) << seed;
    for (const FlowCut& cut : ascent_cuts(flow)) {
      bool open = false;
      for (const FlowCut::Part& part : cut.parts)
        open = open || plan[static_cast<std::size_t>(part.arc)] > 0;
      EXPECT_TRUE(open) << seed;
    }
  }
}

}  // namespace
}  // namespace roomloom::network
