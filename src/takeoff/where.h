#pragma once

#include <optional>
#include <string>

#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// A point of a sheet as one measures it: along from a corner, and up from the floor (walls), from
/// the lower edge (slopes) or, with the plan's y ahead, from the near edge (floors and ceilings).
struct SheetMeasure {
  bool from_right = false;  ///< the right corner is nearer
  double along_m = 0;
  double up_m = 0;
};
SheetMeasure measure_on(const Room& room, int sheet, const Vec3& point, bool from_right);
/// The inverse of it, in the sheet's own u, v.
Vec2 point_measured(const Room& room, int sheet, bool from_right, double along_m, double up_m);
/// Whether the right corner of the sheet is nearer to the point than the left.
bool nearer_to_right(const Room& room, int sheet, const Vec3& point);

/// The nearest wall before or behind a point, looking along a direction.
struct WallDistance {
  int sheet = -1;
  double metres = 0;
};
/// Of the walls square to `direction` (within 10 degrees) that stand beside the point, the nearest.
std::optional<WallDistance> nearest_wall(const Room& room, const Vec3& point,
                                         const Vec3& direction);

/// Where one gets to from a point in a direction: the name of the nearest wall across it that
/// faces the point from there; empty where none does.
std::string wall_toward(const Room& room, const Vec3& point, const Vec3& direction);

/// The corner that the tiles of a grid are counted from, by the walls that meet nearest to it:
/// "Wall back and Wall left".
std::string grid_corner(const Room& room, const TileGrid& grid);

/// The two sides of a tile that holes in it are measured from, named by the walls they are toward,
/// since left and near change with whoever looks up.
struct TileSides {
  std::string first, second;  ///< "toward Wall left"
};
TileSides tile_sides(const Room& room, const TileGrid& grid, const Vec3& point);

/// The tile that a crossing goes through, with its grid.
struct TileOf {
  const TileGrid* grid = nullptr;
  const Tile* tile = nullptr;
};
TileOf tile_of(const Crossing& crossing, const Room& room);

/// Colour of a sheet as screens show it: "#f0ece0"; empty where the model gives none.
std::string sheet_colour(const Sheet& sheet, const Scene* scene);

}  // namespace roomloom
