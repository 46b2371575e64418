#pragma once

#include <vector>

#include "shape/lanes.h"
#include "types/cable_shapes.h"

namespace roomloom {

/// One hole for each point at which used tracks pass a crossing, named H1, H2, .. by tile row and
/// column, then by crossing and place. A hole encloses its cables as drawn with 3 mm to spare
/// (common practice, no source), and lets the moulded heads of its cables pass one after the other,
/// the largest first; its size is that of a hole saw, wide enough for what the job keeps free for
/// later (Job::spares) as far as the place allows, or what its grommet asks. An existing hole keeps
/// its own, and one that is recorded as cut the size and place that the record says, unless its
/// cables cannot pass that.
std::vector<HoleShape> shape_holes(const std::vector<LanePath>& paths, const Lanes& lanes,
                                   const Tracks& tracks, const Room& room, const Ends& ends,
                                   const Job& job);

/// One straight piece for each greatest straight stretch of one size used by the same runs. Its
/// back lies on the sheet; where several lie side by side the first lies on the track
/// (side_by_side), and each holds the runs that are drawn in it.
std::vector<RacewayShape> shape_raceways(const std::map<int, RacewayOnEdge>& raceways,
                                         const std::vector<CableShape>& cables,
                                         const Tracks& tracks, const Room& room);

/// Hooks along the level ways of voids, at most Preferences::support_spacing_m apart and at both
/// ends of each straight stretch; runs on the same line share them.
std::vector<SupportShape> place_supports(const std::vector<LanePath>& paths, const Tracks& tracks,
                                         const Preferences& prefer);

}  // namespace roomloom
