#pragma once

#include "base/units.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// "exists", "to widen: cut 20 mm", "cut already", "larger than allowed here" or "to cut".
std::string hole_state(const HoleRow& row, DisplayUnits units);

/// How many more cables of a diameter pass a hole beside those that do already, by the densest
/// packing that is known or found; 0 for none.
int further_cables(const std::vector<double>& diameters_m, double further_m, double hole_m);

/// The walls toward which the sides of a tile lie that its hole is measured from: "left" and "near"
/// are the ceiling's own and say nothing to who stands below it. Empty where there is no tile.
struct TileSides {
  std::string left, near;
};
TileSides sides_of_tile(const Room& room, const Crossing& crossing, const Vec3& centre);

/// Hole by hole: where to cut, how wide, what it is lined with, who passes and who may later.
Table hole_table(const Takeoff& takeoff, const CableShapes& shapes, const Ends& ends,
                 const Room& room, const Job& job);

}  // namespace roomloom
