#include "trade/copper.h"

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

}  // namespace roomloom::trade
