#include "trade/separation.h"

#include <array>

namespace roomloom::trade {

double en_50174_2_m(bool signal_screened, bool power_screened, Divider divider) {
  if (signal_screened && power_screened) return 0;
  constexpr std::array<std::array<double, 3>, 3> kMillimetres = {
      {{200, 100, 50}, {50, 20, 5}, {30, 10, 2}}};
  const std::size_t row = power_screened ? 2 : signal_screened ? 1 : 0;
  return kMillimetres[row][static_cast<std::size_t>(divider)] / 1000;
}

double tia_569_a_m(double kva, PowerPath path) {
  constexpr std::array<std::array<double, 3>, 3> kInches = {
      {{5, 12, 24}, {2.5, 6, 12}, {0, 6, 12}}};
  const std::size_t band = kva < 2 ? 0 : kva <= 5 ? 1 : 2;
  return 0.0254 * kInches[static_cast<std::size_t>(path)][band];
}

}  // namespace roomloom::trade
