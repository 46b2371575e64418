#pragma once

#include <vector>

#include "shape/lanes.h"

namespace roomloom {

/// The search behind assign_lanes: paths have their legs marked. @return one lane a path, with its
/// offset, points and reach.
std::vector<Lane> search_lanes(const std::vector<LanePath>& paths,
                               const std::vector<std::vector<LaneLimits>>& limits,
                               const Tracks& tracks, const Room& room, const Ends& ends);

}  // namespace roomloom
