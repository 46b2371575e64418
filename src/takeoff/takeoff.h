#pragma once

#include <string>

#include "types/job.h"
#include "types/scene.h"
#include "types/takeoff.h"

namespace roomloom {

/// Works out what to buy, to cut and to drill, and in which order to do it.
///
/// Installed runs are listed but not counted as cable to cut. Runs are shared out over spools and
/// raceway over stock lengths at proven least cost (takeoff/spools.h, takeoff/raceway.h).
/// @param scene  for the colours of walls; may be null
/// @return  one row for each of Ends::runs, in order; totals in the order of their first run; every
///          further list as a Table.
Takeoff take_off(const CableShapes& shapes, const Plan& plan, const Tracks& tracks,
                 const Ends& ends, const Room& room, const Job& job, const Scene* scene = nullptr);

}  // namespace roomloom
