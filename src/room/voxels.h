#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "base/vec.h"
#include "room/region.h"

namespace roomloom {

/// Cubes of one size over a box. A cell is blocked where anything solid touches it.
struct Voxels {
  Vec3 origin;
  double cell = 0.05;
  int nx = 0, ny = 0, nz = 0;
  std::vector<std::uint8_t> blocked;  ///< 0 free, 1 by the model, 2 by a virtual side
  std::vector<std::int32_t> label;    ///< body of air, -1 where blocked

  std::size_t index(int x, int y, int z) const {
    return (static_cast<std::size_t>(z) * static_cast<std::size_t>(ny) +
            static_cast<std::size_t>(y)) *
               static_cast<std::size_t>(nx) +
           static_cast<std::size_t>(x);
  }
  bool inside(int x, int y, int z) const {
    return x >= 0 && y >= 0 && z >= 0 && x < nx && y < ny && z < nz;
  }
  std::array<int, 3> cell_of(const Vec3& p) const;
  Vec3 centre(int x, int y, int z) const { return origin + cell * Vec3{x + 0.5, y + 0.5, z + 0.5}; }
};

/// A connected set of free cells.
struct Pocket {
  std::size_t cells = 0;
  std::size_t faces = 0;       ///< cell sides toward blocked cells
  std::size_t open_faces = 0;  ///< of these, toward virtual sides
  bool at_border = false;
  Box3 box;
  std::array<int, 3> first{};  ///< a cell of it
  double volume_m3(double cell) const {
    // A blocked cell at its skin is half air on average.
    return (static_cast<double>(cells) + 0.5 * static_cast<double>(faces)) * cell * cell * cell;
  }
};

/// An empty grid over `box` with two free cells around it. The cell grows from `cell` until there
/// are at most `most` of them.
Voxels voxels_over(const Box3& box, double cell, std::size_t most);
/// Blocks every cell that the triangle touches (conservative: never too few).
void block_triangle(Voxels& voxels, const Vec3& a, const Vec3& b, const Vec3& c);
/// Blocks the cells along a planar region so that no air passes through it.
void block_region(Voxels& voxels, const Frame& frame, const Region& region, std::uint8_t value);
/// Labels the bodies of air, joined through cell sides, in the order of their first cells.
std::vector<Pocket> label_pockets(Voxels& voxels);

/// A cell of each pocket near the middle of its box.
std::vector<Vec3> middles_of(const Voxels& voxels, const std::vector<Pocket>& pockets);
/// The pocket at the point, or the nearest within eight cells; -1 for none.
int pocket_at(const Voxels& voxels, const Vec3& point);

}  // namespace roomloom
