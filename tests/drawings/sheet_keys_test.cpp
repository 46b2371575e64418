#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "base/units.h"
#include "drawings/checks.h"
#include "drawings/hand_made.h"
#include "drawings/sheets.h"

/// What sheets tell beside the drawing: keys, which way they lie, how they are measured; and what
/// that may not cost.
namespace roomloom::testing {
namespace {

const Page* page_named(const std::vector<Page>& pages, const std::string& part) {
  for (const Page& page : pages)
    if (page.stem.find(part) != std::string::npos) return &page;
  return nullptr;
}

std::vector<double> segments_mm(const PathMark& path) {
  std::vector<double> lengths;
  for (std::size_t i = 0; i + 1 < path.points.size(); ++i)
    lengths.push_back(norm(path.points[i + 1] - path.points[i]));
  return lengths;
}

std::vector<PathMark> paths_of(const Page& page, const std::string& start) {
  std::vector<PathMark> paths;
  for (const Mark& mark : page.marks)
    if (const auto* path = std::get_if<PathMark>(&mark))
      if (path->name.rfind(start, 0) == 0) paths.push_back(*path);
  return paths;
}

/// Is the text there, or begins one with it?
bool says(const Page& page, const std::string& start) {
  const std::vector<TextMark> texts = texts_of(page);
  return std::any_of(texts.begin(), texts.end(),
                     [&](const TextMark& text) { return text.text.rfind(start, 0) == 0; });
}

}  // namespace

TEST(SheetKeys, SayWhichWayTheFrontIsAndByAWallWhereNobodyListens) {
  const Lettering lettering;
  HandMade made(4);
  const auto said = [&](const std::string& sheet) {
    std::string words;
    for (const Page& page : draw_sheets(made.request(""), lettering)) {
      if (page.stem.find(sheet) == std::string::npos) continue;
      for (const TextMark& text : texts_of(page))
        if (text.text.find("this way ") == 0 ||
            text.text.find("is behind you") != std::string::npos)
          words = text.text;
    }
    return words;
  };
  EXPECT_EQ(said("void-plan"), "this way to the front");
  EXPECT_EQ(said("back-of-stand"), "the front is behind you");
  made.ends.listener.reset();
  // Who holds the paper sees no axes of the model, but walls.
  EXPECT_EQ(said("void-plan"), "this way to Wall front");
  EXPECT_EQ(said("ceiling"), "this way to Wall front");
  EXPECT_EQ(said("back-of-stand"), "Wall front is behind you");
  made.room.sheets[0].front_air = -1;  // no wall stands there
  EXPECT_EQ(said("void-plan"), "this way +y in the model");
}

TEST(SheetKeys, KeyShowsSupportsAsTheyAreDrawn) {
  const Lettering lettering;
  HandMade made(3);
  made.ends.ends[1].state = EndState::coiled;
  made.shapes.supports = {{{2, 2, 2.5}, {}, {0, 1, 0}}};
  const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
  const Page* page = page_named(pages, "void-plan");
  ASSERT_NE(page, nullptr);
  int strokes = 0;
  for (const PathMark& sample : paths_of(*page, "Sample")) {
    if (sample.points.size() == 2) continue;
    ++strokes;
    const std::vector<PathMark> drawn = paths_of(*page, "Support ");
    EXPECT_TRUE(std::any_of(drawn.begin(), drawn.end(), [&](const PathMark& support) {
      const std::vector<double> a = segments_mm(sample);
      const std::vector<double> b = segments_mm(support);
      return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                        [](double x, double y) { return std::abs(x - y) < 0.01; });
    })) << strokes;
  }
  EXPECT_EQ(strokes, 2);  // along the ways, and of coils
}

