#include "drawings/draft.h"

#include <gtest/gtest.h>
#include <zlib.h>

#include <cmath>

#include "drawings/checks.h"
#include "drawings/dimensions.h"
#include "drawings/raster.h"
#include "drawings/table.h"
#include "drawings/text.h"
#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom::testing {

TEST(Draft, PlacesAsManyLabelsAsThereIsRoomForAndReturnsTheRest) {
  const Lettering lettering;
  Draft draft({60, 40}, {{2, 2}, {58, 38}}, lettering);
  for (int i = 0; i < 400; ++i)
    draft.label(
        {"name " + std::to_string(i), {3 + 2.8 * (i % 20), 3 + 1.8 * (i / 20)}, {}, 1, {}, ""});
  const Elsewhere elsewhere = draft.finish();
  const std::size_t placed = texts_of(draft.page).size();
  EXPECT_EQ(placed + elsewhere.unplaced.size(), 400U);
  EXPECT_GE(placed, 20U);  // closest packing would hold about 45
  EXPECT_GT(elsewhere.unplaced.size(), 0U);
  expect_readable(draft.page);
}

TEST(Draft, PutsALabelBesideALineRatherThanOverIt) {
  const Lettering lettering;
  Draft draft({100, 100}, {{0, 0}, {100, 100}}, lettering);
  draft.path({{0, 50}, {100, 50}}, {{}, 0.5, {}});
  draft.label({"beside", {50, 50}, {}, 1, {1, 0}, ""});
  EXPECT_TRUE(draft.finish().empty());
  const PaperBox box = texts_of(draft.page).at(0).box;
  EXPECT_TRUE(box.high.y < 50 || box.low.y > 50);
}

TEST(Draft, LeadsNoLeaderThroughATextWhileThereIsAWayRoundIt) {
  const Lettering lettering;
  Draft draft({200, 200}, {{2, 2}, {198, 198}}, lettering);
  // Texts to the right and below; a box that keeps labels off for 20 mm around.
  for (int i = 0; i < 20; ++i) {
    EXPECT_TRUE(draft.text("taken taken", {125, 60.0 + 4 * i}, {}));
    EXPECT_TRUE(draft.text("taken", {60.0 + 10 * (i % 6), 130.0 + 4 * (i / 6)}, {}));
  }
  draft.keep_off({{80, 80}, {120, 120}});
  for (int i = 0; i < 6; ++i)
    draft.label({"name " + std::to_string(i), {100, 100}, {}, 1, {1, 0}, ""});
  EXPECT_TRUE(draft.finish().empty());
  expect_readable(draft.page);
  int leaders = 0;
  for (const Mark& mark : draft.page.marks)
    if (const auto* path = std::get_if<PathMark>(&mark))
      leaders += path->name.rfind("Leader", 0) == 0 ? 1 : 0;
  EXPECT_EQ(leaders, 6);
  // What the count of struck texts sees: a leader across the page.
  draft.path({{0, 0}, {200, 200}}, {{}, 0.13, {}}, "Leader");
  draft.path({{200, 0}, {0, 200}}, {{}, 0.13, {}}, "Leader");
  EXPECT_GT(struck_texts(draft.page), 0);
}

TEST(Draft, WritesANumberWhereATextFindsNoPlaceAndNothingWhereNoNumberDoes) {
  const Lettering lettering;
  Draft draft({100, 100}, {{2, 2}, {98, 98}}, lettering);
  // A court walled in by texts has room for a number; the other point lies under a text.
  for (int i = 0; i < 24; ++i) {
    EXPECT_TRUE(draft.text("wall wall wall", {5, 10.0 + 3.3 * i}, {}));
    EXPECT_TRUE(draft.text("wall wall wall", {34, 10.0 + 3.3 * i}, {}));
  }
  draft.keep_off({{24, 2}, {33.5, 40}});
  draft.keep_off({{24, 50}, {33.5, 98}});
  draft.keep_off({{58, 2}, {98, 98}});
  draft.keep_off({{2, 90}, {98, 98}});
  draft.keep_off({{2, 2}, {98, 7}});
  draft.label({"a long name", {28, 45}, {}, 1, {}, ""});
  draft.label({"another long name", {15, 60}, {}, 1, {}, ""});
  const Elsewhere elsewhere = draft.finish();
  ASSERT_EQ(elsewhere.numbered.size(), 1U);
  EXPECT_EQ(elsewhere.numbered[0].number, 1);
  EXPECT_EQ(elsewhere.numbered[0].label.text, "a long name");
  ASSERT_EQ(elsewhere.unplaced.size(), 1U);
  EXPECT_EQ(elsewhere.unplaced[0].text, "another long name");
  expect_readable(draft.page);
  EXPECT_EQ(texts_of(draft.page).back().text, "1");
}

