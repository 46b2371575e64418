#include "takeoff/together.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

double metres(const std::vector<std::pair<Vec3, Vec3>>& parts) {
  double sum = 0;
  for (const auto& [a, b] : parts) sum += distance(a, b);
  return sum;
}

TEST(Together, ALineThatComesNearAnotherCountsUpToWhereItDoes) {
  Together together({{0}, {1}});
  EXPECT_NEAR(metres(together.apart({0, 0, 0}, {2, 0, 0}, 0, 0)), 2, 1e-12);
  // It comes down to 60 mm at x = 0.94 and goes on 20 mm beside the first.
  EXPECT_NEAR(metres(together.apart({0.94, 0, 1}, {0.94, 0, 0.02}, 1, 1)), 0.94, 0.02);
  EXPECT_NEAR(metres(together.apart({0.94, 0, 0.02}, {2, 0, 0.02}, 1, 1)), 0, 1e-12);
}

TEST(Together, RunsOfOneEdgeAreLeftToWhoComparesThem) {
  Together together({{7}, {7}, {8}});
  EXPECT_NEAR(metres(together.apart({0, 0, 0}, {1, 0, 0}, 0, 7)), 1, 1e-12);
  EXPECT_NEAR(metres(together.apart({0, 0, 0.01}, {1, 0, 0.01}, 1, 7)), 1, 1e-12);
  EXPECT_NEAR(metres(together.apart({0, 0, 0.02}, {1, 0, 0.02}, 2, 8)), 0, 1e-12);
}

TEST(Together, ALineIsNeverBesideItself) {
  Together together({{0, 1}});
  EXPECT_NEAR(metres(together.apart({0, 0, 0}, {1, 0, 0}, 0, 0)), 1, 1e-12);
  EXPECT_NEAR(metres(together.apart({1, 0, 0}, {1, 0.03, 0}, 0, 1)), 0.03, 1e-12);
}

}  // namespace
}  // namespace roomloom
