#pragma once

#include "pipeline/roomloom.h"
#include "route/route.h"

namespace roomloom {

/// The same room planned under each preset, beside the plan at hand: cable, holes, raceway, what
/// shows, minutes, money, the longest run and how near the best each is proved to be. One row a
/// plan, the plan at hand first. Table id `presets`.
Table preset_table(const PlannedRoom& planned, const RouteOptions& effort);

/// Which price or minute would change the plan if it were a fifth less or a quarter more: what a
/// plan made for that price saves against the plan at hand, and how many runs it moves. Table id
/// `sensitivity`; a row a price that can change something.
Table sensitivity_table(const PlannedRoom& planned);

}  // namespace roomloom
