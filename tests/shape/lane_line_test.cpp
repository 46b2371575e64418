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
  way.limits.resize(2);
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

// A slant from a lane to one two micrometres beside it is too short for any bend, and would be told
// as a kink where a cable leans out of its hole to its end.
TEST(LaneLine, LanesThatTheSolverLeftMicrometresApartAreOne) {
  const LanePath way = bent_way(0);
  const TrackPath line = lane_line(way, {{0, 0.01, 0}, {0, 0.010002, 0}});
  for (std::size_t i = 0; i + 1 < line.points.size(); ++i)
    EXPECT_GT(distance(line.points[i], line.points[i + 1]), 0.001) << i;
  EXPECT_GT(lane_line(way, {{0, 0.01, 0}, {0, 0.0102, 0}}).points.size(), line.points.size())
      << "a fifth of a millimetre is stepped over";
}

// Up a wall beside the corner of a bay and then along the bay's slanting wall, cables on open
// faces: wherever the two lanes lie, all of the way keeps before both walls. Geometry.
TEST(LaneLine, InTheCornerOfABayKeepsBeforeBothWalls) {
  constexpr double kRadius = 0.0035;
  for (const double degrees : {15.0, 45.0, 60.0, 90.0}) {
    const double angle = degrees * kPi / 180;
    const Vec3 front{0, 1, 0};
    const Vec3 bay{-std::sin(angle), std::cos(angle), 0};
    LanePath way = bent_way(0);
    // Both walls' tracks are 12 mm before them; their line of corners is at the bisector.
    way.path.points = {{0, 0, -1}, {0, 0, 1}, {std::cos(angle), std::sin(angle), 1}};
    const LaneLimits::Interval on_front{front, kRadius - 0.012, Box3::kInf, 1, 0, true};
    const LaneLimits::Interval on_bay{bay, kRadius - 0.012, Box3::kInf, 1, 0, true};
    way.limits[0].intervals = {on_front, on_bay};
    way.limits[1].intervals = {on_bay};
    for (const double aside : {0.0, -0.01, -0.03})
      for (const double off : {0.0, -0.008, 0.02})
        for (const double bay_off : {0.0, -0.008, 0.015})
          for (const double level : {0.0, 0.01}) {
            const Vec3 up_the_wall = aside * Vec3{1, 0, 0} + off * front;
            if (dot(up_the_wall, bay) < on_bay.low) continue;
            const TrackPath line = lane_line(way, {up_the_wall, bay_off * bay + Vec3{0, 0, level}});
            for (std::size_t i = 1; i + 1 < line.points.size(); ++i) {
              EXPECT_GT(dot(line.points[i], front), on_front.low - 1e-9) << degrees << " " << i;
              EXPECT_GT(dot(line.points[i], bay), on_bay.low - 1e-9) << degrees << " " << i;
            }
            EXPECT_LT(line.length_m(), 3.3) << degrees;
          }
  }
}

}  // namespace
}  // namespace roomloom
