#include "trade/building.h"

#include <gtest/gtest.h>

#include "trade/jackets.h"
#include "trade/separation.h"

namespace roomloom::trade {
namespace {

// IRC R602.6 by flipbuilder mewf/mima p203 and studylib.net 13373209: 2x4 (89 mm) 35.6 and 53.3 mm,
// 2x6 (140 mm) 55.9 and 83.8 mm.
TEST(Building, StudHolesAreThoseOfTheResidentialCode) {
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.0889, true), 35.6, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.0889, false), 53.3, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.1397, true), 55.9, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.1397, false), 83.8, 0.05);
}

// The same: notches of 22 and 35 mm in a 2x4, 35 and 56 mm in a 2x6.
TEST(Building, StudNotchesAreThoseOfTheResidentialCode) {
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.0889, true), 22, 0.5);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.0889, false), 35.5, 0.5);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.1397, true), 35, 0.5);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.1397, false), 56, 0.5);
}

// 5/8 in, 1 1/4 in, 3 in, 2 in and 60 in, as their sources print them.
TEST(Building, DistancesAreTheirInches) {
  EXPECT_NEAR(kStudEdge_m, 0.625 * 0.0254, 0.0002);
  EXPECT_NEAR(kNailGuard_m, 1.25 * 0.0254, 0.0003);
  EXPECT_NEAR(kOverTiles_m, 3 * 0.0254, 0.002);
  EXPECT_NEAR(kJoistEdge_m, 2 * 0.0254, 0.0003);
  EXPECT_NEAR(kSupportSpacing_m, 60 * 0.0254, 1e-9);
  EXPECT_NEAR(greatest_joist_hole_m(0.240), 0.080, 1e-12);
}

// EN 50174-2:2000 by pdfmaal.com (data-power-cable-separation-1204), without a divider.
TEST(Separation, DistancesAreThoseOfTheEuropeanTable) {
  EXPECT_NEAR(1e3 * en_50174_2_m(false, false), 200, 1e-9);
  EXPECT_NEAR(1e3 * en_50174_2_m(true, false), 50, 1e-9);
  EXPECT_NEAR(1e3 * en_50174_2_m(false, true), 30, 1e-9);
  EXPECT_EQ(en_50174_2_m(true, true), 0);
  EXPECT_EQ(kFluorescent_m, 0.130);
  EXPECT_EQ(kNoSeparationLast_m, 15);
}

// Elboken 2017 p528: Cat 5e/6 unscreened in plastic ducts 20 40 60 80 100 200 300 400 500 600 mm,
// screened half as far, perforated metal half of either.
TEST(Separation, ManyCircuitsOfMainsAskForMore) {
  const int circuits[] = {3, 6, 9, 12, 15, 30, 45, 60, 75, 76};
  const double handbook_mm[] = {20, 40, 60, 80, 100, 200, 300, 400, 500, 600};
  for (std::size_t i = 0; i < std::size(circuits); ++i) {
    EXPECT_NEAR(1e3 * en_50174_2_m(false, false, circuits[i]), handbook_mm[i], 1e-9);
    EXPECT_NEAR(1e3 * en_50174_2_m(true, false, circuits[i]), handbook_mm[i] / 2, 1e-9);
    EXPECT_NEAR(1e3 * en_50174_2_m(false, true, circuits[i]), handbook_mm[i] / 2, 1e-9);
    EXPECT_NEAR(1e3 * en_50174_2_m(true, true, circuits[i]), handbook_mm[i] / 4, 1e-9);
  }
  EXPECT_EQ(power_cabling_factor(1), power_cabling_factor(3));
  EXPECT_EQ(power_cabling_factor(16), power_cabling_factor(30));
}

JacketMark mark(const char* text) {
  const auto found = jacket_mark(text);
  EXPECT_TRUE(found) << text;
  return found.value_or(JacketMark{});
}

// Substitution list of 1996, what-when-how.com LAN-Wiring-127 and Handbook for Sound Engineers ch.
// 14: P -> R -> general -> X. Euroclasses by EN 50575, from memory.
TEST(Jackets, MarksRankAsTheListSays) {
  for (const char* stem : {"CM", "CL3", "CL2", "OFN"}) {
    const auto rank = [&](const char* end) { return mark((std::string(stem) + end).c_str()).rank; };
    EXPECT_GT(rank("P"), rank("R"));
    EXPECT_GT(rank("R"), rank(""));
    EXPECT_GT(rank(""), rank("X"));
  }
  EXPECT_EQ(mark("CMG").rank, JacketRank::general);
  EXPECT_FALSE(jacket_mark("Dca"));
  EXPECT_FALSE(jacket_mark("CL2Q"));
  EXPECT_TRUE(is_euroclass("Dca"));
  EXPECT_TRUE(is_euroclass("Eca"));
  EXPECT_FALSE(is_euroclass("Fca")) << "the class of what was never tested";
  EXPECT_FALSE(is_euroclass("CM"));
}

// The trap: an ordinary ceiling void is no "plenum" (cablestogo.com cable-jackets, vdocument.in),
// and an X type of 14/2 is often thicker than the quarter of an inch that homes allow.
TEST(Jackets, OnlyAVoidThatMovesAirAsksForPlenum) {
  EXPECT_TRUE(jacket_suffices(mark("CL2"), JacketSpace::ordinary_void, 0.008));
  EXPECT_FALSE(jacket_suffices(mark("CL2"), JacketSpace::air_void, 0.004));
  EXPECT_FALSE(jacket_suffices(mark("CMR"), JacketSpace::air_void, 0.004));
  EXPECT_TRUE(jacket_suffices(mark("CL2P"), JacketSpace::air_void, 0.008));
  EXPECT_TRUE(jacket_suffices(mark("CL2X"), JacketSpace::ordinary_void, 0.0050));
  EXPECT_FALSE(jacket_suffices(mark("CL2X"), JacketSpace::ordinary_void, 0.0073)) << "14/2";
  EXPECT_TRUE(jacket_suffices(mark("CL2X"), JacketSpace::open_room, 0.0073));
}

}  // namespace
}  // namespace roomloom::trade
