#pragma once

#include <string>
#include <vector>

#include "shape/conflicts.h"
#include "shape/room_limits.h"

namespace roomloom {

/// A run's way as it lies in its lane.
struct Lane {
  Vec3 offset;               ///< from the trunk's centreline, on its longest stretch
  double furthest_m = 0;     ///< of any point from the centreline
  std::vector<Vec3> points;  ///< one for each point of the path
  int overlaps_in_fittings = 0;
  double overlap_bound_m = 0;  ///< at most this much longer where it steps over others in fittings
  std::vector<std::size_t> overlapped;  ///< points at those fittings
};

struct Lanes {
  std::vector<Lane> lanes;            ///< one a path
  std::vector<std::string> overlaps;  ///< pairs that stay in each other's way, and where
};

/// Gives every run a lane of its own.
///
/// A lane is one constant offset of the whole way between the ends, so that a run's lane is as long
/// as its track and all its joints meet. Runs are taken one by one, those with the longest shared
/// way first; each takes, from a lattice round the trunk's centreline (half diameters, the ends of
/// what is free, places that touch its neighbours), the nearest lane (in a raceway that is shared:
/// nearest to a corner of it) that the place allows and that stays a cable's width from every lane
/// given before, on every straight stretch. Where no such lane is free of overlaps, one that
/// changes on the way is looked for as well (lane_steps.h), and the better of both is taken.
/// Overlaps inside fittings are avoided where that costs little, and are told; where nothing fits
/// the least bad lane is taken, and told.
///
/// `bend_radius_m` is one a path, `limits` one a path and edge. @cost runs^2 x lattice x edges near
/// each other.
Lanes assign_lanes(std::vector<LanePath>& paths, const std::vector<double>& bend_radius_m,
                   const std::vector<std::vector<LaneLimits>>& limits, const Tracks& tracks,
                   const Room& room, const Ends& ends);

/// How much longer a cable gets by stepping aside by `step_m` and back within a fitting of
/// `reach_m` to each side, in curves of two equal arcs. Geometry.
double step_over_extra(double step_m, double reach_m);

}  // namespace roomloom
