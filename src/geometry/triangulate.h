#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/polygon.h"

namespace roomloom {

/// Corners in order, as indices.
using CornerLoop = std::vector<std::uint32_t>;

/// Cuts a plane region into triangles, counter-clockwise like its outline, by clipping ears. Every
/// corner is used, also those in the middle of a straight side, so neighbouring faces still match.
/// @param loops  the outline, counter-clockwise, then each hole, clockwise: indices into `points`;
///               no two of them touch.
/// @return indices into `points`; n + 2 * holes - 2 triangles.
/// @cost about O(n^2), for up to some thousand corners.
std::vector<std::array<std::uint32_t, 3>> triangulate(const std::vector<Vec2>& points,
                                                      std::vector<CornerLoop> loops);

}  // namespace roomloom
