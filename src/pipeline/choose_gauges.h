#pragma once

#include <vector>

#include "pipeline/roomloom.h"

namespace roomloom {

/// Whether any run leaves its gauge open.
bool any_open_gauge(const Job& job);

/// Gives every open run a cable to begin with: the one for the way along the room's sides and
/// height, from its ends as the scene's box would have them.
void guess_gauges(Job& job, const Scene& scene);

/// Chooses for the cut lengths of a plan and writes the cables into the job. Gauges only grow, so
/// that planning again ends.
/// @return whether a cable changed, so that the plan must be made again
bool grow_gauges(PlannedRoom& planned);

/// What was chosen and why, for the lengths of the final plan; only routed runs.
std::vector<GaugeChosen> gauges_of(const PlannedRoom& planned);

}  // namespace roomloom
