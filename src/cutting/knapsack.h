#pragma once

#include <cstdint>
#include <vector>

#include "cutting/problem.h"

namespace roomloom::cutting {

/// Types that are kept apart from others are told from each other up to this number.
inline constexpr int kMostApartTypes = 192;

struct Priced {
  std::int64_t best = 0;          ///< no pattern is worth more; never below the threshold
  std::vector<Pattern> patterns;  ///< worth more than the threshold, the best first
};

/// The patterns of one kind of stock that are worth most.
///
/// Labels (length, worth) are kept where no other is shorter and worth as much (Nemhauser and
/// Ullmann 1969), and dropped where Dantzig's bound cannot pass the threshold; the cost does not
/// depend on the unit of length.
/// @param worth  >= 0, one a type
Priced price_patterns(const Problem& problem, int kind, const std::vector<std::int64_t>& worth,
                      std::int64_t threshold);

}  // namespace roomloom::cutting
