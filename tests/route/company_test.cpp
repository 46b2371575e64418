#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "route/planned_case.h"

// What runs share, must share and may not share.

namespace roomloom {
namespace {

using namespace roomloom::testing;

/// Runs along one wall of a room without a void: raceway is the only way.
Case wall_case(int count) {
  PrismRoom prism = box_prism(6, 4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  for (int i = 0; i < count; ++i)
    add_run(c, "r" + std::to_string(i),
            add_end(c, prism, "a" + std::to_string(i), "Wall 1", {0.5 + 0.05 * i, 0, 0.5}),
            add_end(c, prism, "b" + std::to_string(i), "Wall 1", {4.5 + 0.05 * i, 0, 0.5}));
  return c;
}

double shared_m(const Planned& p, std::size_t a, std::size_t b) {
  std::set<int> on;
  for (const Step& step : p.plan.runs[a].steps) on.insert(step.edge);
  double sum = 0;
  for (const Step& step : p.plan.runs[b].steps)
    if (on.contains(step.edge)) sum += p.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
  return sum;
}

// 18 mm cables: 254 square millimetres each. The largest raceway (48 x 48 clear at 40 %) holds 922:
// three of them. Six that go the same way need two side by side, or a way of their own.
TEST(Route, RacewaysLieSideBySideWhereNoSizeHoldsAllRuns) {
  Case c = wall_case(6);
  c.job.catalogue.cables[0].diameter_m = 0.018;
  c.job.prefer.minutes_per_raceway_m = 60;  // a second stretch elsewhere is dear
  const Planned p = plan_case(c);
  int most = 0;
  for (const PlannedRaceway& raceway : p.plan.raceways) {
    const EdgeOption& option = p.tracks.options[static_cast<std::size_t>(raceway.option)];
    EXPECT_LE(raceway.load_m2, option.capacity_m2 * raceway.count * (1 + 1e-9));
    if (raceway.runs.size() > 3) {
      EXPECT_EQ(raceway.count, 2);
    }
    most = std::max(most, raceway.count);
  }
  EXPECT_EQ(most, 2);
}

TEST(Route, SameWayAsLeadsARunAlongTheOther) {
  PrismRoom prism = box_prism(4.2, 5.4);
  prism.plenum_m = 0;
  Case c = make_case(prism);
  // r0 goes right round from the front to the back; r1 by itself goes left.
  add_run(c, "r0", add_end(c, prism, "a0", "Wall 1", {2.6, 0, 0.5}),
          add_end(c, prism, "b0", "Wall 3", {2.6, 5.4, 0.5}));
  add_run(c, "r1", add_end(c, prism, "a1", "Wall 1", {1.6, 0, 0.5}),
          add_end(c, prism, "b1", "Wall 3", {1.6, 5.4, 0.5}));
  c.job.prefer.minutes_per_raceway_m = 0;
  c.job.prefer.minutes_per_fitting = 0;
  c.job.prefer.money_per_visible_m = 0;
  for (RacewayType& raceway : c.job.catalogue.raceways)
    raceway.price_per_m = raceway.price_fitting = 0.01;
  const Planned apart = plan_case(c);
  ASSERT_LT(shared_m(apart, 0, 1), 1.0) << "by themselves they go either side";
  c.job.runs[1].same_way_as = {"r0"};
  const Planned together = plan_case(c);
  EXPECT_GT(shared_m(together, 0, 1), 5.0) << "the whole side wall";
  EXPECT_TRUE(std::any_of(
      together.plan.relaxations.begin(), together.plan.relaxations.end(),
      [](const std::string& text) { return text.find("follows r0") != std::string::npos; }));
}

TEST(Route, ARunLongerThanItsCableReachesIsTold) {
  Case c = wall_case(1);
  c.job.catalogue.cables[0].greatest_length_m = 3.0;  // the way is 4 m
  const Planned p = plan_case(c);
  ASSERT_TRUE(p.plan.runs[0].routed);
  EXPECT_TRUE(std::any_of(
      p.plan.relaxations.begin(), p.plan.relaxations.end(), [](const std::string& text) {
        return text.find("r0") != std::string::npos && text.find("3") != std::string::npos &&
               text.find("not even the shortest") != std::string::npos;
      }));
}

/// Edges of ready conduit that runs lie in, counted run by run.
int in_conduit(const Planned& p) {
  int inside = 0;
  for (const PlannedRun& run : p.plan.runs) {
    EXPECT_TRUE(run.routed) << run.blocked_by;
    inside +=
        static_cast<int>(std::count_if(run.steps.begin(), run.steps.end(), [&](const Step& step) {
          return p.tracks.edges[static_cast<std::size_t>(step.edge)].medium == Medium::conduit;
        }));
  }
  return inside;
}

// 16 mm inside at 40 %: 80 square millimetres, two cables of 38.5. A third needs raceway all along.
TEST(Route, AReadyConduitIsUsedAndNeverOverfilled) {
  for (const int count : {2, 3}) {
    Case c = wall_case(count);
    Conduit conduit;
    conduit.name = "Conduit";
    conduit.line = {{0.8, 0.02, 0.4}, {4.3, 0.02, 0.4}};
    conduit.inside_diameter_m = 0.016;
    const PlaceId wall{PlaceKind::sheet, sheet_named(c.room, "Wall 1")};
    conduit.mouths = {wall, wall};
    c.room.conduits.push_back(conduit);
    const Planned p = plan_case(c);
    EXPECT_LE(in_conduit(p), 2);
    if (count == 2) {
      EXPECT_EQ(in_conduit(p), 2);
    }
  }
}

/// A conduit above the run's own straight way: through it is longer.
Case conduit_case() {
  Case c = wall_case(1);
  Conduit conduit;
  conduit.name = "Conduit";
  conduit.line = {{0.8, 0.02, 1.6}, {4.3, 0.02, 1.6}};
  conduit.inside_diameter_m = 0.02;
  const PlaceId wall{PlaceKind::sheet, sheet_named(c.room, "Wall 1")};
  conduit.mouths = {wall, wall};
  c.room.conduits.push_back(conduit);
  c.job.prefer.minutes_per_raceway_m = 0;
  c.job.prefer.money_per_visible_m = 0;
  c.job.prefer.minutes_per_fitting = 0;
  for (RacewayType& raceway : c.job.catalogue.raceways)
    raceway.price_per_m = raceway.price_fitting = raceway.price_end = 0.01;
  c.job.prefer.minutes_per_run_m = 10;
  return c;
}

TEST(Route, ADrawCordMakesAConduitWorthADetourThatPullingWithoutOneIsNot) {
  Case c = conduit_case();
  const Planned without = plan_case(c);
  EXPECT_EQ(in_conduit(without), 0);
  c.job.as_built.draw_cords = {"Conduit"};
  const Planned with = plan_case(c);
  EXPECT_EQ(in_conduit(with), 1);
  EXPECT_LT(with.plan.objective, without.plan.objective);
  for (const Planned* p : {&without, &with}) {
    EXPECT_LE(p->plan.bound, p->plan.objective * (1 + 1e-9));
    EXPECT_GE(p->plan.bound, p->plan.objective * 0.99) << "the solver sees the same prices";
    double sum = 0;
    for (const Term& term : p->plan.terms) sum += term.cost;
    EXPECT_NEAR(sum, p->plan.objective, 1e-9);
    EXPECT_NEAR(price_plan(p->tracks, p->c.ends, p->c.room, p->c.job, p->plan), sum, 1e-9);
  }
}

}  // namespace
}  // namespace roomloom
