#pragma once

#include <utility>
#include <vector>

#include "shape/lane_search.h"

namespace roomloom {

/// Lanes are found line by line, so that a cable that steps aside before it leaves may cross one
/// that lies between it and where it goes. Lets the two of each pair that gets into each other's
/// way outside fittings change places along what they share, where both are as thick and fewer such
/// crossings are left then.
/// @return whether any did
bool untangle(const std::vector<LanePath>& paths, const Chains& chains, const Tracks& tracks,
              const std::vector<std::pair<std::size_t, std::size_t>>& pairs, LaneOffsets& offsets);

}  // namespace roomloom
