#include "interview/balance.h"

#include <gtest/gtest.h>

#include <cmath>

namespace roomloom {
namespace {

/// Corners of a room 4 m wide and 3 m deep: back left, front left, front right, back right.
const std::vector<Vec2> kRoom = {{0, 0}, {0, 3}, {4, 3}, {4, 0}};

std::vector<TapeMeasure> six_lengths() {
  return {{"left", 0, 1, -1, 3}, {"front", 1, 2, -1, 4},      {"right", 2, 3, -1, 3},
          {"back", 3, 0, -1, 4}, {"diagonal 1", 1, 3, -1, 5}, {"diagonal 2", 2, 0, -1, 5}};
}

std::vector<TapeMeasure> with_square_corners(std::vector<TapeMeasure> measures) {
  for (int corner = 0; corner < 4; ++corner)
    measures.push_back(
        {"corner", (corner + 3) % 4, (corner + 1) % 4, corner, kPi / 2, 0.5 * kPi / 180, true});
  return measures;
}

double length(const BalancedOutline& outline, int from, int to) {
  return norm(outline.corners[static_cast<std::size_t>(to)] -
              outline.corners[static_cast<std::size_t>(from)]);
}

TEST(Balance, MeasuresThatAgreeAreKept) {
  const auto outline = balance(kRoom, six_lengths());
  ASSERT_TRUE(outline);
  EXPECT_TRUE(outline->blamed.empty());
  EXPECT_NEAR(outline->misclosure_m, 0, 1e-9);
  EXPECT_NEAR(length(*outline, 0, 2), 5, 1e-9);
}

// A rectangle a x b with both diagonals d has one condition; its coefficients are the stress of the
// braced quadrilateral, (a, a, b, b, -d, -d), and the sum of their squares is 4d². So a measure of
// length l has the redundancy l²/4d², and of an error in it that share shows as its residual.
// Worked by hand from the condition equation (method of W. Baarda, Publications on Geodesy 2-5,
// 1968).
TEST(Balance, ABracedQuadrilateralSharesItsErrorAsTheConditionEquationSays) {
  auto measures = six_lengths();
  constexpr double kError = 0.002;
  measures[4].value += kError;
  const auto outline = balance(kRoom, measures);
  ASSERT_TRUE(outline);
  const double side_3 = 9.0 / 100, side_4 = 16.0 / 100, diagonal = 25.0 / 100;
  const double redundancy[] = {side_3, side_4, side_3, side_4, diagonal, diagonal};
  for (std::size_t i = 0; i < 6; ++i)
    EXPECT_NEAR(outline->measures[i].redundancy, redundancy[i], 2e-4) << i;
  EXPECT_NEAR(outline->measures[4].balanced - measures[4].value, -kError * diagonal, 2e-6);
  // The front wall's residual: kError * d * a / 4d², longer because the diagonal is too long.
  EXPECT_NEAR(outline->measures[1].balanced - 4, kError * 5 * 4 / 100, 2e-6);
  EXPECT_NEAR(outline->measures[5].balanced - 5, -kError * diagonal, 2e-6);
}

TEST(Balance, ASkewedRoomIsFoundAndItsOneWrongMeasureBlamed) {
  // Closed form: a parallelogram-like room with the front wall shifted by 120 mm.
  const std::vector<Vec2> skew = {{0, 0}, {0, 3}, {4, 3.12}, {4, 0}};
  std::vector<TapeMeasure> measures = six_lengths();
  for (TapeMeasure& m : measures)
    m.value = norm(skew[static_cast<std::size_t>(m.to)] - skew[static_cast<std::size_t>(m.from)]);
  const auto true_outline = balance(kRoom, measures);
  ASSERT_TRUE(true_outline);
  EXPECT_NEAR(length(*true_outline, 0, 2), norm(skew[2]), 1e-6);
  EXPECT_TRUE(true_outline->blamed.empty());

  const double right = measures[4].value;
  measures[4].value += 0.3;  // a slip of the tape
  const auto outline = balance(kRoom, with_square_corners(measures));
  ASSERT_TRUE(outline);
  EXPECT_EQ(outline->blamed, "diagonal 1");
  EXPECT_NEAR(outline->blamed_value, right, 0.06);
}

// F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5 (Universität Stuttgart 2020), example
// 3.1.1, pp. 48-50, after W. Benning, Statistik in Geodäsie, Geoinformation und Bauwesen (2011),
// example 8-2: a quadrilateral of which five distances are measured, 10 mm each, from two fixed
// points 1 (0, 1000) and 2 (1000, 1000). Figures as held by a public repository that checks its own
// solver by them; the book itself was not seen. The fixed side is here a distance of no error.
TEST(Balance, AWorkedTrilaterationOfAHandbookIsReproduced) {
  // Corners in its order 1, 2, 4, 3 (clockwise), turned: our first two corners lie along +y.
  const std::vector<Vec2> guess = {{0, 0}, {0, 1000}, {1000, 1000}, {1000, 0}};
  constexpr double kSigma = 0.010;
  const std::vector<TapeMeasure> measures = {
      {"fixed", 0, 1, -1, 1000, 1e-9},    {"s13", 0, 3, -1, 1000.02, kSigma},
      {"s14", 0, 2, -1, 1414.20, kSigma}, {"s23", 1, 3, -1, 1414.24, kSigma},
      {"s24", 1, 2, -1, 999.98, kSigma},  {"s34", 3, 2, -1, 1000.00, kSigma}};
  const auto outline = balance(guess, measures);
  ASSERT_TRUE(outline);
  const double residuals_cm[] = {0, 0.260, -0.368, -0.368, 0.260, 0.260};
  for (std::size_t i = 1; i < measures.size(); ++i)
    EXPECT_NEAR(100 * (outline->measures[i].balanced - measures[i].value), residuals_cm[i], 5e-4)
        << measures[i].name;
  // Its point (x, y) is our (1000 - y, x).
  EXPECT_NEAR(outline->corners[3].y, -0.0096, 5e-5);
  EXPECT_NEAR(1000 - outline->corners[3].x, -0.0226, 5e-5);
  EXPECT_NEAR(outline->corners[2].y, 999.9930, 5e-5);
  EXPECT_NEAR(1000 - outline->corners[2].x, 0.0174, 5e-5);
  EXPECT_TRUE(outline->blamed.empty()) << "6.9 mm on a weight of 10 mm is no mistake";
}

// E. M. Mikhail and F. Ackermann, Observations and Least Squares (1976), example 7.1, pp. 140-141:
// the angles of a plane triangle, 40°19'02", 70°30'01" and 69°11'00", are 3" too much together;
// each of the adjusted ones is 1" less. Figures as held by a public repository of its examples; the
// book itself was not seen.
TEST(Balance, AWorkedTriangleOfAHandbookSharesItsAnglesMisclosure) {
  const auto dms = [](double d, double m, double s) { return radians(d + m / 60 + s / 3600); };
  constexpr double kSecond = kPi / (180 * 3600);
  const double observed[] = {dms(40, 19, 2), dms(70, 30, 1), dms(69, 11, 0)};
  // A triangle of about these angles, clockwise, its base of 4 m: a length that nothing checks.
  const double height = 4 / (1 / std::tan(observed[0]) + 1 / std::tan(observed[1]));
  const std::vector<Vec2> guess = {{0, 0}, {0, 4}, {height, height / std::tan(observed[0])}};
  const std::vector<TapeMeasure> measures = {{"base", 0, 1, -1, 4, 0.001},
                                             {"A", 2, 1, 0, observed[0], kSecond},
                                             {"B", 0, 2, 1, observed[1], kSecond},
                                             {"C", 1, 0, 2, observed[2], kSecond}};
  const auto outline = balance(guess, measures);
  ASSERT_TRUE(outline) << to_text(outline.error());
  for (std::size_t i = 1; i < 4; ++i) {
    EXPECT_NEAR((outline->measures[i].balanced - observed[i - 1]) / kSecond, -1, 1e-3) << i;
    EXPECT_NEAR(outline->measures[i].redundancy, 1.0 / 3, 1e-6) << i;
  }
}

TEST(Balance, EachWrongWallIsTheOneBlamed) {
  for (std::size_t wrong = 0; wrong < 4; ++wrong) {
    auto measures = six_lengths();
    measures[wrong].value += 0.4;
    const auto outline = balance(kRoom, with_square_corners(measures));
    ASSERT_TRUE(outline) << wrong;
    EXPECT_EQ(outline->blamed, measures[wrong].name);
    EXPECT_NEAR(outline->blamed_value, measures[wrong].value - 0.4, 0.05);
  }
}

TEST(Balance, WithoutDiagonalsTheRoomIsTakenForSquare) {
  auto measures = six_lengths();
  measures.resize(4);
  EXPECT_FALSE(balance(kRoom, measures)) << "four walls alone can lean";
  const auto outline = balance(kRoom, with_square_corners(measures));
  ASSERT_TRUE(outline);
  EXPECT_NEAR(length(*outline, 0, 2), 5, 1e-6);
}

TEST(Balance, MeasuresThatNoRoomHasAreRefused) {
  auto measures = six_lengths();
  measures[4].value = 5000;
  const auto outline = balance(kRoom, measures);
  EXPECT_TRUE(!outline || !outline->blamed.empty());
  EXPECT_FALSE(balance(kRoom, {{"left", 0, 1, -1, 3}}));
}

}  // namespace
}  // namespace roomloom
