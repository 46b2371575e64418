#pragma once

#include <vector>

namespace roomloom {

/// `from`, `from` + `step`, ... up to the last below `to`; empty if there is none. Counted in whole
/// steps, so that rounding does not add up.
inline std::vector<double> steps_below(double from, double to, double step) {
  std::vector<double> values;
  for (int k = 0; from + k * step < to; ++k) values.push_back(from + k * step);
  return values;
}

}  // namespace roomloom
