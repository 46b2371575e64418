#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/read_references.h"
#include "types/scene.h"

namespace roomloom {

/// Reads an OBJ file with its material libraries. Its text is read by read_obj_text, its polygons
/// are cut into triangles by Assimp; coordinates keep the precision of the text.
///
/// One Part for what stands under one `o` and `g` name, wherever in the file; each `l` polyline is
/// a curve, each `p` a marker, named like their part. A library that cannot be read or lies outside
/// the model's folder costs the colours and is told in a Note.
///
/// @return  points in the file's own unit and axes; triangles not yet cleaned.
/// @error   as read_obj_text and read_meshes.
Result<Scene> read_obj(std::string_view text, const std::string& file,
                       const ReferenceFolder& references);

}  // namespace roomloom
