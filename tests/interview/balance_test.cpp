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

/// A room whose front wall leans by 120 mm, in closed form.
const std::vector<Vec2> kSkew = {{0, 0}, {0, 3}, {4, 3.12}, {4, 0}};

std::vector<TapeMeasure> of_skew_room() {
  std::vector<TapeMeasure> measures = six_lengths();
  for (TapeMeasure& m : measures)
    m.value = norm(kSkew[static_cast<std::size_t>(m.to)] - kSkew[static_cast<std::size_t>(m.from)]);
  return measures;
}

double sum_of_squares(const std::vector<TapeMeasure>& measures, const std::vector<Vec2>& corners) {
  double sum = 0;
  for (const TapeMeasure& m : measures) {
    const Vec2 from = corners[static_cast<std::size_t>(m.from)],
               to = corners[static_cast<std::size_t>(m.to)];
    double is = norm(to - from);
    if (m.at >= 0) {
      const Vec2 at = corners[static_cast<std::size_t>(m.at)];
      is = std::acos(dot(from - at, to - at) / (norm(from - at) * norm(to - at)));
    }
    sum += (is - m.value) * (is - m.value) / (m.sigma * m.sigma);
  }
  return sum;
}

TEST(Balance, ASkewedRoomWhoseMeasuresAgreeIsKeptAsItIs) {
  const auto outline = balance(kRoom, of_skew_room());
  ASSERT_TRUE(outline);
  EXPECT_TRUE(outline->blamed.empty());
  for (std::size_t i = 0; i < 4; ++i)
    EXPECT_NEAR(norm(outline->corners[i] - kSkew[i]), 0, 1e-6) << i;
}

// One condition holds the six lengths of four corners together: their changes times the lengths
// times the quadrilateral's self-stress add up to nothing. Of a pair of corners that stress is one
// over the two triangles' areas that its line makes with the other two corners, with their signs.
// So what does not close goes to each length by its coefficient over the sum of the squares: the
// balanced outline in closed form, to first order in the error.
TEST(Balance, ASkewedRoomsOneWrongMeasureIsSharedOutAsTheConditionEquationSays) {
  auto measures = of_skew_room();
  const auto area = [&](int a, int b, int c) {
    const Vec2 p = kSkew[static_cast<std::size_t>(a)], q = kSkew[static_cast<std::size_t>(b)],
               r = kSkew[static_cast<std::size_t>(c)];
    return cross(q - p, r - p);
  };
  std::vector<double> coefficient;
  double squares = 0;
  for (const TapeMeasure& m : measures) {
    int others[2] = {-1, -1};
    for (int corner = 0, found = 0; corner < 4; ++corner)
      if (corner != m.from && corner != m.to) others[found++] = corner;
    coefficient.push_back(m.value /
                          (area(m.from, m.to, others[0]) * area(m.from, m.to, others[1])));
    squares += coefficient.back() * coefficient.back();
  }
  constexpr double kError = 0.004;
  const auto exact = measures;
  measures[4].value += kError;
  const auto outline = balance(kRoom, measures);
  ASSERT_TRUE(outline);
  for (std::size_t i = 0; i < measures.size(); ++i) {
    const double change = -kError * coefficient[4] * coefficient[i] / squares;
    EXPECT_NEAR(outline->measures[i].balanced - measures[i].value, change, 5e-6)
        << measures[i].name;
    EXPECT_NEAR(length(*outline, measures[i].from, measures[i].to), measures[i].value + change,
                5e-6)
        << "the corners say the same as the list";
    EXPECT_NEAR(outline->measures[i].redundancy, coefficient[i] * coefficient[i] / squares, 1e-3);
  }
}

