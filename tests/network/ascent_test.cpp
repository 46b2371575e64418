#include "network/ascent.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/model.h"

namespace roomloom::network {
namespace {

class AscentBySeed : public testing::TestWithParam<int> {};

/// Each demand would have the whole charge of every edge to itself.
TEST_P(AscentBySeed, ReservesScaledToFitDrawNoMoreThanThereIsToPay) {
  GridSpec spec;
  spec.seed = static_cast<std::uint64_t>(GetParam());
  const Problem problem = grid_problem(spec);
  const Model model = build_model(problem);
  std::vector<double> whole;
  for (int arc = 0; arc < model.arc_count; ++arc)
    whole.push_back(model.own[static_cast<std::size_t>(arc) / 2]);
  std::vector<std::vector<double>> reserve(model.demands.size(), whole);
  const auto raised = [&] {
    AscentOptions options;
    options.turns = Turns::smallest_cut;
    options.order = all_demands(model);
    options.reserve = &reserve;
    Dual dual = empty_dual(model);
    raise(model, everything(model), options, dual);
    return dual;
  };
  const auto most_overdrawn = [&](const Dual& dual) {
    double most = 0;
    for (std::size_t e = 0; e < model.own.size(); ++e)
      most = std::max(most, dual.own_used[e] - model.own[e]);
    return most;
  };
  const double optimum = milp_optimum(problem);
  EXPECT_GT(most_overdrawn(raised()), 0.01) << "as they are, they draw more than there is";
  fit_reserve(model, reserve);
  const Dual dual = raised();
  EXPECT_LE(most_overdrawn(dual), 1e-9);
  EXPECT_LE(dual.bound, optimum * (1 + 1e-9));
}

INSTANTIATE_TEST_SUITE_P(Generated, AscentBySeed, testing::Range(1, 9));

}  // namespace
}  // namespace roomloom::network
