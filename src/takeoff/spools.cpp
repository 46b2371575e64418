#include "takeoff/spools.h"

#include <algorithm>

namespace roomloom {

int first_fit_decreasing(std::vector<double> lengths_m, double stock_m) {
  constexpr double kFits = 1e-9;
  std::stable_sort(lengths_m.rbegin(), lengths_m.rend());
  std::vector<double> left;
  for (const double length : lengths_m) {
    if (length > stock_m + kFits) return -1;
    const auto fits =
        std::find_if(left.begin(), left.end(), [&](double rest) { return rest >= length - kFits; });
    if (fits == left.end())
      left.push_back(stock_m - length);
    else
      *fits -= length;
  }
  return static_cast<int>(left.size());
}

}  // namespace roomloom
