#pragma once

#include "types/scene.h"
#include "types/takeoff.h"

namespace roomloom {

/// What each eye point sees of the work, curtains open and closed: fills Takeoff::seen and
/// seen_stretches. Way is measured, not cable: what lies nearer than 60 mm together counts once.
/// Covered runs count as the raceway that covers them; what lies in bays and conduits is out of
/// sight without being looked for.
void look_from_eyes(Takeoff& takeoff, const CableShapes& shapes, const Plan& plan,
                    const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                    const Scene& scene);
Table seen_table(const Takeoff& takeoff, const Job& job);

}  // namespace roomloom
