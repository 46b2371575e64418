#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/read_references.h"
#include "types/scene.h"

namespace roomloom {

/// Reads a glTF 2.0 or GLB file. Its document is checked by read_gltf_document, its meshes are read
/// by Assimp, nodes are placed in double precision.
///
/// One Part a node with a mesh (its triangles of all materials; the first one's colour); line
/// primitives become curves, loose points and empty nodes markers. A node with children is a Group.
/// Instances of a mesh are Parts of their own; a mirroring node has its triangles turned round.
///
/// @return  points in metres, Y up; triangles not yet cleaned.
/// @error   as read_gltf_document and read_meshes; `model.too-large` above 20 million triangles
/// once
///          all instances are placed.
Result<Scene> read_gltf(std::string_view bytes, const std::string& file,
                        const ReferenceFolder& references);

}  // namespace roomloom
