#include "geometry/sight.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "geometry/prism.h"

namespace roomloom {
namespace {

using Triangles = std::vector<std::array<std::uint32_t, 3>>;

struct Mesh {
  std::vector<Vec3> points;
  Triangles triangles;

  void quad(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
    const auto first = static_cast<std::uint32_t>(points.size());
    for (const Vec3& p : {a, b, c, d}) points.push_back(p);
    triangles.push_back({first, first + 1, first + 2});
    triangles.push_back({first, first + 2, first + 3});
  }
  void box(const Vec3& low, const Vec3& high) {
    const auto at = [&](bool x, bool y, bool z) {
      return Vec3{x ? high.x : low.x, y ? high.y : low.y, z ? high.z : low.z};
    };
    for (const bool side : {false, true}) {
      quad(at(side, false, false), at(side, true, false), at(side, true, true),
           at(side, false, true));
      quad(at(false, side, false), at(true, side, false), at(true, side, true),
           at(false, side, true));
      quad(at(false, false, side), at(true, false, side), at(true, true, side),
           at(false, true, side));
    }
  }
};

const Vec3 kEye{0, 0, 1.2};
// On a wall four metres before the eye, 0.3 m above the floor.
const Vec3 kLeft{-2, 4, 0.3}, kRight{2, 4, 0.3};

TEST(Sight, ABoxHalfWayThrowsAShadowTwiceAsWideBySimilarTriangles) {
  Mesh mesh;
  mesh.box({-0.5, 2, 0}, {0.5, 2.4, 1.0});
  const Sight sight(mesh.points, mesh.triangles);
  const Spans hidden = sight.hidden(kEye, kLeft, kRight);
  // The line of sight is 0.75 m high at the box's front: below its top. Its half width 0.5 m at 2 m
  // is 1.0 m at 4 m; so of 4 m the middle 2 m are hidden.
  ASSERT_EQ(hidden.size(), 1U);
  EXPECT_NEAR(hidden[0].first, 0.25, 1e-9);
  EXPECT_NEAR(hidden[0].second, 0.75, 1e-9);
}

TEST(Sight, OverTheFrontOfALowBoxItsTopHides) {
  Mesh mesh;
  mesh.box({-0.5, 2, 0}, {0.5, 2.4, 0.7});
  const Sight sight(mesh.points, mesh.triangles);
  // The line of sight falls from 1.2 m to 0.3 m and is 0.7 m high after 5/9 of the way, above the
  // top: there the half width 0.5 m stands for 0.9 m on the wall.
  const Spans hidden = sight.hidden(kEye, kLeft, kRight);
  ASSERT_EQ(hidden.size(), 1U);
  EXPECT_NEAR(hidden[0].first, (2 - 0.9) / 4, 1e-9);
  EXPECT_NEAR(hidden[0].second, (2 + 0.9) / 4, 1e-9);
  Mesh lower;
  lower.box({-0.5, 2, 0}, {0.5, 2.4, 0.65});  // the line is 0.66 m high at its rear edge
  EXPECT_TRUE(Sight(lower.points, lower.triangles).hidden(kEye, kLeft, kRight).empty());
}

TEST(Sight, WhatASegmentIsFixedToAndWhatLiesBehindItHidesNothing) {
  Mesh mesh;
  mesh.quad({-3, 4.002, 0}, {3, 4.002, 0}, {3, 4.002, 2.5}, {-3, 4.002, 2.5});
  mesh.quad({-3, 3.998, 0}, {3, 3.998, 0}, {3, 3.998, 2.5}, {-3, 3.998, 2.5});
  mesh.box({-0.5, -2, 0}, {0.5, -1, 2});
  const Sight sight(mesh.points, mesh.triangles);
  EXPECT_TRUE(sight.hidden(kEye, kLeft, kRight).empty());
  EXPECT_TRUE(sight.sees(kEye, {0, 4, 0.3}));
}

TEST(Sight, TwoTrianglesThatMeetInTheVeryPlaneOfSightHideTogether) {
  Mesh mesh;  // both sides of x = 0, and eye and segment at x = 0
  mesh.points = {{0, 2, 0}, {0, 2, 1}, {-1, 2, 0.5}, {1, 2, 0.5}};
  mesh.triangles = {{0, 1, 2}, {0, 1, 3}};
  const Sight sight(mesh.points, mesh.triangles);
  // Seen over 2 m, the edge from 0 to 1 m hides 0 (at -1.2 m) to 0.8 m of the wall at 4 m.
  const Spans hidden = sight.hidden(kEye, {0, 4, 0}, {0, 4, 2});
  ASSERT_EQ(hidden.size(), 1U);
  EXPECT_NEAR(hidden[0].first, 0, 1e-9);
  EXPECT_NEAR(hidden[0].second, 0.4, 1e-9);
}

TEST(Sight, ASegmentSeenEndOnIsAPoint) {
  Mesh mesh;
  mesh.box({-0.5, 2, 0}, {0.5, 2.4, 3});
  const Sight sight(mesh.points, mesh.triangles);
  const Spans all = sight.hidden(kEye, {0, 3, 1.2}, {0, 4, 1.2});
  ASSERT_EQ(all.size(), 1U);
  EXPECT_NEAR(total(all), 1, 1e-12);
  EXPECT_TRUE(sight.hidden(kEye, {0, 0.5, 1.2}, {0, 1.5, 1.2}).empty());
}

// The second way: rays to points of the segment, by the tree's ray search, which shares nothing
// with the shadows.
TEST(Sight, ShadowsAgreeWithRaysInRoomsOfRandomBoxes) {
  std::mt19937 random(20240607);
  const auto number = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  int hidden_samples = 0;
  for (int room = 0; room < 60; ++room) {
    Mesh mesh;
    for (int i = 0; i < 12; ++i) {
      const Vec3 low{number(-3, 3), number(-3, 3), number(0, 1)};
      mesh.box(low, low + Vec3{number(0.1, 1), number(0.1, 1), number(0.1, 1)});
    }
    const Sight sight(mesh.points, mesh.triangles);
    const TriangleTree tree(mesh.points, mesh.triangles);
    const Vec3 eye{number(-4, 4), number(-4, 4), number(0.5, 2)};
    const Vec3 a{number(-4, 4), 4.5, number(0, 2)}, b{4.5, number(-4, 4), number(0, 2)};
    const Spans hidden = sight.hidden(eye, a, b);
    for (int i = 0; i < 200; ++i) {
      const double t = (i + 0.5) / 200;
      const bool near_edge = std::any_of(hidden.begin(), hidden.end(), [&](const auto& span) {
        return std::abs(span.first - t) < 1e-5 || std::abs(span.second - t) < 1e-5;
      });
      if (near_edge) continue;
      const bool in_shadow = std::any_of(hidden.begin(), hidden.end(), [&](const auto& span) {
        return t > span.first && t < span.second;
      });
      const Vec3 p = a + t * (b - a);
      const bool hit =
          tree.first_hit(eye, normalized(p - eye), 1e-6, distance(eye, p) - 0.003).has_value();
      EXPECT_EQ(in_shadow, hit) << "room " << room << ", t " << t;
      hidden_samples += hit ? 1 : 0;
    }
  }
  EXPECT_GT(hidden_samples, 1000) << "the rooms hide something";
}

TEST(Spans, AreJoinedCutAndTurnedRound) {
  EXPECT_EQ(united({{0, 0.5}}, {{0.4, 0.7}, {0.9, 1}}), (Spans{{0, 0.7}, {0.9, 1}}));
  EXPECT_EQ(common({{0, 0.5}, {0.6, 1}}, {{0.4, 0.7}}), (Spans{{0.4, 0.5}, {0.6, 0.7}}));
  EXPECT_EQ(rest_of({{0.2, 0.5}}), (Spans{{0, 0.2}, {0.5, 1}}));
  EXPECT_NEAR(total(rest_of({})), 1, 1e-12);
}

TEST(Prism, ALeafSweepsItsCircleAndNotTheSquareRoundIt) {
  const Prism swept{leaf_sector({0, 0}, {0.9, 0}, {0, 1}, kPi / 2), 0, 2};
  EXPECT_TRUE(contains(swept, {0.5, 0.7, 1}));    // 0.86 m from the hinge
  EXPECT_FALSE(contains(swept, {0.7, 0.7, 1}));   // 0.99 m
  EXPECT_FALSE(contains(swept, {0.5, -0.1, 1}));  // behind the shut leaf
  EXPECT_FALSE(contains(swept, {0.5, 0.5, 2.1}));
  EXPECT_GE(signed_area(swept.plan), kPi * 0.81 / 4);  // nothing it reaches is left out
  EXPECT_LT(signed_area(swept.plan), 1.02 * kPi * 0.81 / 4);
  const Prism wide{leaf_sector({0, 0}, {0.9, 0}, {0, 1}, kPi), 0, 2};
  EXPECT_TRUE(contains(wide, {-0.5, 0.3, 1})) << "opened flat against the wall";
}

TEST(Prism, ALineIsCutWhereItEntersAndLeaves) {
  const Prism prism = prism_of(Box3{{1, 0, 0}, {2, 1, 1}});
  const auto level = inside_pieces(prism, {0, 0.5, 0.5}, {4, 0.5, 0.5});
  ASSERT_EQ(level.size(), 1U);
  EXPECT_NEAR(level[0].first, 0.25, 1e-9);
  EXPECT_NEAR(level[0].second, 0.5, 1e-9);
  const auto upright = inside_pieces(prism, {1.5, 0.5, -1}, {1.5, 0.5, 3});
  ASSERT_EQ(upright.size(), 1U);
  EXPECT_NEAR(upright[0].first, 0.25, 1e-9);
  EXPECT_NEAR(upright[0].second, 0.5, 1e-9);
  EXPECT_TRUE(inside_pieces(prism, {0, 0.5, 1.5}, {4, 0.5, 1.5}).empty());
}

}  // namespace
}  // namespace roomloom
