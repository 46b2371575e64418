#pragma once

#include <cstdint>
#include <functional>
#include <vector>

namespace roomloom {

/// A set of up to 64 groups of work, a bit each.
using GroupSet = std::uint64_t;

/// As many groups can be divided at once.
constexpr int kMostTogether = 60;

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
/// @param groups  how many there are, up to kMostTogether
/// @param cost  of doing the groups `day` when those of `done` are done; `moves` must not depend
///              on `done`, and minutes must not grow with it
/// @param before  by group: those that must be done on an earlier day or the same; empty = none.
///                Where groups wait for each other and do not fit one day, their order decides.
constexpr int kMostGroups = 20;
Division divide_into_days(int groups, double minutes,
                          const std::function<DayCost(GroupSet day, GroupSet done)>& cost,
                          const std::vector<GroupSet>& before = {}, long most_costs = 3000);

}  // namespace roomloom
