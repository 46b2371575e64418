#pragma once

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "base/units.h"

/// Which item of a stock the record cuts from, where people correct that stock by hand.
namespace roomloom {

constexpr double kSameLength_m = 1e-3;

inline bool same_length(double a_m, double b_m) { return std::abs(a_m - b_m) < kSameLength_m; }

/// The item that is as long as the record has it; else the nearest to it that is long enough for
/// what was cut, since its length was corrected. end() if there is none.
/// @tparam Item  has `length_m` and `count`
/// @param whole_m  the item's length by the record
/// @param is_alike  whether an item may be it, its length apart
template <typename Item, typename IsAlike>
auto item_cut_from(std::vector<Item>& items, double whole_m, double taken_m,
                   const IsAlike& is_alike) {
  auto own = items.end();
  for (auto item = items.begin(); item != items.end(); ++item) {
    const double length_m = item->length_m;
    const bool fits = same_length(length_m, whole_m) || length_m >= taken_m - kSameLength_m;
    if (item->count < 1 || !fits || !is_alike(*item)) continue;
    if (own == items.end() || std::abs(length_m - whole_m) < std::abs(own->length_m - whole_m))
      own = item;
  }
  return own;
}

/// "The record cuts from A1, 100.00 m of cat6, blue, which the job's stock does not list. "
/// @param stock  "the job's stock"
inline std::string unlisted_text(const std::string& name, double whole_m, const std::string& kind,
                                 const std::string& colour, const std::string& stock,
                                 DisplayUnits units) {
  return "The record cuts from " + name + ", " + format_length(whole_m, units, 2) + " of " + kind +
         (colour.empty() ? "" : ", " + colour) + ", which " + stock + " does not list. ";
}

/// What then stands for it. @param found_m  the length of the item that was found; 0 = none
inline std::string taken_instead_text(double found_m, DisplayUnits units) {
  return found_m > 0
             ? "It is taken to be the one of " + format_length(found_m, units, 2) + " there."
             : "What is left of it is taken to lie there.";
}

}  // namespace roomloom
