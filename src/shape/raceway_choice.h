#pragma once

#include <vector>

#include "shape/chains.h"
#include "shape/lane_path.h"

namespace roomloom {

/// Of raceways side by side, the one in which each run lies, by path and edge; 0 is the one on the
/// track. One that lies there already stays where it is. A cable cannot change over between them,
/// so each keeps to one along a chain, and beyond a corner to the one that this one turns into, the
/// inner into the inner: the runs that share such ways furthest fill the first, those
/// that leave soonest the last, which then ends where they leave. None holds more than its capacity
/// wherever that can be.
std::vector<std::vector<int>> choose_raceways(const std::vector<LanePath>& paths,
                                              const Chains& chains);

}  // namespace roomloom