TEST(Balance, ASkewedRoomsOneWrongMeasureIsBlamedAndTheOutlineStaysNearTheTrueOne) {
  auto measures = of_skew_room();
  const double right = measures[4].value;
  measures[4].value += 0.3;  // a slip of the tape
  const auto all = with_square_corners(measures);
  const auto outline = balance(kRoom, all);
  ASSERT_TRUE(outline);
  ASSERT_EQ(outline->blamed.size(), 1U);
  EXPECT_EQ(outline->blamed[0].name, "diagonal 1");
  EXPECT_NEAR(outline->blamed[0].measured, right + 0.3, 1e-12);
  EXPECT_NEAR(outline->blamed[0].value, right, 0.06);
  for (std::size_t i = 0; i < 4; ++i)
    EXPECT_LT(norm(outline->corners[i] - kSkew[i]), 0.3)
        << "no corner by as much as the slip " << i;
  // Nothing near has a smaller sum of squares: each corner moved by itself, each way.
  const double least = sum_of_squares(all, outline->corners);
  for (std::size_t i = 1; i < 4; ++i)
    for (const Vec2 step : {Vec2{1e-4, 0}, Vec2{-1e-4, 0}, Vec2{0, 1e-4}, Vec2{0, -1e-4}}) {
      auto moved = outline->corners;
      moved[i] = moved[i] + step;
      EXPECT_GT(sum_of_squares(all, moved), least) << i;
    }
}

TEST(Balance, MeasuresThatAreEquallyToBlameAreAllNamed) {
  // Six lengths have one condition: whatever does not close could be the fault of any of them.
  auto measures = of_skew_room();
  measures[1].value += 0.1;
  const auto any = balance(kRoom, measures);
  ASSERT_TRUE(any);
  EXPECT_EQ(any->blamed.size(), 6U);
}

// C. D. Ghilani, Adjustment Computations: Spatial Data Analysis, 5th ed. (Wiley 2010), example
// 16.1, pp. 300: a link traverse Q-R-U-S-T between four fixed points, two lengths (0.05 and 0.08)
// and three angles (30") measured; its one new point U is adjusted to (1173.0886, 1099.9872).
// Figures as in F. Krumm, Geodetic Network Adjustment Examples, rev. 3.5 (Universität Stuttgart
// 2020), held as test data by public repositories (GNU Gama; kauevestena/geocomp); the book itself
// was not seen. The fixed points are here lengths of no error between them.
TEST(Balance, AWorkedLinkTraverseOfAHandbookIsReproduced) {
  const std::vector<Vec2> guess = {
      {1000, 800}, {1000, 1000}, {1173.20, 1100}, {1223, 1186.5}, {1400, 1186.5}};  // Q R U S T
  constexpr double kFixed = 1e-7, kSeconds = kPi / (180 * 3600);
  std::vector<TapeMeasure> measures;
  const int fixed[] = {0, 1, 3, 4};
  for (int i = 0; i < 4; ++i)
    for (int j = i + 1; j < 4; ++j)
      measures.push_back({"fixed", fixed[i], fixed[j], -1,
                          norm(guess[static_cast<std::size_t>(fixed[j])] -
                               guess[static_cast<std::size_t>(fixed[i])]),
                          kFixed, true});
  measures.push_back({"RU", 1, 2, -1, 200.00, 0.05});
  measures.push_back({"US", 2, 3, -1, 100.00, 0.08});
  // Clockwise from the second to the third of its names, which is the inside as we walk.
  measures.push_back({"RQU", 2, 0, 1, radians(240.0), 30 * kSeconds});
  measures.push_back({"URS", 3, 1, 2, radians(150.0), 30 * kSeconds});
  measures.push_back({"SUT", 4, 2, 3, radians(240 + 1.0 / 60), 30 * kSeconds});
  const auto outline = balance(guess, measures);
  ASSERT_TRUE(outline) << to_text(outline.error());
  // Our first corner is Q at the origin, and R lies along +y as it does there.
  EXPECT_NEAR(outline->corners[2].x + 1000, 1173.0886, 6e-5);
  EXPECT_NEAR(outline->corners[2].y + 800, 1099.9872, 6e-5);
}

