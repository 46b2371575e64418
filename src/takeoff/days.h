#pragma once

#include <cstdint>
#include <functional>
#include <vector>

namespace roomloom {

/// A set of groups of work, a bit each.
using GroupSet = std::uint32_t;

struct DayCost {
  double minutes = 0;
  int moves = 0;  ///< of the ladder
};

struct Division {
  std::vector<GroupSet> days;  ///< every group in exactly one, in the order of work
  bool fewest = false;         ///< proven: no division into whole groups moves the ladder less
};

/// Divides groups of work into days of at most `minutes`, so that the ladder is moved the fewest
/// times; of equal divisions the one of fewest days. A group that is too
/// much for a day by itself has one of its own.
///
/// Exact by dynamic programming over the sets of groups that are done; past kMostGroups, or where
/// more than `most_costs` days would have to be planned, groups are taken in their order and the
/// result is not proven.
/// @param cost  of doing the groups `day` when those of `done` are done; `moves` must not depend
///              on `done`, and minutes must not grow with it
constexpr int kMostGroups = 20;
Division divide_into_days(int groups, double minutes,
                          const std::function<DayCost(GroupSet day, GroupSet done)>& cost,
                          long most_costs = 3000);

}  // namespace roomloom
