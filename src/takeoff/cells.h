#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "base/units.h"
#include "types/ends.h"
#include "types/table.h"

namespace roomloom {

/// A number as a cell, from whatever kind of number it is.
template <typename Number>
Cell number_cell(Number value) {
  return Cell{static_cast<double>(value)};
}
inline Cell tick_cell() { return Cell{std::string()}; }

/// "a; b; c".
inline std::string listed(const std::vector<std::string>& words, const char* between = "; ") {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : between) + word;
  return text;
}

/// A diameter or thickness as one says it: "35 mm", "6.4 mm", "1 3/8 in".
inline std::string size_text(double metres, DisplayUnits units) {
  return format_size(metres, units, 1);
}

template <typename T>
const T& element(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

inline std::vector<std::string> run_ids(const std::vector<int>& runs, const Ends& ends,
                                        int except = -1) {
  std::vector<std::string> ids;
  for (const int run : runs)
    if (run != except) ids.push_back(element(ends.runs, run).id);
  return ids;
}

}  // namespace roomloom
