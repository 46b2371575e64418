#pragma once

#include <vector>

namespace roomloom {

struct SetCover {
  std::vector<int> chosen;  ///< indices of the sets, ascending
  bool proven = false;      ///< no smaller number of sets covers everything
};

/// The fewest sets that hold every element 0 .. elements-1, each of which lies in some set.
/// Branches on the element that fewest sets hold; cuts off where elements without a common set
/// already need too many. Of equal choices the earlier set is taken.
/// @param most_steps  the search gives up after so many, the same on every machine
SetCover fewest_sets(int elements, const std::vector<std::vector<int>>& sets,
                     long most_steps = 200000);

}  // namespace roomloom
