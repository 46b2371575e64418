#include "shape/fillet.h"

#include <gtest/gtest.h>

#include <limits>

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

FilletedPath rounded(const std::vector<Vec3>& points, double radius, double cap = kInfinite) {
  return fillet_path(points, std::vector<bool>(points.size() - 1, false),
                     std::vector<double>(points.size(), cap), radius);
}

double length_of(const FilletedPath& path) {
  double sum = 0;
  for (const Piece& piece : path.pieces) sum += length_m(piece);
  return sum;
}

void expect_joined(const FilletedPath& path, const Vec3& from, const Vec3& to) {
  Vec3 at = from;
  for (const Piece& piece : path.pieces) {
    std::visit(
        [&](const auto& p) {
          EXPECT_LE(distance(at, p.from), 1e-9);
          at = p.to;
        },
        piece);
    if (const auto* arc = std::get_if<Arc>(&piece)) {
      EXPECT_NEAR(distance(arc->centre, arc->from), arc->radius_m, 1e-9);
      EXPECT_NEAR(distance(arc->centre, arc->to), arc->radius_m, 1e-9);
      EXPECT_NEAR(distance(arc_points(*arc, 1e-6).back(), arc->to), 0, 1e-9);
    }
  }
  EXPECT_LE(distance(at, to), 1e-9);
}

}  // namespace

TEST(Fillet, ASquareCornerSavesWhatGeometrySays) {
  const std::vector<Vec3> corner{{0, 0, 0}, {1, 0, 0}, {1, 2, 0}};
  const FilletedPath path = rounded(corner, 0.05);
  ASSERT_EQ(path.pieces.size(), 3U);
  expect_joined(path, corner.front(), corner.back());
  EXPECT_NEAR(length_of(path), 3 - fillet_saving(0.05, kPi / 2), 1e-12);
  ASSERT_EQ(path.bends.size(), 1U);
  EXPECT_DOUBLE_EQ(path.bends[0].used_m, 0.05);
  EXPECT_GT(path.bends[0].available_m, 0.05);
}

TEST(Fillet, TwoFilletsOnAShortLegBothShrinkAndAreTold) {
  // 40 mm between two square corners leave 20 mm to each.
  const std::vector<Vec3> step{{0, 0, 0}, {1, 0, 0}, {1, 0.04, 0}, {2, 0.04, 0}};
  const FilletedPath path = rounded(step, 0.05);
  expect_joined(path, step.front(), step.back());
  ASSERT_EQ(path.bends.size(), 2U);
  for (const Bend& bend : path.bends) {
    EXPECT_NEAR(bend.used_m, 0.02, 1e-12);
    EXPECT_NEAR(bend.available_m, 0.02, 1e-12);
    EXPECT_DOUBLE_EQ(bend.required_m, 0.05);
  }
  EXPECT_NEAR(length_of(path), 2.04 - 2 * fillet_saving(0.02, kPi / 2), 1e-12);
}

TEST(Fillet, BetweenTwoArcsNoLineIsLeftThatIsTooShortToHaveADirection) {
  // 100.0015 mm between two square corners of 50 mm leave 1.5 thousandths of a millimetre.
  const std::vector<Vec3> step{{0, 0, 0}, {1, 0, 0}, {1, 0.1000015, 0}, {2, 0.1000015, 0}};
  const FilletedPath path = rounded(step, 0.05);
  expect_joined(path, step.front(), step.back());
  ASSERT_EQ(path.pieces.size(), 4U) << "a line, two arcs, a line";
  for (const Bend& bend : path.bends) EXPECT_DOUBLE_EQ(bend.used_m, 0.05);
}

TEST(Fillet, WhatANeighbourCannotUseGoesToTheOther) {
  // The last corner is held to 10 mm by its 10 mm end; the one before it may have 30 of the 40 mm.
  const std::vector<Vec3> step{{0, 0, 0}, {1, 0, 0}, {1, 0.04, 0}, {1.01, 0.04, 0}};
  const FilletedPath path = rounded(step, 0.05);
  ASSERT_EQ(path.bends.size(), 2U);
  EXPECT_NEAR(path.bends[1].used_m, 0.01, 1e-12);
  EXPECT_NEAR(path.bends[0].used_m, 0.03, 1e-12);
}

TEST(Fillet, NoCableBendsInsideAHole) {
  // 12 mm from the hole's face to the corner: no larger arc, though the leg is long enough.
  const std::vector<Vec3> up{{0, 0, 0}, {0, 0, 1}, {0, 0, 1.015}, {0, 0, 1.027}, {1, 0, 1.027}};
  const FilletedPath path =
      fillet_path(up, {false, true, false, false}, std::vector<double>(5, kInfinite), 0.03);
  ASSERT_EQ(path.bends.size(), 1U);
  EXPECT_NEAR(path.bends[0].used_m, 0.012, 1e-12);
  EXPECT_NEAR(path.bends[0].available_m, 0.012, 1e-12);
  expect_joined(path, up.front(), up.back());
}

TEST(Fillet, ATurnStraightBackGetsNoArcAndIsTold) {
  const std::vector<Vec3> back{{0, 0, 0}, {1, 0, 0}, {0.2, 0, 0}};
  const FilletedPath path = rounded(back, 0.03);
  ASSERT_EQ(path.bends.size(), 1U);
  EXPECT_EQ(path.bends[0].used_m, 0);
  EXPECT_NEAR(length_of(path), 1.8, 1e-12);
}

TEST(Fillet, ThePlaceLimitsTheRadius) {
  const FilletedPath path = rounded({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}}, 0.05, 0.02);
  EXPECT_NEAR(path.bends[0].used_m, 0.02, 1e-12);
  EXPECT_NEAR(path.bends[0].available_m, 0.02, 1e-12);
}

TEST(RacewayRadius, IsThatOfACableAgainstBothOuterSidesAndTheInnerCorner) {
  // Built the other way round: an arc of that radius about the centre that lies (R + d/2) from both
  // outer sides passes the inner corner at exactly half a diameter.
  for (const double angle : {radians(90), radians(45), radians(30), radians(120)}) {
    const double h = 0.0135;
    const double d = 0.006;
    const double radius = largest_raceway_radius(h, d, angle);
    const double k = 1 / std::cos(angle / 2);
    EXPECT_NEAR((radius + d / 2) * k - h * k, radius - d / 2, 1e-12);
  }
  EXPECT_EQ(largest_raceway_radius(0.005, 0.006, kPi / 2), 0);
}

TEST(SolidRadius, KeepsTheTubeOffTheEdge) {
  // A tube of 6 mm 10 mm off both faces of a square edge: the arc's middle is r (k - 1) inside the
  // corner, and 10 k - 3 mm are free there.
  const double k = std::sqrt(2.0);
  EXPECT_NEAR(largest_radius_round_solid(0.010, 0.006, kPi / 2) * (k - 1), 0.010 * k - 0.003,
              1e-12);
}

}  // namespace roomloom