TEST(Draft, LeavesAWordsGapBetweenTextsSideBySide) {
  const Lettering lettering;
  Draft draft({200, 40}, {{0, 0}, {200, 40}}, lettering);
  draft.path({{10, 20}, {190, 20}}, {shade(0), 0.5, {}}, "Run S1");
  for (int i = 0; i < 40; ++i)
    draft.label({"T" + std::to_string(i) + " × 2", {15.0 + 4.2 * i, 20}, {}, 1.2, {}, ""});
  draft.finish();
  const double word = lettering.width_mm(" ", 1.8, false);
  const std::vector<TextMark> texts = texts_of(draft.page);
  EXPECT_GT(texts.size(), 10U);
  for (const TextMark& one : texts) {
    for (const TextMark& other : texts) {
      if (&one == &other || one.at.x > other.at.x || one.box.low.y > other.box.high.y ||
          other.box.low.y > one.box.high.y)
        continue;
      EXPECT_GE(other.box.low.x - one.box.high.x, word) << one.text << "|" << other.text;
    }
  }
}

TEST(Draft, LeadsNoLeaderAlongALine) {
  const Lettering lettering;
  Draft draft({140, 140}, {{0, 0}, {140, 140}}, lettering);
  draft.path({{10, 70}, {80, 70}}, {shade(0), 0.5, {}}, "Run S1");
  draft.circle({40, 70}, 1.5, Pen{shade(0), 0.35, {}}, std::nullopt, "End data");
  // There is room beyond the line's end, as near as above all.
  draft.keep_off({{0, 27}, {140, 67}});
  draft.keep_off({{0, 73}, {140, 140}});
  draft.keep_off({{0, 60}, {79, 80}});
  draft.label({"data", {40, 70}, {}, 2.2, {1, 0}, "End data"});
  draft.finish();
  int leaders = 0;
  for (const Mark& mark : draft.page.marks) {
    const auto* leader = std::get_if<PathMark>(&mark);
    if (leader == nullptr || leader->name.rfind("Leader", 0) != 0) continue;
    ++leaders;
    EXPECT_GT(std::abs(leader->points.back().y - 70), 3) << "the leader lies on the line";
  }
  EXPECT_EQ(leaders, 1);
}

TEST(Tables, BreakNoWordAsLongAsAllHaveRoomAndDropEmptyColumns) {
  const Lettering lettering;
  DrawnTable table{{"Run", "From", "Through", "Trunks"}, {}, {}};
  for (int i = 0; i < 5; ++i)
    table.rows.push_back({"N" + std::to_string(i), "computer.picture", "",
                          "TR1 TR2 TR3 TR4 TR5 TR6 TR7 TR8 TR9 TR10 TR11 TR12"});
  table = without_empty_columns(table);
  ASSERT_EQ(table.heads, (std::vector<std::string>{"Run", "From", "Trunks"}));
  Draft draft({200, 200}, {{0, 0}, {200, 200}}, lettering);
  EXPECT_EQ(draw_table(draft, {{0, 0}, {68, 200}}, table, 0, 1), 5U);
  int whole = 0;
  for (const TextMark& text : texts_of(draft.page))
    whole += text.text == "computer.picture" ? 1 : 0;
  EXPECT_EQ(whole, 5);
  EXPECT_EQ(draft.page.broken, 0);
  Draft narrow({200, 400}, {{0, 0}, {200, 400}}, lettering);
  draw_table(narrow, {{0, 0}, {40, 400}}, table, 0, 1);
  EXPECT_GT(narrow.page.broken, 0);
}

