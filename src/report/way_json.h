#pragma once

#include <nlohmann/json.hpp>

#include "types/planned.h"

namespace roomloom {

/// The way of a run on its tracks, straight stretch by straight stretch, so that a later plan can
/// find it again on other tracks: {from, to, kind, place, medium, raceway, count,
/// hole_diameter_m}; what does not apply is left out. Points in the room frame, metres.
nlohmann::ordered_json way_json(std::size_t run, const Planned& planned);

/// Changes of direction that the plan's objective pays for, per run: more than the corners of its
/// way where it comes out at an end's own box, or turns from a hole to its end's own direction.
int turns_of(std::size_t run, const Planned& planned);

}  // namespace roomloom
