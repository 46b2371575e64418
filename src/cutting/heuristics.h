#pragma once

#include <vector>

#include "cutting/problem.h"

namespace roomloom::cutting {

enum class Filling {
  longest_first,  ///< each bar takes the longest piece that still fits
  fullest         ///< each bar takes its longest piece and with it what leaves least over
};

/// Fills one bar after the other, of the kind that costs least for what it takes. With one kind and
/// `longest_first` this is first-fit decreasing.
/// @return  cost Packing::no_cost where limited stock runs out
Packing fill_greedily(const Problem& problem, Filling filling);

/// Looks for packings cheaper than `best` by fixing columns of the relaxation one after the other
/// and solving the rest anew, going back on up to `discrepancies` choices near the top.
/// @param enough  a cost at which to stop: the lower bound
/// @param pool  patterns to start from
void dive(const Problem& problem, const std::vector<Pattern>& pool, int discrepancies,
          std::int64_t enough, Packing& best, Budget& budget);

}  // namespace roomloom::cutting
