#pragma once

#include <set>
#include <vector>

#include "takeoff/standing.h"

namespace roomloom {

/// A stop of the ladder, and which cables are handed on there.
struct Visit {
  int spot = -1;
  std::vector<int> runs;  ///< in pull order
};

struct Round {
  std::vector<Visit> visits;
  bool fewest = false;     ///< proven: no round of these places has fewer stops
  bool ends_well = false;  ///< it ends at one of `last`, or proven: none of as few stops does
};

/// Stops such that each run passes its places in its own order, and every place is visited: the
/// fewest, and of equal ones a short walk. `way` holds for each run the spots that it passes,
/// without immediate repeats; `order` is the pull order of the runs concerned.
///
/// It is a shortest common supersequence of the ways, searched by A*; a place of which k stops are
/// still due in one way needs k stops at least.
/// @param last  where the ladder is wanted next: of equal rounds one that ends there; empty =
/// anywhere
/// @param most_states  past so many the nearest place that nothing waits for is taken, unproven;
///                     counted, so that it is the same on every machine
Round round_of(const std::vector<int>& spots, const std::vector<int>& order,
               const std::vector<std::vector<int>>& way, const std::vector<Spot>& all_spots,
               const std::set<int>& last = {}, long most_states = 20000);

}  // namespace roomloom
