#include "trade/copper.h"

#include <array>
#include <cmath>

#include "base/vec.h"

namespace roomloom::trade {

double awg_diameter_m(double gauge) { return 0.127e-3 * std::pow(92.0, (36.0 - gauge) / 39.0); }

double awg_area_m2(double gauge) {
  const double d = awg_diameter_m(gauge);
  return kPi / 4 * d * d;
}

double copper_ohm_per_m(double area_m2) { return area_m2 > 0 ? kCopperOhmMetres / area_m2 : 0; }

double copper_at(double at_20, double celsius) {
  return at_20 * (1 + kCopperPerKelvin * (celsius - 20));
}

double nec_table_8_at(double at_75, double celsius) {
  return at_75 * (1 + 0.00323 * (celsius - 75));
}

double iec_60228_to_20(double celsius) { return 250 / (230 + celsius); }

std::optional<double> iec_60228_greatest_ohm_per_m(double area_mm2, ConductorClass kind) {
  struct Row {
    double area_mm2, stranded, flexible;  // ohm per km
  };
  constexpr std::array<Row, 6> kRows = {{{0.75, 24.5, 26.0},
                                         {1, 18.1, 19.5},
                                         {1.5, 12.1, 13.3},
                                         {2.5, 7.41, 7.98},
                                         {4, 4.61, 4.95},
                                         {6, 3.08, 3.30}}};
  for (const Row& row : kRows) {
    if (std::abs(row.area_mm2 - area_mm2) > 1e-9) continue;
    return (kind == ConductorClass::flexible ? row.flexible : row.stranded) / 1000;
  }
  return std::nullopt;
}

}  // namespace roomloom::trade
