#include "trade/fill.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "base/vec.h"

namespace roomloom::trade {
namespace {

constexpr double kInch = 0.0254;
constexpr double kFloatEdge = 1e-9;  // 44.0000000001 cables are 44, and so are 43.9999999999

constexpr std::array<Tubing, 4> kTubing = {{{"1/2", 0.622 * kInch},
                                            {"3/4", 0.824 * kInch},
                                            {"1", 1.049 * kInch},
                                            {"1 1/4", 1.380 * kInch}}};

constexpr std::array<double, 20> kPacking = {1,      2,      2.1548, 2.4143, 2.7014, 3,      3,
                                             3.3048, 3.6132, 3.8131, 3.9239, 4.0297, 4.2361, 4.3285,
                                             4.5214, 4.6155, 4.7921, 4.8638, 4.8638, 5.1224};
constexpr int kProven = 14;

}  // namespace

double nec_conduit_share(int cables) { return cables <= 1 ? 0.53 : cables == 2 ? 0.31 : 0.40; }

double circle_area_m2(double diameter_m) { return kPi / 4 * diameter_m * diameter_m; }

int cable_count(double area_m2, double diameter_m, double share) {
  if (diameter_m <= 0) return 0;
  return static_cast<int>(std::floor(share * area_m2 / circle_area_m2(diameter_m) + kFloatEdge));
}

std::span<const Tubing> metallic_tubing() { return kTubing; }

bool may_jam(double inside_m, const std::vector<double>& diameters_m) {
  if (diameters_m.size() != 3) return false;
  const auto [least, most] = std::minmax_element(diameters_m.begin(), diameters_m.end());
  if (*least < 0.95 * *most) return false;  // only equal cables line up and wedge
  const double mean = (diameters_m[0] + diameters_m[1] + diameters_m[2]) / 3;
  const double ratio = inside_m / mean;
  return ratio >= kJamLow && ratio <= kJamHigh;
}

double packing_ratio(int count) {
  return kPacking[static_cast<std::size_t>(std::clamp(count, 1, 20) - 1)];
}

double least_bundle_m(std::vector<double> diameters_m) {
  if (diameters_m.empty()) return 0;
  std::sort(diameters_m.begin(), diameters_m.end(), std::greater<>());
  double squares = 0;
  for (const double d : diameters_m) squares += d * d;
  double least = std::sqrt(squares);
  if (diameters_m.size() > 1) least = std::max(least, diameters_m[0] + diameters_m[1]);
  // A circle round all holds the first k, each at least as thick as the k-th.
  const int known = std::min<int>(static_cast<int>(diameters_m.size()), kProven);
  for (int k = 1; k <= known; ++k) {
    const double ratio = packing_ratio(k) - 1e-4;  // the table is rounded up
    least = std::max(least, ratio * diameters_m[static_cast<std::size_t>(k - 1)]);
  }
  return least;
}

}  // namespace roomloom::trade
