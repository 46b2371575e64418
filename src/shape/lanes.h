#pragma once

#include <string>
#include <vector>

#include "shape/lane_path.h"
#include "types/ends.h"

namespace roomloom {

/// A run's way as it lies in its lane.
struct Lane {
  Vec3 offset;     ///< from the trunk's centreline, on its longest stretch
  TrackPath line;  ///< its way, straight from corner to corner
  int overlaps_in_fittings = 0;
  double overlap_bound_m = 0;  ///< at most this much longer where it steps over others in fittings
  std::vector<Vec3> overlapped;  ///< corners of the line at those fittings
};

struct Lanes {
  std::vector<Lane> lanes;            ///< one a path
  std::vector<std::string> overlaps;  ///< pairs that stay in each other's way, and where
};

/// Gives every run a lane of its own: a place in the section of each straight stretch, circles laid
/// side by side.
///
/// A run keeps its place along a whole line of track (chains.h) wherever the raceways, holes and
/// voids on it and the other cables leave one; from one line to the next it keeps its level across
/// the plane of the bend, so that a lane changes no length but at its bends. Lines are filled one
/// by one, the fullest first, and each cable takes the free place that costs least (place_lane.h).
/// Where no place is free all along, the cable steps aside at a joint, inside a fitting. What
/// cannot be avoided is told.
///
/// Depends on the runs' ids and on geometry alone: not on their order, nor on how the room is
/// turned or mirrored. @cost  for each run and line, the square of the cables that lie there.
Lanes assign_lanes(const std::vector<LanePath>& paths, const Tracks& tracks, const Room& room,
                   const Ends& ends, DisplayUnits units = DisplayUnits::metric);

/// How much longer a cable gets by stepping aside by `step_m` and back within a fitting of
/// `reach_m` to each side, in curves of two equal arcs. Geometry.
double step_over_extra(double step_m, double reach_m);

}  // namespace roomloom
