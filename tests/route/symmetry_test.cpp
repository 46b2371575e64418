#include <gtest/gtest.h>

#include <algorithm>

#include "route/planned_case.h"

// Holes of left and right, mirrored about the plane in which the listener looks.

namespace roomloom {
namespace {

using namespace roomloom::testing;

constexpr double kWidth_m = 4.2;

/// Two ends that mirror each other, and a third on the left whose hole the left one shares.
Case lopsided_case() {
  const PrismRoom prism = box_prism(kWidth_m, 5.4);
  Case c = make_case(prism);
  const int zone = add_zone(c, prism, "Behind the stand", {1.3, 0, 0}, {1.6, 0.1, 0.6});
  const auto port = [&](int i) {
    return add_port(c, prism, "p" + std::to_string(i), zone, {1.6 + 0.12 * i, 0.1, 0.4});
  };
  add_run(c, "left", port(0), add_end(c, prism, "L", "Wall 4", {0, 4.0, 1.9}));
  add_run(c, "right", port(1), add_end(c, prism, "R", "Wall 2", {kWidth_m, 4.0, 1.9}));
  add_run(c, "more", port(2), add_end(c, prism, "M", "Wall 4", {0, 3.2, 1.9}));
  c.ends.listener = prism.place({kWidth_m / 2, 3, 1.2});
  c.ends.facing_rad = kPi;
  c.job.prefer.symmetry_worth = 0;
  c.job.prefer.minutes_per_hole = 20;  // so that a hole is shared
  c.job.prefer.money_per_visible_m = 20;
  return c;
}

/// The middle of the hole nearest to a run's far end; false if it passes none.
bool last_hole(const Planned& p, std::size_t run, Vec3& at) {
  bool any = false;
  for (const Step& step : p.plan.runs[run].steps) {
    const TrackEdge& edge = p.tracks.edges[static_cast<std::size_t>(step.edge)];
    if (edge.crossing < 0) continue;
    at = 0.5 * (p.tracks.nodes[static_cast<std::size_t>(edge.a)].position +
                p.tracks.nodes[static_cast<std::size_t>(edge.b)].position);
    any = true;
  }
  return any;
}

bool mirrored(const Planned& p) {
  Vec3 left, right;
  if (!last_hole(p, 0, left) || !last_hole(p, 1, right)) return false;
  return distance({kWidth_m - left.x, left.y, left.z}, right) < 0.05;
}

TEST(Symmetry, AsARuleHolesOfLeftAndRightMirrorEachOther) {
  Case c = lopsided_case();
  const Planned before = plan_case(c, RouteEffort::normal);
  Vec3 left, right;
  ASSERT_TRUE(last_hole(before, 0, left));
  ASSERT_FALSE(mirrored(before)) << "the plan that would break it";
  c.job.prefer.symmetric = true;
  const Planned after = plan_case(c, RouteEffort::normal);
  EXPECT_TRUE(mirrored(after));
  EXPECT_TRUE(after.plan.notes.empty()) << after.plan.notes.front();
  EXPECT_FALSE(after.plan.proven) << "the bound leaves the rule out, and that is said";
  EXPECT_LE(after.plan.bound, after.plan.objective * (1 + 1e-9));
}

TEST(Symmetry, IsAWishThatMayCostWhatItIsWorthAndNoMore) {
  Case c = lopsided_case();
  const double without = plan_case(c, RouteEffort::normal).plan.objective;
  c.job.prefer.symmetry_worth = 1000;
  const Planned dear = plan_case(c, RouteEffort::normal);
  EXPECT_TRUE(mirrored(dear));
  const double more = dear.plan.objective - without;
  ASSERT_GT(more, 0.01);
  c.job.prefer.symmetry_worth = 0.9 * more;
  const Planned less = plan_case(c, RouteEffort::normal);
  EXPECT_FALSE(mirrored(less));
  EXPECT_NEAR(less.plan.objective, without, 1e-9);
}

TEST(Symmetry, WithoutAListenerTheRuleIsToldToHaveNoAxis) {
  Case c = lopsided_case();
  c.ends.listener.reset();
  c.job.prefer.symmetric = true;
  const Planned p = plan_case(c, RouteEffort::normal);
  ASSERT_EQ(p.plan.notes.size(), 1U);
  EXPECT_NE(p.plan.notes[0].find("no listener"), std::string::npos);
}

TEST(Symmetry, APairThatCannotBeMirroredIsTold) {
  Case c = lopsided_case();
  c.job.prefer.symmetric = true;
  c.job.runs[0].via = {"tile *"};
  // No tile on the right can be cut.
  std::erase_if(c.room.crossings, [](const Crossing& crossing) {
    return crossing.frame.to_world(crossing.region.outline.front()).x > 3.0;
  });
  const Planned p = plan_case(c, RouteEffort::normal);
  for (const PlannedRun& run : p.plan.runs) EXPECT_TRUE(run.routed);
  ASSERT_EQ(p.plan.notes.size(), 1U);
  EXPECT_NE(p.plan.notes[0].find("right and left"), std::string::npos) << p.plan.notes[0];
}

}  // namespace
}  // namespace roomloom
