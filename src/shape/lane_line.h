#pragma once

#include <vector>

#include "shape/lane_path.h"
#include "shape/meetings.h"

namespace roomloom {

/// The way of a run in its lane, before its corners are rounded: every edge lies `offsets[i]` off
/// its track, both tips stay where they are, and loose edges lead from one to the other. Where the
/// offsets of two edges do not meet, the cable steps aside within a short slant next to the joint,
/// on that of the two edges where there is more room.
/// @return  a path whose edges are those of `run.path`, some of them twice.
TrackPath lane_line(const LanePath& run, const std::vector<Vec3>& offsets);

/// The line as it is held against those of other cables.
DrawnWay drawn_way(const LanePath& run, const TrackPath& line, const Tracks& tracks);

}  // namespace roomloom
