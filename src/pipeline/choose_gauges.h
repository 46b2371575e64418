#pragma once

#include <map>
#include <string>
#include <vector>

#include "pipeline/roomloom.h"

namespace roomloom {

/// Whether any run leaves its gauge open.
bool any_open_gauge(const Job& job);

/// Gives every open run a cable to begin with: the one for the way along the room's sides and
/// height, from its ends as the scene's box would have them.
void guess_gauges(Job& job, const Scene& scene);

/// A cable that a run was planned with, and the cut length it then had: too long for it.
struct GaugeTried {
  std::string cable;
  double length_m = 0;
};
/// By run, the cables that it was planned with and that did not serve over the length found.
using GaugeTrials = std::map<std::string, std::vector<GaugeTried>>;

/// Chooses for the cut lengths of a plan, thinner or thicker, and writes the cables into the job. A
/// cable that failed at the length it had itself is not taken again, so that planning again ends.
/// @param may_shrink  false: only cables that do not serve are changed
/// @return whether a cable changed, so that the plan must be made again
bool settle_gauges(PlannedRoom& planned, GaugeTrials& trials, bool may_shrink);

/// What was chosen and why, for the lengths of the final plan; only routed runs.
std::vector<GaugeChosen> gauges_of(const PlannedRoom& planned, const GaugeTrials& trials);

}  // namespace roomloom
