#include <gtest/gtest.h>

#include "drawings/checks.h"
#include "drawings/hand_made.h"
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
