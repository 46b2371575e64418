#pragma once

#include <vector>

#include "shape/chains.h"
#include "shape/lane_path.h"

namespace roomloom {

/// Offsets from the track, one a path and edge; nothing where the cable lies loose.
using LaneOffsets = std::vector<std::vector<Vec3>>;

/// Finds a lane for every stay of a run on a chain (chains.h), chain by chain. Where one offset
/// does for the whole stay it is kept; else the run steps aside between two sections. A section in
/// which some run finds no place is packed anew as a whole, thickest cables first.
LaneOffsets search_lanes(const std::vector<LanePath>& paths, const Chains& chains, const Room& room,
                         const Ends& ends, const Tracks& tracks, const Vec3& anchor);

}  // namespace roomloom
