#include "trade/pulling.h"

#include <algorithm>
#include <cmath>

namespace roomloom::trade {

double pull_tension_n(const std::vector<PullLeg>& legs, double mass_kg_per_m, double friction,
                      double at_start_n) {
  double tension = at_start_n;
  for (const PullLeg& leg : legs) {
    const double level =
        std::sqrt(std::max(0.0, leg.length_m * leg.length_m - leg.rise_m * leg.rise_m));
    tension += mass_kg_per_m * kGravity * (friction * level + leg.rise_m);
    tension = std::max(0.0, tension) * std::exp(friction * leg.bend_rad);
  }
  return tension;
}

}  // namespace roomloom::trade
