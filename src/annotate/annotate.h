#pragma once

#include "types/annotation.h"
#include "types/takeoff.h"

namespace roomloom {

/// What is added to the user's model: a tube for each routed run ("Run S1"), a bar for each piece
/// of raceway ("Raceway 1"), a ring round each hole ("Hole H1"), a hook for each support
/// ("Support 1"), and tags near ends and holes. Every run carries its take-off as extras: run,
/// from, to, cable, shares, drawn_m, each addend by its name with _m, cut_m, bends.
///
/// Tags are 30 mm high and lie on no other tag; one that had to go far off has a leader.
/// @return  names are unique within their group; the order is that of the stages before.
Annotation annotate(const CableShapes& shapes, const Takeoff& takeoff, const Ends& ends,
                    const Room& room, const Job& job);

}  // namespace roomloom
