#include "base/units.h"

#include <gtest/gtest.h>

namespace roomloom {
namespace {

double metres(const char* text) {
  const auto length = parse_length(text);
  EXPECT_TRUE(length) << text << ": " << (length ? "" : length.error().what);
  return length ? *length : -1;
}

// The international foot is 0.3048 m exactly (NIST Special Publication 811, appendix B).
TEST(Units, ReadsWhatATapeGives) {
  EXPECT_DOUBLE_EQ(metres("2.31 m"), 2.31);
  EXPECT_DOUBLE_EQ(metres("231 cm"), 2.31);
  EXPECT_DOUBLE_EQ(metres("600mm"), 0.6);
  EXPECT_DOUBLE_EQ(metres("2,31 m"), 2.31);
  EXPECT_NEAR(metres("7 ft 6 in"), 7.5 * 0.3048, 1e-12);
  EXPECT_NEAR(metres("7' 6 3/8\""), 7 * 0.3048 + 6.375 * 0.0254, 1e-12);
  EXPECT_NEAR(metres("10 1/2 in"), 10.5 * 0.0254, 1e-12);
  EXPECT_NEAR(metres("3/8 in"), 0.375 * 0.0254, 1e-12);
  EXPECT_NEAR(metres("6-3/8\""), 6.375 * 0.0254, 1e-12);
  EXPECT_NEAR(metres("1 m 20 cm"), 1.2, 1e-12);
  EXPECT_DOUBLE_EQ(metres("-0.5 m"), -0.5);
  EXPECT_DOUBLE_EQ(metres("4"), 4);
}

TEST(Units, RefusesWhatIsNoLength) {
  for (const char* text : {"", " ", "m", "two metres", "3 m 4 ft", "1e3 m", "5 in 6 ft", "4 5",
                           "1/0 in", "7 ft 6", "nan", "inf m", "3 m m"}) {
    const auto length = parse_length(text);
    ASSERT_FALSE(length) << text;
    EXPECT_EQ(length.error().code, "length.syntax");
    EXPECT_FALSE(length.error().remedy.empty());
  }
}

TEST(Units, ReadsAngles) {
  EXPECT_NEAR(*parse_angle("180 deg"), 3.14159265358979, 1e-12);
  EXPECT_NEAR(*parse_angle("90"), 3.14159265358979 / 2, 1e-12);
  EXPECT_DOUBLE_EQ(*parse_angle("0.5 rad"), 0.5);
  EXPECT_FALSE(parse_angle("north"));
}

TEST(Units, WritesFeetAndInchesToTheSixteenth) {
  EXPECT_EQ(format_length(7.5 * 0.3048, DisplayUnits::feet_and_inches), "7 ft 6 in");
  EXPECT_EQ(format_length(6.375 * 0.0254, DisplayUnits::feet_and_inches), "6 3/8 in");
  EXPECT_EQ(format_length(2 * 0.3048 - 1e-6, DisplayUnits::feet_and_inches), "2 ft 0 in");
  EXPECT_EQ(format_length(-0.0254, DisplayUnits::feet_and_inches), "-1 in");
}

TEST(Units, WritesSizesAreasAndVolumesInEither) {
  const auto feet = DisplayUnits::feet_and_inches, metric = DisplayUnits::metric;
  EXPECT_EQ(format_size(0.025, metric), "25 mm");
  EXPECT_EQ(format_size(0.0064, metric, 1), "6.4 mm");
  EXPECT_EQ(format_size(0.6, metric, 1), "600 mm");
  EXPECT_EQ(format_size(0.6096, feet), "2 ft 0 in");
  EXPECT_EQ(format_area(9.290304, feet), "100.0 sq ft");
  EXPECT_EQ(format_area(9.290304, metric), "9.29 m2");
  EXPECT_EQ(format_volume(2.8316846592, feet), "100 cu ft");
  EXPECT_EQ(format_volume(2.8316846592, metric), "2.83 m3");
}

TEST(Units, TellsTheLengthsOfATextInEither) {
  const auto feet = DisplayUnits::feet_and_inches;
  const std::string text = "Farther than 80 mm, 1.5 m or 32 mm (1 1/4 in); 4 runs, 5 metres.";
  EXPECT_EQ(lengths_told_in(text, DisplayUnits::metric), text);
  EXPECT_EQ(lengths_told_in(text, feet),
            "Farther than 3 1/8 in, 4 ft 11 1/16 in or 1 1/4 in; 4 runs, 5 metres.");
  EXPECT_EQ(lengths_told_in("TIA-569-A 4.6.5: 48 to 60 in; T = T + m g", feet),
            "TIA-569-A 4.6.5: 48 to 60 in; T = T + m g");
  EXPECT_EQ(lengths_told_in("12 mm", feet), "1/2 in");
  EXPECT_EQ(lengths_told_in("", feet), "");
}

TEST(Units, NeverWritesMinusZero) {
  EXPECT_EQ(format_number(-0.0001, 3), "0.000");
  EXPECT_EQ(format_number(-1.5, 1), "-1.5");
  EXPECT_EQ(format_length(2.31, DisplayUnits::metric), "2.310 m");
}

TEST(Units, ReadsBackEverySixteenthItWrites) {
  for (int sixteenths = 1; sixteenths < 16 * 12 * 4; sixteenths += 7) {
    const double length = sixteenths / 16.0 * 0.0254;
    EXPECT_NEAR(metres(format_length(length, DisplayUnits::feet_and_inches).c_str()), length, 1e-9);
  }
}

}  // namespace
}  // namespace roomloom
