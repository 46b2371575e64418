#pragma once

#include "types/cable_shapes.h"
#include "types/job.h"

namespace roomloom {

/// Gives every run its true shape and length: a lane of its own in what it shares, arcs at its
/// corners, what it needs beyond its drawn line (shape/addends.h), and the holes, raceways and
/// supports that the plan calls for.
///
/// A bend's radius is measured to the cable's centreline and is the least of what the cable asks
/// for, what a mitred raceway corner allows, and what fits on the legs; no length is saved by an
/// arc that does not fit. Bends that are too tight are listed with used < required.
///
/// @return  one shape for each of Ends::runs (routed == false and no pieces where the plan has no
///          way), pieces joined to 1e-9 m; overlaps that could not be avoided are told.
/// @cost    0.04 s for 31 runs, 0.08 s for 39 that turn often: most of it easing tight corners.
CableShapes shape_cables(const Plan& plan, const Tracks& tracks, const Ends& ends, const Room& room,
                         const Job& job);

}  // namespace roomloom
