#include "trade/line_level.h"

#include <cmath>

#include "base/vec.h"

namespace roomloom::trade {

double corner_hz(double source_ohm, double capacitance_f) {
  const double seconds = 2 * kPi * source_ohm * capacitance_f;
  return seconds > 0 ? 1 / seconds : 1e12;
}

double roll_off_db(double source_ohm, double capacitance_f, double hz) {
  const double ratio = hz / corner_hz(source_ohm, capacitance_f);
  return 10 * std::log10(1 + ratio * ratio);
}

double greatest_capacitance_f(double source_ohm, double loss_db, double hz) {
  const double ratio = std::sqrt(std::pow(10.0, loss_db / 10) - 1);
  return ratio / (2 * kPi * hz * source_ohm);
}

}  // namespace roomloom::trade
