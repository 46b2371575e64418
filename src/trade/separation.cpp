#include "trade/separation.h"

namespace roomloom::trade {

double en_50174_2_m(bool signal_screened, bool power_screened) {
  if (signal_screened && power_screened) return 0;
  return power_screened ? 0.030 : signal_screened ? 0.050 : 0.200;
}

}  // namespace roomloom::trade
