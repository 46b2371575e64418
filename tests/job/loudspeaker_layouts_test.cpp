#include "types/loudspeaker_layouts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

namespace roomloom {
namespace {

// The names count the loudspeakers of the upper, middle and lower layers (ITU-R BS.2051), LFE left
// out; top and high ones ("T", "UH") belong to the upper layer.
TEST(LoudspeakerLayouts, EachSystemHasAsManyLabelsAsItsNameSays) {
  EXPECT_EQ(loudspeaker_systems().size(), 10U);
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    int upper = 0, middle = 0, lower = 0;
    std::set<std::string> seen;
    for (const LabelRange& label : system.labels) {
      EXPECT_TRUE(seen.insert(label.label).second) << system.name << label.label;
      if (label.label[0] == 'U' || label.label[0] == 'T') ++upper;
      if (label.label[0] == 'M') ++middle;
      if (label.label[0] == 'B') ++lower;
    }
    const std::string name =
        std::to_string(upper) + "+" + std::to_string(middle) + "+" + std::to_string(lower);
    EXPECT_EQ(name, system.name);
  }
}

TEST(LoudspeakerLayouts, NominalDirectionsLieInTheirRangesAndLeftMirrorsRight) {
  for (const LoudspeakerSystem& system : loudspeaker_systems()) {
    for (const LabelRange& label : system.labels) {
      EXPECT_LE(label.azimuth_low, label.azimuth) << label.label;
      EXPECT_GE(label.azimuth_high, label.azimuth) << label.label;
      EXPECT_LE(label.elevation_low, label.elevation) << label.label;
      EXPECT_GE(label.elevation_high, label.elevation) << label.label;
      const std::size_t plus = label.label.find('+');
      if (plus == std::string::npos || label.azimuth == 0 || label.azimuth == 180) continue;
      std::string right = label.label;
      right[plus] = '-';
      const LabelRange* mirrored = find_label(system.name, right);
      ASSERT_NE(mirrored, nullptr) << right;
      EXPECT_EQ(mirrored->azimuth, -label.azimuth);
      EXPECT_EQ(mirrored->azimuth_low, -label.azimuth_high);
      EXPECT_EQ(mirrored->azimuth_high, -label.azimuth_low);
      EXPECT_GT(label.azimuth, 0) << "positive is left";
    }
  }
}

// ITU-R BS.775-3: centre 0, left and right 30, surrounds 100 to 120 degrees.
TEST(LoudspeakerLayouts, FiveChannelsStandWhereBs775PutsThem) {
  EXPECT_EQ(find_label("0+5+0", "M+000")->azimuth, 0);
  EXPECT_EQ(find_label("0+5+0", "M+030")->azimuth, 30);
  EXPECT_EQ(find_label("0+5+0", "M-110")->azimuth_low, -120);
  EXPECT_EQ(find_label("0+5+0", "M-110")->azimuth_high, -100);
}

TEST(LoudspeakerLayouts, ALabelOutsideTheSystemComesFromTheSmallestThatHasIt) {
  const LabelRange* rear = find_label("4+5+0", "M+135");
  ASSERT_NE(rear, nullptr);
  EXPECT_EQ(rear->azimuth_low, 120);  // as in 0+7+0
  EXPECT_EQ(rear->azimuth_high, 150);
  EXPECT_EQ(find_label("D", "U+110")->azimuth_high, 135);
  EXPECT_FALSE(find_label("4+5+0", "LFE1")->positioned);
  EXPECT_TRUE(find_label("4+5+0", "LFE2")->positioned);
  EXPECT_EQ(find_label("", "M+031"), nullptr);
}

}  // namespace
}  // namespace roomloom
