#include "shape/lane_line.h"

#include <gtest/gtest.h>

#include <cmath>

namespace roomloom {
namespace {

/// A way of two straight stretches, the second turned by `angle` in the plane, on shared tracks.
LanePath bent_way(double angle) {
  LanePath way;
  way.diameter_m = 0.007;
  way.bend_radius_m = 0.03;
  way.path.points = {{0, 0, 0}, {3, 0, 0}, {3 + 3 * std::cos(angle), 3 * std::sin(angle), 0}};
  way.path.edges = {{0, true}, {1, true}};
  way.tracks = {0, 1};
  way.shared = {true, true};
  way.rigid = {false, false};
  way.loose = {false, false};
  way.room_m2 = {Box3::kInf, Box3::kInf};
  return way;
}

// Walls of a scan are never quite in one line: two lanes at different distances from them meet
// hundreds of metres away, and the drawn cable must not go there.
TEST(LaneLine, LinesThatHardlyTurnAreJoinedWhereTheyAre) {
  for (const double degrees : {0.002, 0.05, 0.3, 2.0, 10.0, 45.0, 90.0}) {
    const LanePath way = bent_way(degrees * kPi / 180);
    const TrackPath line = lane_line(way, {{0, 0.01, 0}, {0, -0.01, 0}});
    EXPECT_LT(line.length_m(), way.path.length_m() + 0.1) << degrees;
    for (const Vec3& p : line.points) EXPECT_LT(norm(p), 6.1) << degrees;
  }
}

}  // namespace
}  // namespace roomloom
