#include <gtest/gtest.h>

#include <random>

#include "geometry/arc.h"
#include "geometry/polygon.h"
#include "geometry/triangles.h"

namespace roomloom {
namespace {

const Polygon kLShape{{{0, 0}, {4, 0}, {4, 2}, {2, 2}, {2, 5}, {0, 5}},
                      {{{1, 1}, {1, 1.5}, {1.5, 1.5}, {1.5, 1}}}};

TEST(Polygon, AreaTakesHolesOff) {
  EXPECT_DOUBLE_EQ(signed_area(kLShape.outline), 14);
  EXPECT_DOUBLE_EQ(area(kLShape), 13.75);
}

TEST(Polygon, ContainsKnowsNotchesAndHoles) {
  EXPECT_TRUE(contains(kLShape, {3, 1}));
  EXPECT_FALSE(contains(kLShape, {3, 3}));
  EXPECT_FALSE(contains(kLShape, {1.2, 1.2}));
}

TEST(Polygon, InsidePiecesStopAtHolesAndNotches) {
  const auto pieces = inside_pieces(kLShape, {-1, 1.2}, {5, 1.2});
  ASSERT_EQ(pieces.size(), 2U);
  EXPECT_NEAR(pieces[0].first * 6 - 1, 0, 1e-9);
  EXPECT_NEAR(pieces[0].second * 6 - 1, 1, 1e-9);
  EXPECT_NEAR(pieces[1].first * 6 - 1, 1.5, 1e-9);
  EXPECT_NEAR(pieces[1].second * 6 - 1, 4, 1e-9);
}

TEST(Polygon, InteriorPointLiesInsideEvenWhereTheCentroidDoesNot) {
  const Polygon u{{{0, 0}, {10, 0}, {10, 10}, {9, 10}, {9, 1}, {1, 1}, {1, 10}, {0, 10}}, {}};
  EXPECT_FALSE(contains(u, centroid(u.outline)));
  EXPECT_TRUE(contains(u, interior_point(u)));
}

TEST(Polygon, SimplifyingDropsPointsWithinTheToleranceOnly) {
  const Ring noisy{{0, 0}, {1, 0.002}, {2, -0.001}, {3, 0}, {3, 2}, {1.5, 2.5}, {0, 2}};
  EXPECT_EQ(simplified(noisy, 0.01).size(), 5U);
}

TEST(Arc, PolylineFallsShortByNoMoreThanAllowed) {
  const double r = 0.05;
  const Arc arc{{r, 0, 0}, {0, r, 0}, {0, 0, 0}, {0, 0, 1}, r, kPi / 2};
  const auto points = arc_points(arc, 1e-6);
  const double length = polyline_length(points);
  EXPECT_LT(length, arc.length_m());
  EXPECT_GT(length, arc.length_m() - 1e-6);
  for (const Vec3& p : points) EXPECT_NEAR(norm(p), r, 1e-12);
}

// Closed form: the two tangents 2 r tan(a/2) less the arc r a.
TEST(Arc, FilletSavingAtARightAngle) { EXPECT_NEAR(fillet_saving(1, kPi / 2), 2 - kPi / 2, 1e-15); }

TEST(Segments, DistanceAgreesWithDenseSampling) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> unit(-1, 1);
  const auto point = [&] { return Vec3{unit(random), unit(random), unit(random)}; };
  for (int trial = 0; trial < 50; ++trial) {
    const Vec3 a = point(), b = point(), c = point(), d = point();
    double sampled = 1e9;
    for (int i = 0; i <= 200; ++i) {
      sampled = std::min(sampled, point_segment_distance(a + (i / 200.0) * (b - a), c, d));
    }
    EXPECT_LE(segment_distance(a, b, c, d), sampled + 1e-12);
    EXPECT_NEAR(segment_distance(a, b, c, d), sampled, 5e-3);
  }
}

TEST(TriangleTree, AgreesWithLookingAtEveryTriangle) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> unit(0, 1);
  std::vector<Vec3> points;
  std::vector<std::array<std::uint32_t, 3>> triangles;
  for (std::uint32_t i = 0; i < 300; ++i) {
    const Vec3 base{unit(random), unit(random), unit(random)};
    for (int k = 0; k < 3; ++k) {
      points.push_back(base + 0.1 * Vec3{unit(random), unit(random), unit(random)});
    }
    triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
  }
  const TriangleTree tree(points, triangles);
  int struck = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const Vec3 from{unit(random), unit(random), -0.5};
    const Vec3 direction = normalized(Vec3{0.2 * unit(random), 0.2 * unit(random), 1});
    double nearest = 1e9;
    for (std::size_t i = 0; i < triangles.size(); ++i) {
      const TriangleTree one(points, std::span(triangles).subspan(i, 1));
      if (const auto h = one.first_hit(from, direction)) nearest = std::min(nearest, h->t);
    }
    const auto hit = tree.first_hit(from, direction);
    EXPECT_EQ(hit.has_value(), nearest < 1e9);
    if (hit) {
      ++struck;
      EXPECT_DOUBLE_EQ(hit->t, nearest);
      EXPECT_LT(tree.distance(from + hit->t * direction), 1e-9);
      EXPECT_NEAR(tree.hits(from, from + 3 * direction).front().t, nearest, 1e-12);
    }
  }
  EXPECT_GT(struck, 20);
}

TEST(TriangleTree, RayAlongASharedEdgeIsNotLost) {
  const std::vector<Vec3> points{{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}};
  const std::vector<std::array<std::uint32_t, 3>> triangles{{0, 1, 2}, {0, 2, 3}};
  const TriangleTree tree(points, triangles);
  for (int i = 1; i < 100; ++i) {
    const double s = i / 100.0;
    EXPECT_TRUE(tree.first_hit({s, s, 1}, {0, 0, -1}));
  }
}

}  // namespace
}  // namespace roomloom
