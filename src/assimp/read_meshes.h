#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace roomloom {

/// One mesh as Assimp reads it.
struct MeshTriangles {
  std::uint32_t point_count = 0;
  /// Indices of points in the order in which the file gives them: OBJ, the corners of its faces one
  /// after the other; GLB, the points of its position accessor.
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

enum class MeshFile { obj, glb };

/// Reads the meshes of an OBJ or GLB file in memory through Assimp: polygons are cut into triangles
/// by ear clipping, strips and fans are unrolled. No file is opened, whatever `bytes` refers to.
///
/// Only for files of our own making (see exchange/read_obj.h, read_gltf.h): Assimp crashes or runs
/// for ever on some damaged ones, cuts OBJ names at spaces and keeps coordinates in single
/// precision. So exchange first checks the user's file, then hands on just its faces, under numbers
/// for names.
///
/// @param bytes       its objects (OBJ `o`) or nodes (GLB) are named "0", "1", … `mesh_count - 1`.
/// @return  `mesh_count` meshes in that order; empty where Assimp found no triangle.
/// @error   `model.syntax` Assimp refused · `model.too-large` out of memory.
Result<std::vector<MeshTriangles>> read_meshes(std::string_view bytes, MeshFile format,
                                               std::size_t mesh_count, const std::string& file);

}  // namespace roomloom
