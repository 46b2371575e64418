#pragma once

#include <vector>

#include "shape/conflicts.h"
#include "shape/lane_steps.h"
#include "shape/room_limits.h"

namespace roomloom {

/// Three directions square to each other, taken from the tracks themselves, so that a turned or
/// mirrored room gives the same lanes.
std::vector<Vec3> lattice_axes(const std::vector<LanePath>& paths, const Tracks& tracks,
                               const Room& room);

/// A run that has its lane, seen from one that is to get one: its cable on a leg that comes near.
struct NearLeg {
  const LanePath::Leg* leg = nullptr;
  Vec3 from, to;      ///< as it lies
  double need_m = 0;  ///< between both cables' centres
};

/// Points of the path at which its straight stretches within the lane span, and those on which it
/// may step aside, begin and end.
std::vector<std::size_t> straight_ends(const LanePath& run);

/// What a lane is chosen with: a run, its limits and resting places (one an edge), and near[i]:
/// what comes near its leg i.
struct LaneTask {
  const LanePath& run;
  const std::vector<LaneLimits>& limits;
  std::vector<Vec3> rests;
  std::vector<std::vector<NearLeg>> near;
};

/// Offsets for a run to choose from. For each straight stretch the free places nearest to where the
/// run would rest by itself, among those that lie in line with the track, with the ends of what the
/// place leaves free, or touch a cable that lies there; then half diameters, `reach` of them.
OffsetLattice offset_lattice(const LaneTask& task, const std::vector<Vec3>& axes, int reach);

/// All offsets of the lattice, by growing distance from the centreline.
std::vector<Vec3> lattice_offsets(const OffsetLattice& lattice);

}  // namespace roomloom
