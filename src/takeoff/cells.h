#pragma once

#include <string>
#include <vector>

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

template <typename T>
const T& element(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

}  // namespace roomloom
