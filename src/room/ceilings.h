#pragma once

#include "room/airs.h"

namespace roomloom {

/// For each suspended ceiling: its tile grid, the plenum over it with what stands in it, and a
/// crossing for each tile that may be cut. Fills `room.grids`, `room.voids`, `room.crossings`.
void find_ceilings(const Scene& scene, const Job& job, const Skin& skin, const AirField& field,
                   Room& room);

/// Fills `room.likely_ceilings`, and tells each with how to state it.
void find_likely_ceilings(const Scene& scene, const Job& job, Room& room);

/// Whether a part of a suspended ceiling bears its tiles: a tee, a runner, an angle.
bool is_trim(const Scene& scene, const Sheet& sheet, int part);
/// The first part of the ceiling that is none.
int first_tile(const Scene& scene, const Sheet& sheet);
/// The grid of one suspended ceiling sheet; tiles that hold something are not cuttable.
TileGrid tile_grid(const Scene& scene, const Job& job, int sheet, Room& room);
/// The piece that each point of a part belongs to, corners at one place holding pieces together: an
/// array of tiles may be one part.
std::vector<std::size_t> pieces_of(const Scene& scene, const Part& part);

/// Which way the tiles of suspended ceilings run.
struct TileDirection {
  double angle_rad = 0;   ///< from +x, within an eighth of a turn
  bool is_drawn = false;  ///< else only said
};
/// As the tiles' own edges tell where they are drawn one by one, else luminaires between them, else
/// a sketch's word. Empty where nothing tells.
std::optional<TileDirection> tile_direction(const Scene& scene, const std::vector<PartRole>& roles);

/// "A", "B" ... "Z", "AA".
std::string row_letters(int row);

/// The part as boxes in a void's frame, sliced along its length where it does not run square.
std::vector<Box3> boxes_in(const Scene& scene, const Part& part, const Frame& frame);

/// What of a part's faces lies within a box of a frame; empty where nothing does.
Box3 box_within(const Scene& scene, const Part& part, const Frame& frame, const Box3& limits);

/// What a part's shape covers of a plane, from `below_m` under it to `above_m` over it: the outline
/// of the triangles between, gaps up to 60 mm filled.
Region footprint_on(const Scene& scene, const Part& part, const Frame& frame, double below_m,
                    double above_m);

/// A wall, bulkhead or downstand in a void rather than round it.
struct WallInVoid {
  int part = -1;
  Region print;  ///< in the void's frame
};
/// Those that are there between two heights over the void's floor.
std::vector<WallInVoid> walls_within(const Scene& scene, const Room& room, const Void& space,
                                     double from_m, double to_m);
/// Puts them in the way of cables, as high as they are, and tells it.
void add_walls(const Scene& scene, const Job& job, Room& room, Void& space);

}  // namespace roomloom
