#pragma once

#include <map>
#include <utility>

#include "types/ends.h"
#include "types/job.h"
#include "types/plan.h"

namespace roomloom {

/// By run and track edge: in which of the raceways side by side a cable lies there already, 0 for
/// the one on the track, as the record of what was built tells. Edges that no lying cable of the
/// run is recorded on are left out.
using LyingPlaces = std::map<std::pair<int, int>, int>;
LyingPlaces find_lying_places(const Plan& plan, const Tracks& tracks, const Ends& ends,
                              const Room& room, const Job& job);

}  // namespace roomloom