TEST(Words, LoopsAreToldAsOneMeasuresThem) {
  EXPECT_EQ(slack_words(0.5, DisplayUnits::metric), "0.50 m");
  EXPECT_EQ(slack_words(0.5, DisplayUnits::feet_and_inches), "1 ft 8 in");
  EXPECT_EQ(slack_words(0.3048, DisplayUnits::feet_and_inches), "1 ft 0 in");
}

TEST(Words, SizesAreNotBrokenOverLines) {
  const Lettering lettering;
  for (const char* size : {"50 x 25", "45 deg"}) {
    for (double width = 14; width < 60; width += 0.5) {
      const std::string text = std::string("square, reducer ") + size + " / end cap";
      bool whole = false;
      for (const std::string& line : lines_of(lettering, with_sizes_whole(text), 1.8, false, width))
        whole = whole || with_plain_spaces(line).find(size) != std::string::npos;
      EXPECT_TRUE(whole) << size << " at " << width << " mm";
    }
  }
  EXPECT_EQ(with_sizes_whole("T1 x a 5 x"), "T1 x a 5 x");
}

TEST(Draft, WhatFindsNoPlaceGoesFirstWhenItIsTriedAgain) {
  const Lettering lettering;
  // The short name comes first and would take the one place that the long one has.
  Draft draft({60, 14}, {{0, 0}, {60, 14}}, lettering);
  draft.keep_off({{0, 0}, {60, 3}});
  draft.keep_off({{0, 9}, {20, 14}});
  draft.label({"short", {30, 9}, {}, 0.5, {0, -1}, ""});
  draft.label({"a name that needs the width", {30, 9}, {}, 0.5, {0, -1}, ""});
  EXPECT_TRUE(draft.finish().empty());
  expect_readable(draft.page);
}

TEST(Draft, NamesALineAtAnotherOfItsPointsWhereItsMiddleIsTaken) {
  const Lettering lettering;
  Draft draft({200, 100}, {{2, 2}, {198, 98}}, lettering);
  draft.keep_off({{60, 20}, {140, 80}});
  Label label{"line", {100, 50}, {}, 1, {}, ""};
  label.also = {{160, 50}};
  draft.label(label);
  EXPECT_TRUE(draft.finish().empty());
  const PaperBox box = texts_of(draft.page).at(0).box;
  EXPECT_LT(norm(box.centre() - Vec2{160, 50}), 10);
}

TEST(Dimensions, FiguresKeepTheirOrderTheirGapAndTheirMean) {
  const std::vector<double> wanted = {0, 1, 1.5, 20, 20, 40};
  const std::vector<double> placed = moved_apart(wanted, 3);
  ASSERT_EQ(placed.size(), wanted.size());
  for (std::size_t i = 0; i + 1 < placed.size(); ++i)
    EXPECT_GE(placed[i + 1] - placed[i], 3 - 1e-9);
  // By hand: the first three want a mean of 2.5 / 3, the next two of 20; the last is free.
  EXPECT_NEAR(placed[1], 2.5 / 3, 1e-9);
  EXPECT_NEAR(placed[3], 18.5, 1e-9);
  EXPECT_NEAR(placed[5], 40, 1e-9);
}

TEST(Dimensions, AreReadFromACornerThatATapeCanBeHeldTo) {
  const auto expect_corner = [](const std::vector<Vec2>& outline, const Vec2& corner) {
    const Vec2 found = corner_to_measure_from(outline);
    EXPECT_NEAR(found.x, corner.x, 1e-9);
    EXPECT_NEAR(found.y, corner.y, 1e-9);
  };
  expect_corner({{0, 0}, {4, 0}, {4, 3}, {0, 3}}, {0, 0});
  // A bay in the left wall: the box round the room begins in the bay.
  expect_corner({{0, 0}, {9, 0}, {9, 7}, {0, 7}, {0, 5}, {-0.8, 4.2}, {-0.8, 2.8}, {0, 2}}, {0, 0});
  // A room round a corner: the longer of both.
  expect_corner({{2, 0}, {9, 0}, {9, 7}, {0, 7}, {0, 6}, {2, 6}}, {2, 0});
  expect_corner({{1, 0}, {2, 1}, {1, 2}, {0, 1}}, {0, 0});  // no corner is square
}

