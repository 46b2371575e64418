#include <gtest/gtest.h>

#include "drawings/checks.h"
#include "drawings/hand_made.h"
#include "drawings/layout.h"
#include "drawings/random_room.h"
#include "drawings/sheets.h"
#include "drawings/shown.h"
#include "drawings/to_scale.h"

namespace roomloom::testing {
namespace {

constexpr Paper kPapers[] = {Paper::a3, Paper::a4, Paper::letter};
constexpr DisplayUnits kUnits[] = {DisplayUnits::metric, DisplayUnits::feet_and_inches};

Measured hold_all(const DrawingRequest& request, const Lettering& lettering) {
  Measured measured;
  std::vector<HeldSheet> sheets;
  const std::vector<Page> pages = draw_sheets(request, lettering);
  for (const Page& page : pages) {
    expect_readable(page);
    if (auto sheet = held(page, request)) sheets.push_back(std::move(*sheet));
  }
  for (const HeldSheet& sheet : sheets) expect_to_scale(sheet, request, measured);
  expect_all_shown(sheets, pages, request);
  return measured;
}

}  // namespace

TEST(SheetsToScale, HandMadeRoomIsMeasuredAsTheModelHasItOnEveryPaper) {
  const Lettering lettering;
  for (const Paper paper : kPapers) {
    for (const DisplayUnits units : kUnits) {
      HandMade made(12);
      made.job.units = units;
      const Measured measured = hold_all(made.request("", paper), lettering);
      EXPECT_GE(measured.sheets, 4);
      EXPECT_GT(measured.dimensions, 4);
      EXPECT_GT(measured.cables, 0);
      EXPECT_EQ(measured.ports, 12);
      EXPECT_EQ(measured.ends, 12);
    }
  }
}

TEST(SheetsToScale, RandomRoomsAreReadableAndAsTheModelHasThem) {
  const Lettering lettering;
  for (unsigned seed = 1; seed <= 8; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    HandMade made = random_room({seed, 4 + static_cast<int>(seed) * 2, 6, seed % 2 == 0});
    made.job.units = kUnits[seed % 2];
    const Measured measured = hold_all(made.request("", kPapers[seed % 3]), lettering);
    EXPECT_GE(measured.sheets, 5);
    EXPECT_GE(measured.raceways, 8);
    EXPECT_EQ(measured.holes, 12);  // each on the ceiling and in the void
  }
}

TEST(SheetsToScale, RandomRoomsAreReadableOnEveryPaperInBothUnits) {
  const Lettering lettering;
  for (unsigned seed = 21; seed <= 21; ++seed) {
    for (const Paper paper : kPapers) {
      for (const DisplayUnits units : kUnits) {
        SCOPED_TRACE("seed " + std::to_string(seed) + ", paper " +
                     std::to_string(static_cast<int>(paper)) + ", units " +
                     std::to_string(static_cast<int>(units)));
        HandMade made = random_room({seed, 12 + static_cast<int>(seed - 21) * 14, 10, true});
        made.job.units = units;
        for (const Page& page : draw_sheets(made.request("", paper), lettering))
          expect_readable(page);
      }
    }
  }
}

TEST(SheetsToScale, ScaleIsTheLargestUsualOneThatThePaperHasRoomFor) {
  const Lettering lettering;
  const HandMade made(1);
  const auto fitted = [&](Paper paper, const Vec2& size, double band_share = 0.5) {
    const DrawingRequest request = made.request("", paper);
    Work work(request, {lettering, 1, band_share}, "", "");
    fit_sheet(work, {{}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}}, {0, 0}, size, dimensioned(work));
    const PaperBox view = {work.view.at({0, size.y}), work.view.at({size.x, 0})};
    EXPECT_TRUE(work.layout.drawing.contains(view));
    EXPECT_FALSE(work.layout.drawing.overlaps(work.layout.title));
    EXPECT_FALSE(work.layout.drawing.overlaps(work.layout.foot));
    for (const PaperBox& column : work.layout.columns)
      EXPECT_FALSE(work.layout.drawing.overlaps(column) || column.overlaps(work.layout.title) ||
                   column.overlaps(work.layout.foot));
    return work;
  };
  // By hand: a wall of 9 m is 360 mm long at 1:25, on paper of 390 mm within its border; beside a
  // column of 96 mm there is room for 1:50 only.
  const Work wall = fitted(Paper::a3, {9, 2.7});
  EXPECT_EQ(wall.view.scale, 25);
  EXPECT_GT(wall.layout.columns.size(), 1U);
  // A floor of 6 m is 240 mm high at 1:25, on paper of 277 mm: what stands below goes aside.
  EXPECT_EQ(fitted(Paper::a3, {4.6, 6}).view.scale, 25);
  EXPECT_EQ(fitted(Paper::a3, {4, 3}).view.scale, 20);
  // 9 m are 225 mm at 1:40, of 267 mm.
  EXPECT_EQ(fitted(Paper::a4, {9, 2.7}).view.scale, 40);
  // A higher band takes what the drawing leaves, and nothing of the drawing.
  for (const double band_share : {0.0, 0.3, 1.0})
    for (const Vec2& size : {Vec2{9, 2.7}, Vec2{7, 2.7}, Vec2{5.6, 2.5}})
      EXPECT_EQ(fitted(Paper::a4, size, band_share).view.scale, fitted(Paper::a4, size).view.scale);
}

TEST(SheetsToScale, FortyFiveSocketsOnOneWallAreReadableOnEveryPaper) {
  const Lettering lettering;
  for (const Paper paper : kPapers) {
    for (const DisplayUnits units : kUnits) {
      SCOPED_TRACE(std::to_string(static_cast<int>(paper)) + " " +
                   std::to_string(static_cast<int>(units)));
      HandMade made = random_room({45, 45, 12, true});
      made.job.units = units;
      const Measured measured = hold_all(made.request("", paper), lettering);
      EXPECT_EQ(measured.ends, 45 + 12 + 2);
    }
  }
}

}  // namespace roomloom::testing