TEST(SheetKeys, SectionsHaveABarByWhichTheirSizeIsChecked) {
  const Lettering lettering;
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    for (const int runs : {2, 24}) {
      HandMade made(runs);
      made.job.units = units;
      const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
      const Page* page = page_named(pages, "trunks");
      ASSERT_NE(page, nullptr);
      const std::size_t colon = page->scale.find(':');
      const double scale = std::stod(page->scale) / std::stod(page->scale.substr(colon + 1));
      double told_mm = 0;
      for (const TextMark& text : texts_of(*page))
        if (text.text.rfind("scale bar: ", 0) == 0)
          told_mm = 1000 * parse_length(text.text.substr(11)).value();
      double longest = 0;
      for (const PathMark& sample : paths_of(*page, "Sample"))
        if (sample.points.size() == 6) longest = segments_mm(sample)[2];
      EXPECT_GT(longest, 4);
      EXPECT_NEAR(longest / scale, told_mm, 0.5 / scale);
    }
  }
}

TEST(SheetKeys, NameAUnitOnlyWhereThereAreDimensions) {
  const Lettering lettering;
  HandMade made(4);
  for (const Page& page : draw_sheets(made.request(""), lettering)) {
    const bool figures = !paths_of(page, "Dimension").empty();
    EXPECT_EQ(says(page, "Dimensions in millimetres"), figures) << page.title;
  }
  made.job.units = DisplayUnits::feet_and_inches;
  const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
  EXPECT_TRUE(says(*page_named(pages, "void-plan"), "Dimensions in feet and inches; "));
  const Page* stand = page_named(pages, "back-of-stand");
  EXPECT_FALSE(says(*stand, "Dimensions"));
  EXPECT_TRUE(std::any_of(stand->marks.begin(), stand->marks.end(), [](const Mark& mark) {
    const auto* text = std::get_if<TextMark>(&mark);
    return text != nullptr && text->text.find(" on paper is 1 ft") != std::string::npos;
  }));
}

TEST(SheetKeys, SlopeTellsHowItsHeightsAreFoundWithALevel) {
  const Lettering lettering;
  HandMade made(2);
  Sheet slope;
  slope.name = "Slope";
  slope.role = SheetRole::slope;
  slope.frame = {{0, 0, 1.35}, {1, 0, 0}, {0, 0.8, 0.6}, {0, 0.6, -0.8}};
  slope.region.outline = {{0, 0}, {4, 0}, {4, 2}, {0, 2}};
  slope.front_air = 0;
  made.room.floor_z_m = 0.25;
  made.room.sheets.push_back(slope);
  made.ends.ends[1].place = {{1, 0.8, 1.95}, {PlaceKind::sheet, 2}, slope.frame.n};
  const auto said = [&](const std::string& sheet) {
    std::string all;
    for (const Page& page : draw_sheets(made.request(""), lettering))
      if (page.stem.find(sheet) != std::string::npos)
        for (const TextMark& text : texts_of(page))
          all += text.text.rfind("  ", 0) == 0 ? text.text.substr(1) : " " + text.text;
    const std::size_t at = all.find("Heights begin");
    return at == std::string::npos ? "" : all.substr(at, all.find('.', at) + 1 - at);
  };
  // A slope of 3 : 4 : 5: 1000 along it rise by 600, a foot by 7.2 in. 1.1 m are 43.31 in.
  EXPECT_EQ(said("slope"),
            "Heights begin 1100 above the floor; each 1000 along the slope is 600 higher.");
  made.job.units = DisplayUnits::feet_and_inches;
  EXPECT_EQ(said("slope"),
            "Heights begin 3 ft 7 5/16 in above the floor; each 1 ft along the slope is 7 3/16 in "
            "higher.");
  EXPECT_EQ(said("wall-front"), "");
}

TEST(SheetKeys, GearHasThePageToItselfWhereItsTableGoesOnOverThePage) {
  const Lettering lettering;
  HandMade made(40);
  GearBox& gear = made.ends.gear[0];
  gear.frame.origin.x = 2.8;
  gear.size = {1.6, 0.4, 0.6};
  for (int i = 0; i < 40; ++i) {  // in four rows, 7 mm from each other at 1:20
    End& port = made.ends.ends[static_cast<std::size_t>(2 * i)];
    port.id = "amplifier beside the door." + std::to_string(i + 1);
    port.place.position = {1.3 + 0.14 * (i % 10), 2.7, 0.1 + 0.12 * (i / 10)};
    made.takeoff.runs[static_cast<std::size_t>(i)].cable = "a cable with a long name";
  }
  // 1.6 m of gear are 160 mm at 1:10; beside the column A4 has 191 mm for them and their names,
  // Letter 173, and 245 above a band.
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    std::vector<Page> stand;
    for (Page& page : draw_sheets(made.request("", paper), lettering))
      if (page.title == "Back of the stand") stand.push_back(std::move(page));
    ASSERT_EQ(stand.size(), 2U);
    EXPECT_FALSE(says(stand[0], "Goes to"));
    EXPECT_EQ(stand[0].scale, "1:10");
  }
}

