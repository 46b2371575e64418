#include "trade/loudspeaker_cable.h"

#include <cmath>

#include "trade/copper.h"

namespace roomloom::trade {
namespace {

constexpr double kEven = 1e-9;  // a limit that is met exactly is met

}  // namespace

CableLoss loudspeaker_loss(double ohm_per_m, const LoudspeakerNeed& need) {
  CableLoss loss;
  loss.loop_ohm = 2 * need.length_m * copper_at(ohm_per_m, need.celsius);
  loss.share = loss.loop_ohm / need.impedance_ohm;
  loss.loss_db = 20 * std::log10(1 + loss.share);
  const double source = need.amplifier_ohm + loss.loop_ohm;
  loss.damping = source > 0 ? need.impedance_ohm / source : 1e9;
  loss.lost_w = need.power_w * loss.share;  // I^2 R with I^2 = P / Z
  return loss;
}

bool satisfies(const CableLoss& loss, const LoudspeakerNeed& need) {
  if (loss.share > need.share_limit + kEven) return false;
  if (need.loss_limit_db && loss.loss_db > *need.loss_limit_db + kEven) return false;
  return !need.damping_least || loss.damping >= *need.damping_least - kEven;
}

double longest_run_m(double ohm_per_m, double impedance_ohm, double share, double celsius) {
  const double warm = copper_at(ohm_per_m, celsius);
  return warm > 0 ? share * impedance_ohm / (2 * warm) : 1e9;
}

GaugeChoice choose_gauge(const std::vector<double>& ohm_per_m, const LoudspeakerNeed& need) {
  GaugeChoice choice;
  for (std::size_t i = 0; i < ohm_per_m.size(); ++i) {
    choice.losses.push_back(loudspeaker_loss(ohm_per_m[i], need));
    if (choice.satisfied || !satisfies(choice.losses.back(), need)) continue;
    choice.satisfied = true;
    choice.chosen = static_cast<int>(i);
  }
  if (!choice.satisfied) choice.chosen = static_cast<int>(ohm_per_m.size()) - 1;
  return choice;
}

}  // namespace roomloom::trade
