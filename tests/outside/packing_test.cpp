// Bundles against the best known packings of equal circles in a circle.
#include <gtest/gtest.h>

#include <charconv>
#include <filesystem>
#include <fstream>
#include <string>

#include "geometry/bundle.h"

namespace roomloom {
namespace {

double number(const std::string& text) {
  double value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

}  // namespace

// R. L. Graham and others, and E. Specht's list "The best known packings of equal circles in a
// circle"; the file tells which are proven.
TEST(CirclePacking, HasThePublishedRatiosRoundedUp) {
  const std::filesystem::path file =
      std::filesystem::path(ROOMLOOM_SHARED_DATA) / "reference/circles/equal_circles_in_circle.csv";
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "the list of packings is not there: " << file;
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  int rows = 0;
  while (std::getline(in, line) && rows < 20) {
    const std::size_t first = line.find(',');
    const int count = static_cast<int>(number(line.substr(0, first)));
    const double ratio = number(line.substr(first + 1, line.find(',', first + 1) - first - 1));
    EXPECT_GE(circle_packing_ratio(count), ratio - 1e-9) << count;
    EXPECT_LE(circle_packing_ratio(count), ratio + 0.001) << count;
    ++rows;
  }
  EXPECT_EQ(rows, 20);
}

// Closed forms of the same list: 3: 1 + 2 / sqrt 3, 4: 1 + sqrt 2, 8: 1 + 1 / sin(pi / 7),
// 9: 1 + sqrt(2 (2 + sqrt 2)), 11: 1 + 1 / sin(pi / 9), 13: 2 + sqrt 5, 19: 1 + sqrt 2 + sqrt 6.
TEST(CirclePacking, HasTheClosedForms) {
  const std::pair<int, double> closed[] = {{1, 1},
                                           {2, 2},
                                           {3, 1 + 2 / std::sqrt(3.0)},
                                           {4, 1 + std::sqrt(2.0)},
                                           {7, 3},
                                           {8, 1 + 1 / std::sin(kPi / 7)},
                                           {9, 1 + std::sqrt(2 * (2 + std::sqrt(2.0)))},
                                           {11, 1 + 1 / std::sin(kPi / 9)},
                                           {13, 2 + std::sqrt(5.0)},
                                           {19, 1 + std::sqrt(2.0) + std::sqrt(6.0)}};
  for (const auto& [count, ratio] : closed) {
    EXPECT_GE(circle_packing_ratio(count), ratio - 1e-9);
    EXPECT_LE(circle_packing_ratio(count), ratio + 0.001);
    const std::vector<double> cables(static_cast<std::size_t>(count), 0.006);
    EXPECT_GE(bundle_diameter(cables), 0.006 * ratio - 1e-9) << count;
    EXPECT_LE(bundle_diameter(cables), 0.006 * (ratio + 0.001)) << count;
  }
}

// Laid step by step, four cables need 2.73 times the thickness of one and eight 3.69; a ready hole
// that is as wide as the published packings ask must be told to hold them, and none that is
// narrower.
TEST(CirclePacking, IsFoundWithinACircleThatTheKnownPackingsFit) {
  for (int count = 2; count <= 20; ++count) {
    const std::vector<double> cables(static_cast<std::size_t>(count), 0.006);
    const double least = 0.006 * circle_packing_ratio(count);
    const auto places = bundle_within(cables, 1.002 * least);
    ASSERT_EQ(places.size(), cables.size()) << count;
    EXPECT_LE(2 * enclosing_circle(places).radius_m, 1.002 * least + 1e-6) << count;
    for (std::size_t i = 0; i < places.size(); ++i)
      for (std::size_t j = 0; j < i; ++j)
        EXPECT_GE(norm(places[i].centre - places[j].centre), 0.006 - 1e-6) << count;
    if (count > 8) continue;  // that nothing is found takes all starts
    EXPECT_TRUE(bundle_within(cables, 0.995 * least).empty()) << count;
  }
}

// The rule of thumb D = 1.2 sqrt(sum d^2) is below the true least circle for two to six, nine and
// ten equal cables, so it must not be what sizes a hole.
TEST(CirclePacking, IsNotTheRuleOfThumb) {
  for (const int count : {2, 3, 4, 5, 6, 9, 10}) {
    const std::vector<double> cables(static_cast<std::size_t>(count), 1);
    EXPECT_GT(bundle_diameter(cables), 1.2 * std::sqrt(static_cast<double>(count))) << count;
  }
}

// A published table of factors for bundles of equal wires, 1 to 61 (is-rayfast.com, "Wire bundle
// multiplication factors", also its catalogue of 2017, page 542): wires in rings, as one lays them
// by hand. For up to 7 it is the least circle, and for up to 20 ours may only be smaller, but for
// 12, where the table says less than the least (4.03). Beyond that it adds a ring's width and calls
// itself approximate: for 24 wires it is below the least circle that is known (5.65; E. Specht), so
// that ours may be larger, by 6 % at most.
TEST(BundleTable, IsNotWorseThanAPublishedTableOfFactors) {
  const std::pair<int, double> up_to[] = {
      {1, 1.00},  {2, 2.00},  {3, 2.16},  {4, 2.41},  {5, 2.70},  {7, 3.00},
      {8, 3.60},  {12, 4.00}, {14, 4.41}, {16, 4.70}, {19, 5.00}, {21, 5.31},
      {24, 5.61}, {27, 6.00}, {30, 6.41}, {33, 6.70}, {37, 7.00}, {40, 7.31},
      {44, 7.61}, {48, 8.00}, {52, 8.41}, {56, 8.70}, {61, 9.00}};
  int count = 1;
  for (const auto& [last, factor] : up_to)
    for (; count <= last; ++count) {
      const double ours = bundle_diameter(std::vector<double>(static_cast<std::size_t>(count), 1));
      const double rounding = 0.0051;
      EXPECT_LE(ours, (count <= 20 ? 1.01 : 1.06) * factor + rounding) << count << " wires";
      if (count <= 7 && count != 6) {
        EXPECT_NEAR(ours, factor, 0.0061) << count;
      }
    }
  EXPECT_EQ(count, 62);
}

// The same page works an example of mixed wires by the rule of thumb: 3 of 1.19, 5 of 1.40 and one
// of 1.65 mm make 4.92 mm. A true bundle of nine lies close above it.
TEST(BundleTable, AMixedBundleIsNearAWorkedExample) {
  const double ours = bundle_diameter({1.19, 1.19, 1.19, 1.40, 1.40, 1.40, 1.40, 1.40, 1.65});
  EXPECT_GT(ours, 4.92 * 0.95);
  EXPECT_LT(ours, 4.92 * 1.10);
}

}  // namespace roomloom
