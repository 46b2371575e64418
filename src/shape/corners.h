#pragma once

#include "shape/fillet.h"
#include "shape/ways.h"

namespace roomloom {

/// The path with its corners rounded: the cable's radius, or what raceways, holes, outside corners
/// and the legs leave of it.
FilletedPath round_off(const Inputs& in, int run, const TrackPath& path);

/// The way as drawn before its corners are rounded: in its lane, with its jogs eased.
TrackPath laid_path(const Inputs& in, const LanePath& way, const Lane& lane);

}  // namespace roomloom
