#pragma once

#include "types/takeoff.h"

namespace roomloom {

/// Ramps over cable that crosses open floor, with what they must take in.
void list_ramps(Takeoff& takeoff, const Plan& plan, const Tracks& tracks, const Ends& ends,
                const Room& room, const Job& job);
Table ramp_table(const Takeoff& takeoff);

}  // namespace roomloom
