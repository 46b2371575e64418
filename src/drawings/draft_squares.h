#pragma once

// What draft.cpp and draft_labels.cpp share of a Draft's inside.

#include <algorithm>

#include "drawings/draft.h"

namespace roomloom {

constexpr double kAscent = 1.35, kDescent = 0.45;  // of a capital's height, accents and tails too
// A label would rather go this many millimetres farther than cover such a line.
constexpr double kOverThin = 3, kOverWide = 40;

template <typename Visit>
void Draft::Squares::visit(const PaperBox& box, Visit visit) const {
  const auto clamped = [](double at, int count) {
    return static_cast<int>(std::clamp(at, 0.0, static_cast<double>(count - 1)));
  };
  const int left = clamped(box.low.x / side_mm_, columns_);
  const int right = clamped(box.high.x / side_mm_, columns_);
  const int top = clamped(box.low.y / side_mm_, rows_);
  const int bottom = clamped(box.high.y / side_mm_, rows_);
  for (int y = top; y <= bottom; ++y)
    for (int x = left; x <= right; ++x)
      visit(static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) +
            static_cast<std::size_t>(x));
}

template <typename Holds>
bool Draft::Squares::any(const PaperBox& box, Holds holds) const {
  bool found = false;
  const unsigned question = ++question_;
  visit(box, [&](std::size_t square) {
    for (const int index : squares_[square]) {
      if (found) return;
      unsigned& seen = seen_[static_cast<std::size_t>(index)];
      if (seen == question) continue;
      seen = question;
      found = holds(index);
    }
  });
  return found;
}

}  // namespace roomloom