TEST(Drawing, TextInAServicesColourCanBeRead) {
  for (int i = 0; i < kServiceCount; ++i) {
    const Rgb text = readable(srgb(service_colour(static_cast<Service>(i))));
    const auto linear = [](double x) {
      return x <= 0.04045 ? x / 12.92 : std::pow((x + 0.055) / 1.055, 2.4);
    };
    const double luminance =
        0.2126 * linear(text.r) + 0.7152 * linear(text.g) + 0.0722 * linear(text.b);
    EXPECT_GE(1.05 / (luminance + 0.05), 4.5) << i;  // WCAG 2.2, criterion 1.4.3
  }
}

TEST(Dimensions, FeetLeaveANoughtOut) {
  EXPECT_EQ(dimension(0.0127, DisplayUnits::feet_and_inches), "1/2 in");
  EXPECT_EQ(dimension(0.3048 + 0.0127, DisplayUnits::feet_and_inches), "1 ft 0 1/2 in");
  EXPECT_EQ(dimension(0, DisplayUnits::feet_and_inches), "0 in");
  EXPECT_EQ(dimension(0.2, DisplayUnits::metric), "200");
}

TEST(PlainText, KeepsWhatCanBeSeenAndShortensTheRest) {
  EXPECT_EQ(plain_text("Wall  left\n(2)"), "Wall left (2)");
  EXPECT_EQ(plain_text("a\xE2\x80\xAE"
                       "b\x07"),
            "ab");
  EXPECT_EQ(plain_text("\xFFx"), "\xEF\xBF\xBDx");
  EXPECT_EQ(plain_text("abcdef", 3), "abc…");
  EXPECT_EQ(plain_text("Größe"), "Größe");
}

TEST(Png, HoldsTheVeryPixels) {
  // ISO/IEC 15948: signature, chunks with their CRC, rows with their filter byte.
  const Image image{2, 2, {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}};
  const std::string png = png_of(image, 6, 0);
  ASSERT_EQ(png.substr(0, 8), "\x89PNG\r\n\x1a\n");
  const std::size_t data = png.find("IDAT");
  ASSERT_NE(data, std::string::npos);
  Bytef rows[14];
  uLongf size = sizeof rows;
  ASSERT_EQ(uncompress(rows, &size, reinterpret_cast<const Bytef*>(png.data() + data + 4),
                       static_cast<uLong>(png.size() - data - 4)),
            Z_OK);
  ASSERT_EQ(size, 14U);
  EXPECT_EQ(rows[0], 2);  // first row less none
  EXPECT_EQ(rows[1], 1);
  EXPECT_EQ(rows[7], 2);  // second row less the first
  EXPECT_EQ(rows[8], 7 - 1);
  EXPECT_EQ(rows[13], 12 - 6);
}

TEST(Raster, WhatIsNearerHidesWhatIsFarther) {
  const Frame view{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  Raster raster(10, 10, view, 10);  // a picture of 1 m by 1 m
  const auto square = [](double z) {
    return std::vector<std::vector<Vec3>>{
        {{-0.5, -0.5, z}, {0.5, -0.5, z}, {0.5, 0.5, z}, {-0.5, 0.5, z}}};
  };
  raster.face(square(1), {1, 0, 0});
  raster.face(square(0), {0, 1, 0});
  const Image image = raster.image();
  EXPECT_EQ(image.rgb[0], 255);
  EXPECT_EQ(image.rgb[1], 0);
}

TEST(Raster, EdgesAreAveraged) {
  const Frame view{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  Raster raster(2, 2, view, 1);
  const double third = 1.0 / 3;
  raster.face({{{-1, -1, 0}, {-third, -1, 0}, {-third, 1, 0}, {-1, 1, 0}}}, {0, 0, 0});
  // Two of three columns of samples in the left pixels are black.
  EXPECT_NEAR(raster.image().rgb[0], 85, 1);
}

}  // namespace roomloom::testing
