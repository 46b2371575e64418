#include "trade/separation.h"

namespace roomloom::trade {

double en_50174_2_m(bool signal_screened, bool power_screened) {
  if (signal_screened && power_screened) return 0;
  return power_screened ? 0.030 : signal_screened ? 0.050 : 0.200;
}

double power_cabling_factor(int circuits) {
  if (circuits > 75) return 6;
  const int begun_threes = (circuits + 2) / 3, begun_fifteens = (circuits + 14) / 15;
  return circuits > 15 ? begun_fifteens : 0.2 * begun_threes;
}

double en_50174_2_m(bool signal_screened, bool power_screened, int circuits) {
  const double apart_m = signal_screened ? 0.050 : 0.100;
  return (power_screened ? 0.5 : 1.0) * apart_m * power_cabling_factor(circuits);
}

}  // namespace roomloom::trade
