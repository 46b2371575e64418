#pragma once

#include "room/airs.h"

namespace roomloom {

/// Fills `room.sheets` with the patches that face the main room's air, and `room.box`,
/// `room.floor_z_m`. `ahead` is the direction that level sheets take as u.
void find_sheets(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                 const std::vector<Opening>& openings, const Skin& skin, const AirField& field,
                 const Vec3& ahead, Room& room);
/// Moves the outlines of scanned sheets to the corners that their planes make with each other.
void draw_scans_to_corners(Room& room);
/// How far raw scans that were set aside stray from the sheets, as Sheet::residual_m.
void measure_residuals(const Scene& scene, const std::vector<int>& scans, Room& room);
/// Fills `room.seams`, and warns of gaps that were joined.
void find_seams(const Job& job, Room& room);
/// The direction nearest to +x that most of the walls run along or across.
Vec3 main_direction(const std::vector<Plane>& planes, const Box3& near);

/// Which pocket a point on a face sees on the side of `n`; -1 = none within 0.2 m.
int pocket_seen(const AirField& field, const Skin& skin, const Vec3& point, const Vec3& n,
                double start_m);
/// Cuts the plane's region along every other plane that meets it, and returns what sees the
/// field's main pocket on the side of `n`.
/// @param pieces_left  how many more may be cut; a plane that comes when there are none is left
///                     whole. Less what was cut.
Region facing_main_air(const std::vector<Plane>& planes, std::size_t index, const AirField& field,
                       const Skin& skin, const std::vector<PartRole>& roles, const Box3& near,
                       bool front, long& pieces_left);

}  // namespace roomloom
