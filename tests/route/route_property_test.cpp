#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "geometry/arc.h"
#include "route/costs.h"
#include "route/planned_case.h"

// What holds for plans of any room.

namespace roomloom {
namespace {

using namespace roomloom::testing;

TEST(RouteProperty, AddingARunNeverLowersTheObjectiveBelowTheOldBound) {
  double before = 0;
  for (int count = 1; count <= 8; ++count) {
    const Planned p = plan_case(stand_case(count));
    EXPECT_GE(p.plan.objective, before) << count;
    before = p.plan.bound;
  }
}

/// The proven optimum, rules kept in the bound.
double optimum_of(const Case& c) {
  const Planned p = plan_case(c, RouteEffort::prove);
  for (const PlannedRun& run : p.plan.runs) EXPECT_TRUE(run.routed) << run.blocked_by;
  EXPECT_NEAR(p.plan.objective, p.plan.bound, 1e-5 * p.plan.bound);
  return p.plan.objective;
}

/// Runs from one place, whose plans are proven within a moment.
Case spread_case(int count) {
  const PrismRoom prism = box_prism(4.2, 5.4);
  Case c = make_case(prism);
  c.job.catalogue.raceways.resize(1);
  c.job.catalogue.raceways[0].inner_width_m = c.job.catalogue.raceways[0].inner_depth_m = 0.1;
  const int from = add_end(c, prism, "start", "Wall 1", {1.4, 0, 0.4});
  const Vec3 places[] = {{4.2, 1.0, 1.2}, {3.1, 5.4, 1.2}, {0, 4.0, 1.2}, {4.2, 4.1, 0.6}};
  const char* walls[] = {"Wall 2", "Wall 3", "Wall 4", "Wall 2"};
  for (int i = 0; i < count; ++i)
    add_run(c, "r" + std::to_string(i), from,
            add_end(c, prism, "e" + std::to_string(i), walls[i], places[i]));
  return c;
}

TEST(RouteProperty, AddingARunNeverLowersTheProvenOptimum) {
  double before = 0;
  for (int count = 1; count <= 4; ++count) {
    const double now = optimum_of(spread_case(count));
    EXPECT_GE(now, before * (1 - 1e-6)) << count;
    before = now;
  }
}

TEST(RouteProperty, AddingARuleNeverLowersTheProvenOptimum) {
  const Case c = spread_case(3);
  const double before = optimum_of(c);
  int dearer = 0;
  for (const char* word : {"Wall 2", "Wall 3", "Wall 4", "Void above*", "tile *"}) {
    Case ruled = c;
    ruled.job.runs[1].avoid = {word};
    const Planned p = plan_case(ruled, RouteEffort::prove);
    if (!p.plan.runs[1].routed) continue;  // it has no other way: a run less
    EXPECT_GE(p.plan.objective, before * (1 - 1e-6)) << word;
    dearer += p.plan.objective > before * (1 + 1e-6) ? 1 : 0;
  }
  EXPECT_GE(dearer, 1) << "some of these rules bind";
}

// On the same tracks: what an obstacle closes is closed. (Laid anew, tracks pass close beside an
// obstacle where there were none before.)
TEST(RouteProperty, AddingAnObstacleNeverLowersTheProvenOptimum) {
  const Case c = spread_case(3);
  Planned p{c, build_tracks(c.scene, c.room, c.ends, c.job), {}};
  const auto plan = [&] {
    return route_runs(p.tracks, p.c.ends, p.c.room, p.c.job, {RouteEffort::prove, 0});
  };
  Plan before = plan();
  int dearer = 0;
  for (int i = 0; i < 4; ++i) {
    // A box of 0.4 m round the middle of the first run's longest stretch.
    const Step* longest = &before.runs[0].steps.front();
    const auto length = [&](const Step& step) {
      return p.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
    };
    for (const Step& step : before.runs[0].steps)
      if (length(step) > length(*longest)) longest = &step;
    const TrackEdge hit = p.tracks.edges[static_cast<std::size_t>(longest->edge)];
    const auto at = [&](int node) {
      return p.tracks.nodes[static_cast<std::size_t>(node)].position;
    };
    const Vec3 middle = 0.5 * (at(hit.a) + at(hit.b));
    for (TrackEdge& edge : p.tracks.edges)
      if (point_segment_distance(middle, at(edge.a), at(edge.b)) < 0.2) edge.closed_to = ~0U;
    const Plan after = plan();
    if (!std::all_of(after.runs.begin(), after.runs.end(),
                     [](const PlannedRun& run) { return run.routed; }))
      break;
    EXPECT_GE(after.objective, before.objective * (1 - 1e-6)) << i;
    dearer += after.objective > before.objective * (1 + 1e-6) ? 1 : 0;
    before = after;
  }
  EXPECT_GE(dearer, 1);
}

TEST(RouteProperty, TheOrderOfRunsChangesNoWay) {
  const Case c = stand_case(8);
  const Planned there = plan_case(c);
  Case turned = c;
  std::reverse(turned.ends.runs.begin(), turned.ends.runs.end());
  const Planned back = plan_case(turned);
  EXPECT_NEAR(back.plan.objective, there.plan.objective, 1e-6);
  for (std::size_t run = 0; run < 8; ++run)
    EXPECT_EQ(back.plan.runs[7 - run].steps, there.plan.runs[run].steps) << run;
}

TEST(RouteProperty, APlansWaysPricedAfreshCostItsObjective) {
  for (const int count : {2, 8}) {
    const Planned p = plan_case(stand_case(count));
    EXPECT_NEAR(price_plan(p.tracks, p.c.ends, p.c.room, p.c.job, p.plan), p.plan.objective,
                1e-9 * p.plan.objective);
  }
}

TEST(RouteProperty, TurningTheRoomLeavesTheObjective) {
  PrismRoom turned = box_prism(4.2, 5.4);
  turned.turn_rad = 0.7;
  turned.moved = {3, -4, 1};
  const auto make = [](const PrismRoom& prism) {
    Case c = make_case(prism);
    for (int i = 0; i < 4; ++i)
      add_run(c, "r" + std::to_string(i),
              add_end(c, prism, "a" + std::to_string(i), "Wall 1", {0.7 + 0.8 * i, 0, 0.4}),
              add_end(c, prism, "b" + std::to_string(i), "Wall 3", {0.9 + 0.8 * i, 5.4, 1.2}));
    return c;
  };
  EXPECT_NEAR(plan_case(make(turned)).plan.objective,
              plan_case(make(box_prism(4.2, 5.4))).plan.objective, 1e-6);
}

}  // namespace
}  // namespace roomloom
