#include <algorithm>
#include <cmath>

#include "network/design_search.h"

namespace roomloom::network {
namespace {

bool all_multiples(const std::vector<double>& values, double scale) {
  return std::all_of(values.begin(), values.end(), [&](double v) {
    if (std::isinf(v)) return true;
    const double scaled = v * scale;
    return scaled < 1e12 &&
           std::abs(scaled - std::round(scaled)) < 1e-7 * std::max(1.0, scaled / 1e6);
  });
}

}  // namespace

double grain_of(const Model& model) {
  if (model.is_stepped()) return 0;
  for (const double scale : {1.0, 2.0, 10.0, 100.0, 1000.0}) {
    bool all = all_multiples(model.own, scale) && all_multiples(model.price, scale);
    for (const Profile& profile : model.profiles) all = all && all_multiples(profile.cost, scale);
    if (all) return 1 / scale;
  }
  return 0;
}

}  // namespace roomloom::network
