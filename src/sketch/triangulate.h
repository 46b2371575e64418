#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "types/solids.h"

namespace roomloom {

/// The corners of a face, outline first, then each hole.
std::vector<Vec3> face_corners(const SolidFace& face);

/// Cuts a planar face into triangles, counter-clockwise from outside, by clipping ears. Every
/// corner is used, also those in the middle of a straight side, so neighbouring faces still match.
/// @return indices into face_corners(face); n + 2 * holes - 2 triangles.
/// @cost about O(n^2), for faces of up to some thousand corners.
std::vector<std::array<std::uint32_t, 3>> triangulate(const SolidFace& face);

}  // namespace roomloom
