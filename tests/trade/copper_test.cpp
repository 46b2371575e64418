#include "trade/copper.h"

#include <gtest/gtest.h>

#include <map>

namespace roomloom::trade {
namespace {

constexpr double kFeet1000 = 304.8;

// ASTM B258-02: number 36 is 0.0050 in, 4/0 is 0.4600 in, and each step is a ratio of 1.1229322.
// liquisearch.com/american_wire_gauge/formula
TEST(Copper, GaugesAreTheGeometricRowOfTheStandard) {
  EXPECT_NEAR(awg_diameter_m(36), 0.0050 * 0.0254, 1e-12);
  EXPECT_NEAR(awg_diameter_m(-3), 0.4600 * 0.0254, 1e-9);
  EXPECT_NEAR(awg_diameter_m(13) / awg_diameter_m(14), 1.1229322, 1e-7);
}

struct WireRow {
  int gauge;
  double diameter_mm, area_mm2, ohm_per_km;
};

// Wire tables of wp.1728.org/?p=4314 and cirris.com/wire-resistance-calculator; agreement 0.1 %.
TEST(Copper, DiametersAreasAndResistancesAgreeWithPrintedWireTables) {
  for (const WireRow& row : std::initializer_list<WireRow>{{10, 2.588, 5.261, 3.277},
                                                           {11, 2.305, 4.172, 4.132},
                                                           {12, 2.053, 3.309, 5.211},
                                                           {13, 1.828, 2.624, 6.571},
                                                           {14, 1.628, 2.081, 8.285},
                                                           {15, 1.450, 1.650, 10.45},
                                                           {16, 1.291, 1.309, 13.17},
                                                           {17, 1.150, 1.038, 16.61},
                                                           {18, 1.024, 0.823, 20.95},
                                                           {19, 0.912, 0.653, 26.42},
                                                           {20, 0.812, 0.518, 33.31},
                                                           {21, 0.723, 0.411, 42.00},
                                                           {22, 0.644, 0.326, 52.96},
                                                           {23, 0.573, 0.258, 66.78},
                                                           {24, 0.511, 0.205, 84.21}}) {
    EXPECT_NEAR(1e3 * awg_diameter_m(row.gauge), row.diameter_mm, 0.001 * row.diameter_mm);
    EXPECT_NEAR(1e6 * awg_area_m2(row.gauge), row.area_mm2, 0.002 * row.area_mm2);
    EXPECT_NEAR(1e3 * copper_ohm_per_m(awg_area_m2(row.gauge)), row.ohm_per_km,
                0.001 * row.ohm_per_km);
  }
}

// cirris.com/wire-resistance-calculator, ohm per 1000 ft at 20 degrees.
TEST(Copper, ResistancesPerThousandFeetAreThoseOfAWireMakersCalculator) {
  for (const auto& [gauge, ohm] : std::map<int, double>{{12, 1.588},
                                                        {14, 2.525},
                                                        {16, 4.016},
                                                        {18, 6.385},
                                                        {20, 10.15},
                                                        {22, 16.14},
                                                        {24, 25.67}})
    EXPECT_NEAR(kFeet1000 * copper_ohm_per_m(awg_area_m2(gauge)), ohm, 0.001 * ohm) << gauge;
}

/// Note 2 of NEC chapter 9, table 8, which gives resistances at 75 degrees.
double nec_table_8_at(double at_75, double celsius) {
  return at_75 * (1 + 0.00323 * (celsius - 75));
}

// NEC chapter 9, table 8, 75 degrees, solid (sfasoft.com/look/35): 14 AWG 3.07 turns to 2.525 at
// 20 degrees by note 2 of the table, the figure of B258. A trap: taken as they stand, the table's
// figures are a fifth too high for a room.
TEST(Copper, TheElectricalCodesTableIsForAHotConductor) {
  EXPECT_NEAR(nec_table_8_at(3.07, 20), 2.525, 0.001);
  for (const auto& [gauge, at_75] :
       std::map<int, double>{{18, 7.77}, {16, 4.89}, {14, 3.07}, {12, 1.93}, {10, 1.21}}) {
    const double here = kFeet1000 * copper_ohm_per_m(awg_area_m2(gauge));
    EXPECT_NEAR(nec_table_8_at(at_75, 20), here, 0.005 * here);
    EXPECT_GT(at_75, 1.2 * here) << "the trap";
    EXPECT_NEAR(copper_at(here, 75), at_75, 0.01 * at_75);
  }
}

// uecables.com/471: IEC 60228's printed factors to 20 degrees, of a resistance measured at another
// temperature.
TEST(Copper, TemperatureCorrectionsAreThoseOfThePrintedTable) {
  for (const auto& [celsius, factor] :
       std::map<double, double>{{5, 1.064}, {30, 0.962}, {50, 0.893}, {75, 0.820}})
    EXPECT_NEAR(1 / copper_at(1, celsius), factor, 0.003);
}

}  // namespace
}  // namespace roomloom::trade
