#pragma once

#include "types/takeoff.h"

namespace roomloom {

/// How predicted and measured lengths compare, as a share of what was drawn.
struct LengthComparison {
  int runs = 0;
  double bias = 0;         ///< mean of (measured - predicted) / drawn
  double spread = 0;       ///< standard deviation of it; 0 for fewer than two runs
  double contingency = 0;  ///< that would have been enough for 49 runs in 50, if all are alike
};
LengthComparison compare_lengths(const AsBuilt& built, double contingency_now);

/// Whether a hole is recorded as cut, or a piece as fixed (within 10 mm of where it is planned).
bool is_cut(const HoleRow& hole, const AsBuilt& built);
bool is_fixed(const RacewayPiece& piece, const Room& room, const AsBuilt& built);

/// Predicted against measured, run by run, with what it says about the slack settings.
Table built_table(const Job& job);
/// Minutes as recorded, against those that were counted with.
Table minutes_built_table(const Job& job);
/// For each run that is still to be pulled, what is there already: a provision that ends nearby, a
/// cut hole with room, a draw cord.
Table use_first_table(const Takeoff& takeoff, const Ends& ends, const Job& job);
/// What will lie on the shelf when all is cut: for the stock of the next job.
Table stock_left_table(const Takeoff& takeoff, const Job& job);

}  // namespace roomloom