// C. D. Ghilani and P. R. Wolf, Elementary Surveying, 13th ed. (Pearson 2012), section 16.9.5, p.
// 422 and 450-456: the closed traverse A to G with a second one through H, J and K inside it; 14
// angles and 12 lengths (7 mm) are measured, A and the bearing AB are fixed. Figures from the same
// collection as above; the book itself was not seen.
TEST(Balance, AWorkedClosedTraverseOfAHandbookIsReproduced) {
  enum { A, B, C, D, E, F, G, H, J, K };
  const std::vector<Vec2> guess = {{415.273, 929.868},  {507.934, 764.652}, {618.952, 815.353},
                                   {723.852, 753.287},  {826.128, 856.438}, {794.659, 1021.655},
                                   {578.741, 1103.826}, {652.221, 980.245}, {600.595, 899.272},
                                   {713.362, 877.418}};
  struct Angle {
    int at, from, to, d, m, s;
    double sigma;
  };
  const Angle angles[] = {
      {A, G, B, 107, 29, 40, 8.9},  {B, A, C, 94, 44, 24, 11.7},  {C, B, D, 235, 9, 26, 13.7},
      {D, C, E, 104, 8, 40, 12.7},  {E, D, F, 124, 27, 36, 11.2}, {F, E, G, 121, 37, 8, 9.5},
      {G, F, A, 112, 23, 0, 8.3},   {G, F, H, 38, 25, 46, 9.9},   {H, G, J, 243, 15, 20, 14.6},
      {J, H, C, 135, 8, 30, 18.0},  {H, J, G, 116, 44, 44, 14.6}, {H, J, K, 296, 44, 38, 15.0},
      {K, H, E, 131, 16, 30, 14.3}, {E, K, F, 68, 40, 36, 12.3}};
  struct Line {
    int from, to;
    double metres;
  };
  const Line lines[] = {{A, B, 189.436}, {B, C, 122.050}, {C, D, 121.901}, {D, E, 145.256},
                        {E, F, 168.180}, {F, G, 231.021}, {G, A, 238.714}, {G, H, 143.780},
                        {H, K, 119.631}, {K, E, 114.695}, {H, J, 96.036},  {J, C, 85.908}};
  constexpr double kSeconds = kPi / (180 * 3600);
  std::vector<TapeMeasure> measures;
  for (const Angle& a : angles)  // theirs run clockwise, ours the other way
    measures.push_back({"angle", a.to, a.from, a.at, radians(a.d + a.m / 60.0 + a.s / 3600.0),
                        a.sigma * kSeconds});
  for (const Line& l : lines) measures.push_back({"line", l.from, l.to, -1, l.metres, 0.007});
  const auto outline = balance(guess, measures);
  ASSERT_TRUE(outline) << to_text(outline.error());
  const double bearing = radians(150 + 42.0 / 60 + 51.0 / 3600);
  const Vec2 adjusted[] = {{507.9380, 764.6451}, {618.9547, 815.3499},  {723.8666, 753.2855},
                           {826.1331, 856.4409}, {794.6611, 1021.6540}, {578.7455, 1103.8272},
                           {652.2263, 980.2450}, {600.5991, 899.2696},  {713.3703, 877.4179}};
  for (std::size_t i = 1; i < outline->corners.size(); ++i) {
    const Vec2 ours = outline->corners[i];  // AB runs along +y: turn it to its bearing
    const Vec2 turned = {guess[0].x + ours.x * std::cos(bearing) + ours.y * std::sin(bearing),
                         guess[0].y - ours.x * std::sin(bearing) + ours.y * std::cos(bearing)};
    EXPECT_NEAR(turned.x, adjusted[i - 1].x, 1e-4) << i;
    EXPECT_NEAR(turned.y, adjusted[i - 1].y, 1e-4) << i;
  }
  EXPECT_TRUE(outline->blamed.empty());
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
    ASSERT_EQ(outline->blamed.size(), 1U) << wrong;
    EXPECT_EQ(outline->blamed[0].name, measures[wrong].name);
    EXPECT_NEAR(outline->blamed[0].value, measures[wrong].value - 0.4, 0.05);
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
