#pragma once

#include "room/airs.h"

namespace roomloom {

/// The space over a floor where the model does not close the room.
struct FloorPrism {
  Polygon outline;  ///< room x, y
  double low_z = 0, high_z = 0;
  bool height_guessed = false;
};

/// The largest floor (or the one under `seed`) and the height of the room over it.
std::optional<FloorPrism> floor_prism(const Scene& scene, const std::vector<Plane>& planes,
                                      const std::vector<PartRole>& roles,
                                      const std::optional<Vec3>& seed);
/// Blocks all cells outside the prism with the value 2.
void block_outside(Voxels& voxels, const FloorPrism& prism);
/// Where the pocket touches virtual sides: one side an edge of the outline, and the top.
std::vector<VirtualSide> open_sides_of(const Voxels& voxels, int pocket, const FloorPrism& prism);
/// "from (0.00 m, 0.00 m) to (4.00 m, 0.00 m), 10.0 m2"
std::string describe(const VirtualSide& side, DisplayUnits units);

}  // namespace roomloom
