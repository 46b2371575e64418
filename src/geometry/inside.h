#pragma once

#include "geometry/triangles.h"

namespace roomloom {

/// Whether a point lies in a closed body: whether an odd number of its faces is above. The line up
/// leans a little, so that it meets no edge of faces that stand square in the room.
/// @param top_z  of the body, metres
bool is_inside(const TriangleTree& body, const Vec3& p, double top_z);

}  // namespace roomloom
