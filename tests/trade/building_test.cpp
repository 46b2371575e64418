#include "trade/building.h"

#include <gtest/gtest.h>

#include "trade/jackets.h"
#include "trade/separation.h"

namespace roomloom::trade {
namespace {

// IRC R602.6 by flipbuilder mewf/mima p203 and studylib.net 13373209: 2x4 (89 mm) 35.6 and 53.3 mm,
// 2x6 (140 mm) 55.9 and 83.8 mm; notches 22 and 35, 35 and 56 mm.
TEST(Building, StudHolesAndNotchesAreThoseOfTheResidentialCode) {
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.0889, true), 35.6, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.0889, false), 53.3, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.1397, true), 55.9, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_hole_m(0.1397, false), 83.8, 0.05);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.0889, true), 22, 0.3);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.0889, false), 35, 0.6);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.1397, true), 35, 0.1);
  EXPECT_NEAR(1e3 * greatest_stud_notch_m(0.1397, false), 56, 0.2);
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

// EN 50174-2:2000 by pdfmaal.com (data-power-cable-separation-1204).
TEST(Separation, DistancesAreThoseOfTheEuropeanTable) {
  struct Row {
    bool signal, power;
    double none, aluminium, steel;  // mm
  };
  for (const Row& row : std::initializer_list<Row>{{false, false, 200, 100, 50},
                                                   {true, false, 50, 20, 5},
                                                   {false, true, 30, 10, 2},
                                                   {true, true, 0, 0, 0}}) {
    EXPECT_NEAR(1e3 * en_50174_2_m(row.signal, row.power), row.none, 1e-9);
    EXPECT_NEAR(1e3 * en_50174_2_m(row.signal, row.power, Divider::aluminium), row.aluminium, 1e-9);
    EXPECT_NEAR(1e3 * en_50174_2_m(row.signal, row.power, Divider::steel), row.steel, 1e-9);
  }
  EXPECT_EQ(kFluorescent_m, 0.130);
  EXPECT_EQ(kNoSeparationLast_m, 15);
}

// TIA-569-A by elliottelectric.com (separation_interference): below 2, 2 to 5, above 5 kVA.
TEST(Separation, DistancesAreThoseOfTheAmericanTable) {
  const auto inches = [](double kva, PowerPath path) { return tia_569_a_m(kva, path) / 0.0254; };
  for (const auto& [kva, open, ours, both] : std::initializer_list<std::array<double, 4>>{
           {1, 5, 2.5, 0}, {3, 12, 6, 6}, {8, 24, 12, 12}}) {
    EXPECT_NEAR(inches(kva, PowerPath::open), open, 1e-9);
    EXPECT_NEAR(inches(kva, PowerPath::signal_in_earthed_metal), ours, 1e-9);
    EXPECT_NEAR(inches(kva, PowerPath::both_in_earthed_metal), both, 1e-9);
  }
}

JacketMark mark(const char* text) {
  const auto found = jacket_mark(text);
  EXPECT_TRUE(found) << text;
  return found.value_or(JacketMark{});
}

// Substitution list of 1996, what-when-how.com LAN-Wiring-127 and Handbook for Sound Engineers ch.
// 14: CMP -> CL3P -> CL2P, CMR -> CL3R -> CL2R, CM -> CL3 -> CL2, CMX -> CL3X -> CL2X; P -> R ->
// general -> X.
TEST(Jackets, MayReplaceAsTheListSays) {
  for (const char* rank : {"P", "R", "", "X"}) {
    const auto of = [&](const char* stem) { return mark((std::string(stem) + rank).c_str()); };
    EXPECT_TRUE(may_replace(of("CM"), of("CL3")));
    EXPECT_TRUE(may_replace(of("CL3"), of("CL2")));
    EXPECT_FALSE(may_replace(of("CL2"), of("CL3")));
    EXPECT_FALSE(may_replace(of("CL3"), of("CM")));
  }
  for (const char* stem : {"CM", "CL3", "CL2"}) {
    const auto of = [&](const char* rank) { return mark((std::string(stem) + rank).c_str()); };
    EXPECT_TRUE(may_replace(of("P"), of("R")) && may_replace(of("R"), of("")) &&
                may_replace(of(""), of("X")));
    EXPECT_FALSE(may_replace(of("R"), of("P")) || may_replace(of(""), of("R")) ||
                 may_replace(of("X"), of("")));
  }
  EXPECT_FALSE(may_replace(mark("OFNP"), mark("CM"))) << "fibre is not copper";
  EXPECT_EQ(mark("CMG").rank, JacketRank::general);
  EXPECT_FALSE(jacket_mark("Dca"));
  EXPECT_FALSE(jacket_mark("CL2Q"));
}

// The trap: an ordinary ceiling void is no "plenum" (cablestogo.com cable-jackets, vdocument.in),
// and an X type of 14/2 is often thicker than the quarter of an inch that homes allow.
TEST(Jackets, OnlyAVoidThatMovesAirAsksForPlenum) {
  EXPECT_TRUE(jacket_suffices(mark("CL2"), JacketSpace::ordinary_void, 0.008));
  EXPECT_FALSE(jacket_suffices(mark("CL2"), JacketSpace::air_void, 0.004));
  EXPECT_FALSE(jacket_suffices(mark("CMR"), JacketSpace::air_void, 0.004));
  EXPECT_TRUE(jacket_suffices(mark("CL2P"), JacketSpace::air_void, 0.008));
  EXPECT_FALSE(jacket_suffices(mark("CM"), JacketSpace::riser, 0.008));
  EXPECT_TRUE(jacket_suffices(mark("CMR"), JacketSpace::riser, 0.008));
  EXPECT_TRUE(jacket_suffices(mark("CL2X"), JacketSpace::ordinary_void, 0.0050));
  EXPECT_FALSE(jacket_suffices(mark("CL2X"), JacketSpace::ordinary_void, 0.0073)) << "14/2";
  EXPECT_TRUE(jacket_suffices(mark("CL2X"), JacketSpace::open_room, 0.0073));
  EXPECT_EQ(kClass2Volts, 150);  // rhumbarlv.com
  EXPECT_EQ(kClass3Volts, 300);
}

}  // namespace
}  // namespace roomloom::trade
