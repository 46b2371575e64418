#include "network/ascent.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/model.h"
#include "network/plan.h"

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

/// The dual constraints one by one: along no arc a demand's level rises by more than the arc costs
/// and the demand draws there, and no edge is drawn on beyond its charge.
TEST_P(AscentBySeed, LevelsThatStartFromWhatArcsCostKeepEveryRowOfTheDual) {
  GridSpec spec;
  spec.seed = static_cast<std::uint64_t>(GetParam());
  const Problem problem = grid_problem(spec);
  const Model model = build_model(problem);
  Router router(model);
  for (const Turns turns : {Turns::smallest_cut, Turns::lowest_level, Turns::in_order}) {
    AscentOptions options;
    options.turns = turns;
    options.order = all_demands(model);
    options.router = &router;
    Dual dual = empty_dual(model);
    raise(model, everything(model), options, dual);
    double shortest = 0;
    for (std::size_t k = 0; k < model.demands.size(); ++k) {
      const Demand& d = model.demands[k];
      const Potential& potential = dual.potentials[k];
      shortest += router.lower_bounds(d)[static_cast<std::size_t>(d.terminal)];
      std::vector<double> level(static_cast<std::size_t>(model.node_count), potential.value);
      for (std::size_t i = 0; i < potential.nodes.size(); ++i)
        level[static_cast<std::size_t>(potential.nodes[i])] = potential.levels[i];
      std::vector<double> drawn(static_cast<std::size_t>(model.arc_count), 0.0);
      for (std::size_t i = 0; i < potential.arcs.size(); ++i)
        drawn[static_cast<std::size_t>(potential.arcs[i])] += potential.drawn[i];
      EXPECT_NEAR(level[static_cast<std::size_t>(d.terminal)], 0, 1e-9);
      EXPECT_NEAR(level[static_cast<std::size_t>(d.root)], potential.value, 1e-9);
      for (int arc = 0; arc < model.arc_count; ++arc) {
        const double cost = model.cost(static_cast<int>(k), arc);
        const double rise =
            level[static_cast<std::size_t>(model.tail(arc))] -
            level[static_cast<std::size_t>(model.head[static_cast<std::size_t>(arc)])];
        EXPECT_LE(rise, cost + drawn[static_cast<std::size_t>(arc)] + 1e-7);
      }
    }
    for (std::size_t e = 0; e < model.own.size(); ++e)
      EXPECT_LE(dual.own_used[e], model.own[e] + 1e-9);
    EXPECT_GT(dual.bound, shortest);
    EXPECT_LE(dual.bound, milp_optimum(problem) * (1 + 1e-9));
  }
}

INSTANTIATE_TEST_SUITE_P(Generated, AscentBySeed, testing::Range(1, 9));

}  // namespace
}  // namespace roomloom::network
