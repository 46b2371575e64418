#include <gtest/gtest.h>

#include <random>

#include "network/full_milp.h"
#include "route/model.h"
#include "route/paths.h"
#include "route/rules.h"
#include "tracks/box_room.h"
#include "tracks/tracks.h"

/// Small rooms from end to end: what is planned against COIN-OR CBC 2.10.8 on the whole integer
/// programme of the same track graph.
namespace roomloom {
namespace {

using namespace roomloom::testing;

struct Spot {
  const char* wall;
  Vec3 at;
};

/// A spot on one of the four walls of a box.
Spot random_spot(std::mt19937& random, double width_m, double depth_m) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const double x = between(0.4, width_m - 0.4), y = between(0.4, depth_m - 0.4);
  const double z = between(0.3, 2.1);
  switch (std::uniform_int_distribution<int>(0, 3)(random)) {
    case 0:
      return {"Wall 1", {x, 0, z}};
    case 1:
      return {"Wall 2", {width_m, y, z}};
    case 2:
      return {"Wall 3", {x, depth_m, z}};
    default:
      return {"Wall 4", {0, y, z}};
  }
}

/// Two or three runs from one place (CBC takes minutes for some rooms of more), every eighth room
/// with a plain ceiling to fix raceway to, the others with a void above tiles. One large raceway,
/// so that plan and programme price the same things.
Case random_room(int seed) {
  std::mt19937 random(static_cast<unsigned>(seed));
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const double width = between(2.4, 4.5), depth = between(2.6, 5.0);
  PrismRoom prism = box_prism(width, depth);
  const bool is_plain = seed % 8 == 0;
  if (is_plain) prism.plenum_m = 0;
  Case c = make_case(prism);
  c.job.catalogue.raceways.resize(1);
  c.job.catalogue.raceways[0].inner_width_m = c.job.catalogue.raceways[0].inner_depth_m = 0.1;
  for (CableType& cable : c.job.catalogue.cables) cable.bend_radius_m = 0.06;
  c.job.prefer.minutes_per_hole = between(2, 20);
  c.job.prefer.money_per_visible_m = between(0.5, 8);
  const Spot start = random_spot(random, width, depth);
  const int from = add_end(c, prism, "start", start.wall, start.at);
  const int runs = is_plain ? 2 : 2 + seed % 2;
  for (int i = 0; i < runs; ++i) {
    const Spot spot = random_spot(random, width, depth);
    add_run(c, "r" + std::to_string(i), from,
            add_end(c, prism, "e" + std::to_string(i), spot.wall, spot.at), i % 2);
  }
  return c;
}

class SmallRoomBySeed : public ::testing::TestWithParam<int> {};

TEST_P(SmallRoomBySeed, IsPlannedAsTheIntegerProgrammeWouldHaveIt) {
  const Case c = random_room(GetParam());
  const Tracks tracks = build_tracks(c.scene, c.room, c.ends, c.job);
  const Plan plan = route_runs(tracks, c.ends, c.room, c.job, {RouteEffort::prove, 60});
  for (const PlannedRun& run : plan.runs) ASSERT_TRUE(run.routed) << run.blocked_by;
  EXPECT_TRUE(plan.proven) << plan.objective << " above " << plan.bound;
  route::Setting setting = route::make_setting(tracks, c.ends, c.room, c.job);
  route::Told told;
  route::apply_masks(setting, told);
  const route::Model model = route::make_model(setting);
  const double optimum = network::milp_optimum(model.problem);
  ASSERT_GT(optimum, 0);
  EXPECT_NEAR(plan.objective, optimum, 1e-5 * optimum);
  EXPECT_LE(plan.bound, optimum * (1 + 1e-6));
}

INSTANTIATE_TEST_SUITE_P(Generated, SmallRoomBySeed, ::testing::Range(1, 33));

}  // namespace
}  // namespace roomloom
