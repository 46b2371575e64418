// Hanging cables against worked examples that others printed.
#include "shape/sag.h"

#include <gtest/gtest.h>

#include <cmath>

namespace roomloom {

// F. P. Beer, E. R. Johnston, "Vector Mechanics for Engineers: Statics", parabolic cables, the
// series s = x (1 + 2/3 (y/x)^2 ..): a cable 4 ft longer than its 100 ft span sags by
// sqrt(3 * 100 * 4 / 8) = 12.25 ft.
TEST(BeerAndJohnston, ACableFourFeetTooLongOnAHundredSagsTwelveAndAQuarter) {
  EXPECT_NEAR(parabola_series_length(100, 12.25), 104, 0.003);
  // The exact parabola is shorter by the series' next term, 2/5 (y/x)^4 x for each half.
  const double next_term = 2 * 50 * 0.4 * std::pow(12.25 / 50, 4);
  EXPECT_NEAR(parabola_length(100, 12.25), 104 - next_term, 0.02);
  EXPECT_NEAR(catenary_length(100, 12.25), 104, next_term);
}

// Vose's worked example of a suspension cable: half-span 500, sag 80, half-length 508.53 (the book
// rounds to 508.55), by the same series.
TEST(Vose, HalfASuspensionCableOf500With80OfSagIs508Point53) {
  EXPECT_NEAR(parabola_series_length(1000, 80) / 2, 508.53, 0.005);
}

// The same cable in full: exact parabola 1016.814, catenary 1016.868, series 1017.067. Computed
// from the closed forms, apart from this program.
TEST(ClosedForms, ParabolaCatenaryAndSeriesOfOneCable) {
  EXPECT_NEAR(parabola_length(1000, 80), 1016.814, 0.0006);
  EXPECT_NEAR(catenary_length(1000, 80), 1016.868, 0.0006);
  EXPECT_NEAR(parabola_series_length(1000, 80), 1017.067, 0.0006);
}

// Catenaries of room size, computed apart from this program: 1.2 m with 50 mm, 1.5 m with 100 mm.
TEST(ClosedForms, CatenariesOfRoomSize) {
  EXPECT_NEAR(catenary_length(1.2, 0.05), 1.20554, 1e-5);
  EXPECT_NEAR(catenary_length(1.5, 0.10), 1.51763, 1e-5);
  EXPECT_NEAR(sag_extra_per_metre(0.05 / 1.2), 0.00554 / 1.2, 1e-5);
}

// Engineering ToolBox, "Hyperbolic Functions" (d_1663), five decimals: sinh 1 = 1.17520,
// cosh 1 = 1.54308. Level fixings 2 m apart with a = 1 m hang in 2 sinh 1 m and sag cosh 1 - 1.
TEST(Hang, LevelUnitCatenaryMatchesThePrintedTable) {
  const auto span = hang({0, 0, 3}, {2, 0, 3}, 2 * 1.17520);
  ASSERT_TRUE(span);
  // Half a last digit of the length moves a by 1.4e-5 m: da/dL = 1 / (2 (sinh 1 - cosh 1)).
  EXPECT_NEAR(span->parameter_m, 1, 1.4e-5);
  EXPECT_NEAR(span->sag_m, 0.54308, 1.4e-5);
}

TEST(Hang, AnObliqueSpanHasTheLengthItWasGivenAndNoPreferredEnd) {
  const Vec3 low{0, 0, 1};
  const Vec3 high{1.5, 2, 2.4};
  const auto up = hang(low, high, 3.2);
  const auto down = hang(high, low, 3.2);
  ASSERT_TRUE(up && down);
  EXPECT_NEAR(up->sag_m, down->sag_m, 1e-9);
  // Computed by numeric integration apart from this program.
  EXPECT_NEAR(up->sag_m, 0.698798767, 1e-6);
  // L^2 - v^2 = (2 a sinh(h / 2a))^2
  const double a = up->parameter_m;
  EXPECT_NEAR(3.2 * 3.2 - 1.4 * 1.4, std::pow(2 * a * std::sinh(2.5 / (2 * a)), 2), 1e-9);
}

TEST(Hang, RefusesCableThatIsTooShortOrNotANumber) {
  EXPECT_EQ(hang({0, 0, 0}, {3, 4, 0}, 4.999).error().code, "sag.too-short");
  EXPECT_EQ(hang({0, 0, 0}, {3, 4, 0}, std::nan("")).error().code, "sag.not-finite");
}

TEST(Hang, MoreCableSagsMore) {
  double before = 0;
  for (double length = 2.001; length < 3; length += 0.037) {
    const auto span = hang({0, 0, 1}, {2, 0, 1}, length);
    ASSERT_TRUE(span);
    EXPECT_GT(span->sag_m, before);
    EXPECT_NEAR(catenary_length(2, span->sag_m), length, 1e-9);
    before = span->sag_m;
  }
}

}  // namespace roomloom
