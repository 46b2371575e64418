#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "types/solids.h"

namespace roomloom {

/// The corners of a face, outline first, then each hole.
std::vector<Vec3> face_corners(const SolidFace& face);

/// Cuts a planar face into triangles, counter-clockwise from outside; see geometry/triangulate.h.
/// @return indices into face_corners(face)
std::vector<std::array<std::uint32_t, 3>> triangulate(const SolidFace& face);

}  // namespace roomloom
