#include "drawings/stretches.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <iterator>
#include <set>

#include "drawings/dimensions.h"
#include "drawings/hand_made.h"
#include "drawings/held_sheet.h"
#include "drawings/page_files.h"
#include "drawings/sheets.h"

namespace roomloom::testing {
namespace {

View from_above(double scale) {
  View view;
  view.scale = scale;
  return view;
}

const Page* page_of(const std::vector<Page>& pages, const std::string& stem) {
  for (const Page& page : pages)
    if (page.stem.find(stem) != std::string::npos) return &page;
  return nullptr;
}

}  // namespace

TEST(Stretches, LineIsHiddenJustWhereSomethingLiesAboveIt) {
  // At 1:1000 a metre is a millimetre of paper; y is down there.
  const View view = from_above(1000);
  const std::vector<Cover> covers = {{{{2, -1}, {3, 1}}, 0.5}};
  const auto below = parts_of({{0, 0, 0.2}, {5, 0, 0.2}}, view, covers);
  ASSERT_EQ(below.size(), 3U);
  EXPECT_FALSE(below[0].hidden);
  EXPECT_TRUE(below[1].hidden);
  EXPECT_NEAR(below[1].line.front().x, 2, 1e-9);
  EXPECT_NEAR(below[1].line.back().x, 3, 1e-9);
  EXPECT_FALSE(below[2].hidden);
  const auto above = parts_of({{0, 0, 0.7}, {5, 0, 0.7}}, view, covers);
  ASSERT_EQ(above.size(), 1U);
  EXPECT_FALSE(above[0].hidden);
  EXPECT_EQ(above[0].line.size(), 2U) << "nothing to bend at";
}

TEST(Stretches, VoidPlanDashesWhatLiesBelowADuct) {
  const Lettering lettering;
  HandMade made(2);
  VoidObstacle duct;
  duct.name = "Duct";
  duct.box.add(Vec3{1.5, 2.0, 0.2});
  duct.box.add(Vec3{2.5, 2.4, 0.35});  // the trunk passes at x = 2, 0.1 above the tiles
  made.room.voids[0].obstacles = {duct};
  const DrawingRequest request = made.request("");
  const auto pages = draw_sheets(request, lettering);
  const Page* plan = page_of(pages, "void-plan");
  ASSERT_NE(plan, nullptr);
  const auto sheet = held(*plan, request);
  ASSERT_TRUE(sheet);
  double dashed_m = 0;
  for (const SvgPath* path : sheet->svg.paths_named("Trunk "))
    if (path->dashed) dashed_m += norm(path->points.back() - path->points.front()) * sheet->metres;
  EXPECT_NEAR(dashed_m, 0.4, 0.001);
}

TEST(Stretches, TrunksAreNotNamedLikeRuns) {
  HandMade made(3);
  made.ends.runs[1].id = "t1";
  const Trunks trunks = trunks_of(made.request(""));
  ASSERT_FALSE(trunks.names.empty());
  EXPECT_EQ(trunks.name(0), "TR1");
}

TEST(Dimensions, FiguresAreMovedIntoTheLineTheyFindRoomOn) {
  EXPECT_EQ(moved_within({-5, 0, 9, 10}, 2, 0, 10), (std::vector<double>{0, 2, 8, 10}));
}

TEST(Sheets, EachHasATitleItsScaleItsNumberAndWhoMadeIt) {
  const Lettering lettering;
  for (const Paper paper : {Paper::a3, Paper::a4, Paper::letter}) {
    for (const Page& page : draw_sheets(HandMade(12).request("", paper), lettering)) {
      const SvgSheet svg = read_svg(svg_of(page));
      for (const std::string& wanted :
           {std::string("Hand-made room"), page.title, page.scale.empty() ? "none" : page.scale,
            std::string("roomloom test"), std::string("Identification number"),
            std::string("Legal owner"), std::string("Date of issue"), std::string("Released by")})
        EXPECT_TRUE(std::any_of(svg.texts.begin(), svg.texts.end(),
                                [&](const SvgText& text) { return text.text == wanted; }))
            << page.title << ": " << wanted;
      if (page.scale.empty() || page.title.rfind("Cross", 0) == 0) continue;
      EXPECT_FALSE(svg.paths_named("Scale bar").empty()) << page.title;
    }
  }
}

TEST(Sheets, TitleBlocksSayWhatTheJobSaysAndNothingOfTheirOwn) {
  const Lettering lettering;
  HandMade made(2);
  const auto values = [&] {
    std::set<std::string> texts;
    for (const SvgText& text :
         read_svg(svg_of(draw_sheets(made.request(""), lettering).front())).texts)
      texts.insert(text.text);
    return texts;
  };
  const std::set<std::string> blank = values();
  made.job.title_block = {"R. Vance", "2026-05-03", "M. Ode", "L. Ash"};
  const std::set<std::string> filled = values();
  for (const char* said : {"R. Vance", "2026-05-03", "M. Ode", "L. Ash · roomloom test"})
    EXPECT_EQ(filled.count(said), 1U) << said;
  std::set<std::string> only_blank;
  std::set_difference(blank.begin(), blank.end(), filled.begin(), filled.end(),
                      std::inserter(only_blank, only_blank.end()));
  EXPECT_EQ(only_blank, std::set<std::string>{"roomloom test"});
}

TEST(Sheets, ScaleBarIsAsLongAsItSays) {
  const Lettering lettering;
  for (const DisplayUnits units : {DisplayUnits::metric, DisplayUnits::feet_and_inches}) {
    HandMade made(2);
    made.job.units = units;
    const DrawingRequest request = made.request("", Paper::a4);
    for (const Page& page : draw_sheets(request, lettering)) {
      const auto sheet = held(page, request);
      if (!sheet || sheet->svg.paths_named("Scale bar").empty()) continue;
      std::vector<Vec2> corners;
      for (const SvgPath* step : sheet->svg.paths_named("Scale bar"))
        corners.insert(corners.end(), step->points.begin(), step->points.end());
      const auto [low, high] = bounds_of(corners);
      const std::string unit = units == DisplayUnits::metric ? " m" : " ft";
      double said = 0;
      for (const SvgText& text : sheet->svg.texts)
        if (text.at.y < low.y && text.at.y > low.y - 3 && text.text.find(unit) != std::string::npos)
          said = std::stod(text.text) * (units == DisplayUnits::metric ? 1 : 0.3048);
      EXPECT_NEAR((high.x - low.x) * sheet->metres, said, kTolerance_m) << page.title;
    }
  }
}

}  // namespace roomloom::testing
