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

// ITU-R BS.2051-1 as transcribed in a public renderer's data file
// (github ebu/ebu_adm_renderer, ear/core/data/2051_layouts.yaml): the left of each pair.
TEST(LoudspeakerLayouts, RangesAreThoseOfThePublishedFile) {
  struct Row {
    const char *system, *label;
    double azimuth_low, azimuth_high, elevation_low, elevation_high;
  };
  for (const Row& row : std::initializer_list<Row>{
           {"A", "M+030", 30, 30, 0, 0},     {"B", "M+000", 0, 0, 0, 0},
           {"B", "M+030", 30, 30, 0, 0},     {"B", "M+110", 100, 120, 0, 15},
           {"C", "M+110", 100, 120, 0, 15},  {"C", "U+030", 30, 45, 30, 55},
           {"D", "M+110", 100, 120, 0, 0},   {"D", "U+030", 30, 45, 30, 55},
           {"D", "U+110", 100, 135, 30, 55}, {"E", "B+000", 0, 0, -30, -15},
           {"F", "M+090", 60, 150, 0, 0},    {"F", "M+135", 60, 150, 0, 0},
           {"F", "U+045", 30, 45, 30, 45},   {"F", "UH+180", 180, 180, 45, 90},
           {"F", "LFE1", 30, 90, -30, -15},  {"G", "M+030", 30, 45, 0, 0},
           {"H", "M+000", 0, 0, 0, 5},       {"H", "M+030", 22.5, 30, 0, 5},
           {"H", "M+060", 45, 60, 0, 5},     {"H", "M+090", 90, 90, 0, 15},
           {"H", "M+135", 110, 135, 0, 15},  {"H", "M+180", 180, 180, 0, 15},
           {"H", "U+045", 45, 60, 30, 45},   {"H", "U+135", 110, 135, 30, 45},
           {"H", "B+045", 45, 60, -30, -15}, {"I", "M+030", 30, 45, 0, 0},
           {"I", "M+090", 85, 110, 0, 0},    {"I", "M+135", 120, 150, 0, 0},
           {"J", "U+045", 30, 45, 30, 55},   {"J", "U+135", 100, 150, 30, 55}}) {
    SCOPED_TRACE(std::string(row.system) + " " + row.label);
    const LabelRange* range = find_label(row.system, row.label);
    ASSERT_NE(range, nullptr);
    EXPECT_EQ(range->azimuth_low, row.azimuth_low);
    EXPECT_EQ(range->azimuth_high, row.azimuth_high);
    EXPECT_EQ(range->elevation_low, row.elevation_low);
    EXPECT_EQ(range->elevation_high, row.elevation_high);
  }
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