TEST(SheetKeys, ManyHolesCostAPlanNeitherItsScaleNorAPage) {
  const Lettering lettering;
  HandMade made(30);
  const auto plan = [&] {
    std::vector<Page> pages;
    for (Page& page : draw_sheets(made.request("", Paper::a4), lettering))
      if (page.title.rfind("Plan of the void", 0) == 0) pages.push_back(std::move(page));
    return pages;
  };
  const std::string scale = plan().front().scale;
  for (int i = 0; i < 30; ++i) {
    HoleShape hole = made.shapes.holes[0];
    hole.name = "H" + std::to_string(i + 2);
    hole.centre = made.ends.ends[static_cast<std::size_t>(2 * i + 1)].place.position;
    hole.runs = {i};
    made.shapes.holes.push_back(hole);
  }
  const std::vector<Page> pages = plan();
  EXPECT_EQ(pages.size(), 1U);
  EXPECT_EQ(pages.front().scale, scale);
  std::string all;
  for (const TextMark& text : texts_of(pages.front())) all += text.text + " ";
  for (int i = 0; i < 30; ++i)
    EXPECT_TRUE(holds_word(all, "H" + std::to_string(i + 2) + ": R" + std::to_string(i + 1))) << i;
}

TEST(SheetKeys, StubOfARunBesideTheHoleThatTellsItHasNoNameOfItsOwn) {
  const Lettering lettering;
  HandMade made(35);
  const auto named = [&](const std::string& wanted) {
    const std::vector<Page> pages = draw_sheets(made.request(""), lettering);
    const std::vector<TextMark> texts = texts_of(*page_named(pages, "void-plan"));
    return std::any_of(texts.begin(), texts.end(),
                       [&](const TextMark& text) { return text.text == wanted; });
  };
  // It leaves the trunk 0.1 m before its end, 5 mm on paper.
  EXPECT_TRUE(named("R19"));
  HoleShape hole = made.shapes.holes[0];
  hole.name = "H2";
  hole.centre = made.ends.ends[37].place.position;
  hole.runs = {18};
  made.shapes.holes.push_back(hole);
  EXPECT_FALSE(named("R19"));
  EXPECT_TRUE(named("H2: R19"));
}

TEST(SheetKeys, NameOfALongThingStandsAlongItWhereItsMiddleIsCrowded) {
  const Lettering lettering;
  HandMade made(10);
  SheetKeepOut mains;
  mains.what = Role::power;
  mains.name = "Mains behind the wall";
  mains.ring = {{0.3, 0.2}, {3.7, 0.2}, {3.7, 0.22}, {0.3, 0.22}};
  made.room.sheets[0].keep_outs = {mains};
  for (int i = 0; i < 10; ++i) {  // above and below its middle
    End& end = made.ends.ends[static_cast<std::size_t>(2 * i + 1)];
    end.id = "S" + std::to_string(i);
    end.place = {{1.5 + 0.1 * i, 3, i % 2 == 0 ? 0.28 : 0.12}, {PlaceKind::sheet, 0}, {0, -1, 0}};
  }
  const std::vector<Page> pages = draw_sheets(made.request("", Paper::a4), lettering);
  const Page* page = page_named(pages, "wall-front");
  ASSERT_NE(page, nullptr);
  const std::vector<PathMark> drawn = paths_of(*page, mains.name);
  ASSERT_EQ(drawn.size(), 1U);
  double away_mm = 1e9;
  for (const TextMark& text : texts_of(*page))
    if (text.text == mains.name)
      away_mm =
          std::max(text.box.low.y - drawn[0].points[0].y, drawn[0].points[2].y - text.box.high.y);
  EXPECT_LT(away_mm, 4);
}

}  // namespace roomloom::testing
