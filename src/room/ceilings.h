#pragma once

#include "room/airs.h"

namespace roomloom {

/// For each suspended ceiling: its tile grid, the plenum over it with what stands in it, and a
/// crossing for each tile that may be cut. Fills `room.grids`, `room.voids`, `room.crossings`.
void find_ceilings(const Scene& scene, const Job& job, const Skin& skin, const AirField& field,
                   Room& room);

/// Whether a part of a suspended ceiling bears its tiles: a tee, a runner, an angle.
bool is_trim(const Scene& scene, const Sheet& sheet, int part);
/// The first part of the ceiling that is none.
int first_tile(const Scene& scene, const Sheet& sheet);
/// The grid of one suspended ceiling sheet; tiles that hold something are not cuttable.
TileGrid tile_grid(const Scene& scene, const Job& job, int sheet, Room& room);
/// "A", "B" ... "Z", "AA".
std::string row_letters(int row);

/// The part as boxes in a void's frame, sliced along its length where it does not run square.
std::vector<Box3> boxes_in(const Scene& scene, const Part& part, const Frame& frame);

/// What a part's shape covers of a plane, from `below_m` under it to `above_m` over it: the outline
/// of the triangles between, gaps up to 60 mm filled.
Region footprint_on(const Scene& scene, const Part& part, const Frame& frame, double below_m,
                    double above_m);

}  // namespace roomloom
