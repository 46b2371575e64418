#pragma once

#include <optional>
#include <vector>

#include "geometry/triangles.h"
#include "room/planes.h"
#include "room/voxels.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// The triangles that bound air, with a tree over them. Not to be copied: the tree looks into it.
struct Skin {
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<int> part;
  std::optional<TriangleTree> tree;

  Skin() = default;
  Skin(Skin&&) = default;
  Skin& operator=(Skin&&) = default;
  Skin(const Skin&) = delete;
  Skin& operator=(const Skin&) = delete;
};
Skin skin_of(const Scene& scene, const std::vector<int>& parts);

/// A hole or a doorway in a wall, or a gap in a suspended ceiling, closed for the flood fill.
struct Opening {
  int plane = -1;
  Region region;  ///< in the plane's frame
  bool to_floor = false;
};
std::vector<Opening> openings_of(const std::vector<Plane>& planes,
                                 const std::vector<PartRole>& roles);

/// The planes that were fitted to scans, reaching `reach_m` farther than what was measured of them.
std::vector<Opening> fitted_planes(const std::vector<Plane>& planes, double reach_m);

/// A side that the model does not have, put where air would escape.
struct VirtualSide {
  Frame frame;  ///< n into the room
  Region region;
  double open_m2 = 0;
};

/// The bodies of air, cell by cell.
struct AirField {
  Voxels voxels;
  std::vector<Pocket> pockets;
  std::vector<int> air;  ///< a pocket's index into Room::airs, -1 for solid cores and crumbs
  int main_pocket = -1;
  std::vector<VirtualSide> sides;
};

/// Fills `room.airs`, `room.main_air` and tells guesses.
AirField find_airs(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                   const std::vector<Opening>& openings, const Skin& skin, Room& room);

/// Volumes and boxes of `room.airs` by its sheets and voids, where these close; else the cells'
/// stay.
void measure_airs(Room& room);

}  // namespace roomloom
