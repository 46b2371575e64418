#pragma once

#include <vector>

namespace roomloom::trade {

/// A straight piece of a closed way and the bend at its end.
struct PullLeg {
  double length_m = 0;
  double rise_m = 0;    ///< upward in the direction of the pull
  double bend_rad = 0;  ///< after the straight piece
};

/// Friction between cable and way. From memory: 0.3 to 0.5; the higher is taken.
constexpr double kPullFriction = 0.5;
constexpr double kGravity = 9.81;

/// Pull at the end of a way, newtons: on straights the weight's friction (and the rise) is added,
/// each bend multiplies by e^(friction x angle): capstan equation (Euler and Eytelwein), from
/// memory.
double pull_tension_n(const std::vector<PullLeg>& legs, double mass_kg_per_m,
                      double friction = kPullFriction, double at_start_n = 0);

/// Between two places where the way is open: at most 360 degrees in all (NEC, forums.bicsi.org
/// Topic1127); of network ways at most two bends of 90 degrees and 30 m (TIA-569, r/Bicsi 1oqdott).
constexpr double kBendsGreatest_rad = 6.283185307179586;
constexpr double kNetworkBendsGreatest_rad = 3.141592653589793;
constexpr double kNetworkSectionGreatest_m = 30;

}  // namespace roomloom::trade
