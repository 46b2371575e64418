#pragma once

#include <optional>
#include <vector>

namespace roomloom::trade {

/// What a two-wire cable between an amplifier and a loudspeaker costs.
struct CableLoss {
  double loop_ohm = 0;  ///< there and back: 2 x length x ohm per metre
  double share = 0;     ///< loop_ohm / impedance
  double loss_db = 0;   ///< 20 log10(1 + loop / impedance): voltage divider
  double damping = 0;   ///< impedance / (amplifier + loop)
  double lost_w = 0;    ///< turned to heat in the cable at the given power; 0 if none is given
};

/// What a loudspeaker run is and what it may lose.
struct LoudspeakerNeed {
  double length_m = 0;
  double impedance_ohm = 8;  ///< nominal
  double power_w = 0;        ///< at the loudspeaker; 0 = not stated
  double amplifier_ohm = 0;  ///< output resistance
  double celsius = 20;       ///< of the cable
  /// Greatest loop resistance as a share of the impedance. 5 %: common practice (audioroundtable
  /// th=15199, axiomaudio posts/294519, 3starinc speaker_wire_cable).
  double share_limit = 0.05;
  std::optional<double> loss_limit_db;  ///< greatest insertion loss
  std::optional<double> damping_least;  ///< advised 25, better 50: manualslib.es/manual/7911 p21
};

/// @param ohm_per_m  one conductor at 20 degrees Celsius
CableLoss loudspeaker_loss(double ohm_per_m, const LoudspeakerNeed& need);

/// Whether every limit that is set is kept.
bool satisfies(const CableLoss& loss, const LoudspeakerNeed& need);

/// Longest run of a cable within the share, metres one way.
double longest_run_m(double ohm_per_m, double impedance_ohm, double share, double celsius = 20);

/// The choice among cables of growing cross-section.
struct GaugeChoice {
  int chosen = -1;                ///< index of the first that satisfies, else of the largest
  bool satisfied = false;         ///< false: not even the largest does
  std::vector<CableLoss> losses;  ///< one a cable
};

/// @param ohm_per_m  one conductor at 20 degrees, of each cable, from the smallest up; not empty
GaugeChoice choose_gauge(const std::vector<double>& ohm_per_m, const LoudspeakerNeed& need);

}  // namespace roomloom::trade
