#pragma once

#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// The bundle of all that passes a hole, with the cables that the job keeps room for.
double later_bundle_m(const HoleShape& hole, const Ends& ends, const Job& job);

/// "exists", "cut already", "larger than allowed here" or "to cut".
std::string hole_state(const HoleRow& row);

/// The grommet or seal for a hole, from the catalogue: the smallest that lets `bundle_m` pass, and
/// in a ceiling tile one whose own hole is no smaller than what must pass; where a spare's room is
/// too much for all of them, the one for what passes now. Null where none does.
const GrommetType* grommet_for(const HoleRow& hole, double bundle_m, const Crossing& crossing,
                               const Job& job);

/// How many more cables of a diameter pass a hole beside those that do already, by the densest
/// packing that is known or found; 0 for none.
int further_cables(const std::vector<double>& diameters_m, double further_m, double hole_m);

/// Hole by hole: where to cut, how wide, what it is lined with, who passes and who may later.
Table hole_table(const Takeoff& takeoff, const CableShapes& shapes, const Ends& ends,
                 const Room& room, const Job& job);

}  // namespace roomloom
