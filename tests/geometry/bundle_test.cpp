#include "geometry/bundle.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace roomloom {

TEST(EnclosingCircle, OfTwoDiscsTouchesBothFarSides) {
  const Disc circle = enclosing_circle({{{0, 0}, 1}, {{5, 0}, 2}});
  EXPECT_NEAR(circle.radius_m, 4, 1e-9);
  EXPECT_NEAR(circle.centre.x, 3, 1e-6);
}

TEST(EnclosingCircle, OfThreeEqualTouchingDiscsIsTheClosedForm) {
  const Disc circle = enclosing_circle({{{0, 0}, 1}, {{2, 0}, 1}, {{1, std::sqrt(3.0)}, 1}});
  EXPECT_NEAR(circle.radius_m, 1 + 2 / std::sqrt(3.0), 1e-8);
}

TEST(Bundle, OfMixedCablesHoldsAtLeastTheirAreaAndAtMostTheirSum) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> diameter(0.004, 0.011);
  for (int trial = 0; trial < 40; ++trial) {
    std::vector<double> cables;
    for (int i = 0; i < 1 + trial % 12; ++i) cables.push_back(diameter(random));
    double area = 0;
    double sum = 0;
    for (const double d : cables) {
      area += d * d;
      sum += d;
    }
    const double bundle = bundle_diameter(cables);
    EXPECT_GE(bundle * bundle, area * (1 - 1e-12));
    EXPECT_LE(bundle, sum + 1e-9);
    cables.push_back(0.005);
    EXPECT_GE(bundle_diameter(cables), 0.95 * bundle);  // found step by step: not quite monotonic
  }
}

TEST(Bundle, OfTwoCablesIsTheirSum) { EXPECT_NEAR(bundle_diameter({0.004, 0.010}), 0.014, 1e-9); }

// Two of 14 mm need 28: side by side about the middle, along the line on which they are wanted.
TEST(Bundle, IsTurnedToWhereItsCablesAreWanted) {
  const Vec2 way{0.6, -0.8};
  const std::vector<Disc> two = {{{0, 0}, 0.007}, {{0.001, 0}, 0.007}};
  EXPECT_TRUE(any_meet(two));
  const auto places = turned_bundle(two, {{1, 1}, Vec2{1, 1} + 0.002 * way});
  ASSERT_EQ(places.size(), 2U);
  EXPECT_LT(norm(places[0] + 0.007 * way), 1e-9);
  EXPECT_LT(norm(places[1] - 0.007 * way), 1e-9);
  // The thick one third: each keeps its own place in the list.
  const std::vector<Disc> three = {{{0, 0}, 0.002}, {{0, 0}, 0.003}, {{0, 0}, 0.009}};
  const auto mixed = turned_bundle(three, {{0, 0}, {0, 0}, {0, 0}});
  std::vector<Disc> lie;
  for (std::size_t i = 0; i < 3; ++i) lie.push_back({mixed[i], three[i].radius_m});
  EXPECT_FALSE(any_meet(lie));
  EXPECT_LT(norm(enclosing_circle(lie).centre), 1e-9);
}

// Four of 8 mm, each touching two others as they come, are 21.9 mm wide; in a square 19.3.
TEST(Bundle, IsLaidCloserWhereTheHoleAsksForIt) {
  const std::vector<Disc> four(4, {{0, 0}, 0.004});
  const std::vector<Vec2> wanted(4);
  const auto widest = [&](const std::vector<Vec2>& places) {
    double most = 0;
    for (const Vec2& at : places) most = std::max(most, 2 * (norm(at) + 0.004));
    return most;
  };
  EXPECT_GT(widest(turned_bundle(four, wanted)), 0.021);
  EXPECT_LT(widest(turned_bundle(four, wanted, 0.0195)), 0.01951);
}

TEST(HoleSaw, IsNeverSmallerThanAsked) {
  for (double at_least = 0.001; at_least < 0.2; at_least += 0.0007) {
    EXPECT_GE(hole_saw_size(at_least), at_least - 1e-6);
    EXPECT_LE(hole_saw_size(at_least), std::max(0.016, at_least + 0.0131));
  }
}

// How far the discs reach from a point is convex: a centre from which every small step makes it
// worse is the best one.
TEST(EnclosingCircle, NoOtherCentreIsBetterForDiscsOfAnySizes) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> place(-0.05, 0.05), size(0.001, 0.012);
  for (int round = 0; round < 200; ++round) {
    std::vector<Disc> discs(static_cast<std::size_t>(1 + round % 30));
    for (Disc& disc : discs)
      disc = {{place(random), place(random)}, round % 3 == 0 ? 0.004 : size(random)};
    const Disc circle = enclosing_circle(discs);
    const auto reach = [&](const Vec2& from) {
      double furthest = 0;
      for (const Disc& disc : discs)
        furthest = std::max(furthest, norm(disc.centre - from) + disc.radius_m);
      return furthest;
    };
    EXPECT_LE(reach(circle.centre), circle.radius_m + 1e-12);
    for (int i = 0; i < 32; ++i) {
      const Vec2 step = 1e-6 * Vec2{std::cos(i * kPi / 16), std::sin(i * kPi / 16)};
      EXPECT_GE(reach(circle.centre + step), circle.radius_m - 1e-11) << round;
    }
  }
}

}  // namespace roomloom
