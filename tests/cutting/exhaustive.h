#pragma once

#include <optional>
#include <string>

#include "cutting/cutting.h"

namespace roomloom::cutting_tests {

/// The best plan's figures, found by trying every way (few pieces only).
struct Best {
  long price = 0;  // ten-thousandths
  int bars = 0;
  long largest_remainder_um = 0;
};

/// Dynamic programming over the sets of pieces, bar by bar; shares no code with the solver.
/// @return nothing where the stock cannot hold all pieces
std::optional<Best> best_by_trying_all(const CutJob& job);

/// What is wrong with the plan as a plan: a piece missing or cut twice, a bar overdrawn, more bars
/// than there are, a wrong remainder, order or sum. Empty where nothing is.
std::string fault_of(const CutPlan& plan, const CutJob& job);

long largest_remainder_um(const CutPlan& plan);

}  // namespace roomloom::cutting_tests
