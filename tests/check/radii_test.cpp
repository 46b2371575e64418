#include <gtest/gtest.h>

#include <cmath>

#include "check/drawn_runs.h"

/// What counts as a bend without a radius, on centrelines made by hand.
namespace roomloom::check {
namespace {

/// A quarter of a circle of 30 mm in steps of 5 degrees, with a straight metre before it and what
/// is given after it.
std::vector<Vec3> quarter(const std::vector<Vec3>& after) {
  std::vector<Vec3> line{{-1, 0, 0}};
  for (int i = 0; i <= 18; ++i) {
    const double angle = i * 5 * 3.14159265358979 / 180;
    line.push_back({0.03 * std::sin(angle), 0.03 * (1 - std::cos(angle)), 0});
  }
  for (const Vec3& p : after) line.push_back(line[19] + p);
  return line;
}

std::size_t kinks(const std::vector<Vec3>& line) {
  const CableType cable;
  DrawnRun run;
  run.id = "R";
  run.cable = &cable;
  run.line = line;
  Findings findings;
  check_radii(Written(), {run}, findings);
  return findings.items.size();
}

// Where an arc takes the whole of a last leg, a micrometre of it is left, and single precision
// rounds its direction by as much.
TEST(BendsWithoutARadius, AreNotReadOutOfRounding) {
  EXPECT_EQ(kinks(quarter({{0, 0.1, 0}})), 0U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0.000002, 0}})), 0U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0, 0}, {0, 0.1, 0}})), 0U);
}

TEST(BendsWithoutARadius, AreFoundWhereTheyLieBesideAPointThatIsNearlyTwice) {
  EXPECT_EQ(kinks(quarter({{0.1, 0, 0}})), 1U);
  EXPECT_EQ(kinks(quarter({{0.000001, 0.000002, 0}, {0.1, 0, 0}})), 1U);
}

}  // namespace
}  // namespace roomloom::check
