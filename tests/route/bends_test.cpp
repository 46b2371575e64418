#include <gtest/gtest.h>

#include <random>

#include "route/paths.h"
#include "route/planned_case.h"

/// What bends ask of raceway, in the plan and in the bound. The outside answer is a search through
/// all ways of one run, priced in full: no copies of tracks, no code of the solver.
namespace roomloom::route {
namespace {

using namespace roomloom::testing;

/// All ways of one run by depth first, cut off where what is paid already, and what the rest costs
/// at least, come to more than the best.
class EveryWay {
 public:
  explicit EveryWay(const Setting& setting)
      : setting_(setting),
        to_end_(search_from(setting, setting.runs[0].to_node, [&](int e) { return least(e); })) {}

  /// @return the least price; negative where it takes too many steps
  double best(double known) {
    best_ = known * (1 + 1e-9);
    been_.assign(setting_.tracks.nodes.size(), 0);
    go_on(setting_.runs[0].from_node, 0);
    return steps_ > kMostSteps ? -1 : best_;
  }

 private:
  static constexpr long kMostSteps = 400'000;

  /// What an edge costs at least beside shared charges.
  double least(int e) const {
    if (!may_use(setting_, 0, e)) return kClosed;
    const TrackEdge& edge = setting_.tracks.edges[static_cast<std::size_t>(e)];
    double cost = run_cost(setting_, 0, e) +
                  choose_size(setting_, e, setting_.runs[0].area_m2, ClearNeed{}).price;
    if (edge.kind == EdgeKind::along)
      for (const int charge : edge.charges)
        cost += setting_.tracks.charges[static_cast<std::size_t>(charge)].price;
    return cost;
  }

  void go_on(int node, double paid) {
    if (++steps_ > kMostSteps) return;
    if (node == setting_.runs[0].to_node) {
      best_ = std::min(best_, price_ways(setting_, {way_}));
      return;
    }
    been_[static_cast<std::size_t>(node)] = 1;
    for (const auto& [e, next, forward] : setting_.edges_at[static_cast<std::size_t>(node)]) {
      const double cost = least(e);
      if (cost >= kClosed || been_[static_cast<std::size_t>(next)] != 0) continue;
      if (paid + cost + to_end_.away[static_cast<std::size_t>(next)] >= best_) continue;
      way_.push_back({e, forward});
      // Priced in full so far: what bends ask for can only grow.
      if (price_ways(setting_, {way_}) + to_end_.away[static_cast<std::size_t>(next)] < best_)
        go_on(next, paid + cost);
      way_.pop_back();
    }
    been_[static_cast<std::size_t>(node)] = 0;
  }

  const Setting& setting_;
  const Search to_end_;
  std::vector<char> been_;
  std::vector<Step> way_;
  double best_ = 0;
  long steps_ = 0;
};

/// One thick cable in raceway round a small room with a plain ceiling.
Case thick_cable(int seed, int runs) {
  std::mt19937 random(static_cast<unsigned>(seed));
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  PrismRoom prism = box_prism(between(2.4, 3.2), between(2.6, 3.4));
  prism.plenum_m = 0;
  Case c = make_case(prism);
  c.job.catalogue.cables[0].diameter_m = between(0.006, 0.009);
  c.job.catalogue.cables[0].bend_radius_m = between(0.02, 0.09);
  const int from = add_end(c, prism, "start", "Wall 1", {between(0.5, 2.0), 0, between(0.3, 2.0)});
  for (int i = 0; i < runs; ++i) {
    const bool back = (seed + i) % 2 == 0;
    add_run(c, "r" + std::to_string(i), from,
            add_end(c, prism, "e" + std::to_string(i), back ? "Wall 3" : "Wall 4",
                    back ? Vec3{between(0.5, 2.0), prism.outline[2].y, between(0.3, 2.0)}
                         : Vec3{0, between(0.5, 2.2), between(0.3, 2.0)}));
  }
  return c;
}

class ThickCableBySeed : public ::testing::TestWithParam<int> {};

TEST_P(ThickCableBySeed, AloneIsLaidAsASearchThroughAllWaysHasItAndTheBoundIsNotAbove) {
  const Planned p = plan_case(thick_cable(GetParam(), 1), RouteEffort::normal);
  const Setting setting = make_setting(p.tracks, p.c.ends, p.c.room, p.c.job);
  const double best = EveryWay(setting).best(p.plan.objective);
  if (best < 0) GTEST_SKIP() << "too many ways";
  EXPECT_LE(p.plan.bound, best * (1 + 1e-9));
  EXPECT_GE(p.plan.bound, best * 0.97) << "of " << best;
  EXPECT_LE(p.plan.objective, best * 1.001);
}

INSTANTIATE_TEST_SUITE_P(Generated, ThickCableBySeed, ::testing::Range(1, 9));

TEST(Bends, ThatAskForLargerRacewayArePartOfTheBound) {
  for (int seed = 1; seed <= 6; ++seed) {
    const Planned p = plan_case(thick_cable(seed, 3), RouteEffort::normal);
    EXPECT_LE(p.plan.bound, p.plan.objective * (1 + 1e-9)) << "seed " << seed;
    EXPECT_GE(p.plan.bound, 0.95 * p.plan.objective) << "seed " << seed;
  }
}

}  // namespace
}  // namespace roomloom::route
