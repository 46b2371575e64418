#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/vec.h"

namespace roomloom {

struct UnpackedMesh {
  std::vector<Vec3> points;            ///< in the unit of the file
  std::vector<std::uint32_t> indices;  ///< into points, three a triangle
};

/// A mesh packed by Draco, as glTF's KHR_draco_mesh_compression holds it.
/// @param position     the unique number of the attribute that holds the positions.
/// @param most_points  of a mesh that is believed, and as many corners of triangles.
/// @error `model.syntax` damaged, or no mesh with such an attribute · `model.too-large`
Result<UnpackedMesh> unpack_mesh(std::string_view bytes, std::uint32_t position,
                                 std::size_t most_points);

}  // namespace roomloom
