#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/vec.h"
#include "types/scene.h"

namespace roomloom {

/// The elements of an OBJ file that stand under one `o` and `g` name, wherever in the file.
struct ObjPart {
  std::string object;                     ///< the whole rest of the `o` line, spaces included
  std::string group;                      ///< likewise of `g`
  std::string material;                   ///< the first one used
  std::size_t line = 0;                   ///< of its first element, from 1
  int materials = 0;                      ///< how many different ones are used
  std::vector<std::uint32_t> corners;     ///< of all faces, indices into ObjText::points
  std::vector<std::uint32_t> face_sizes;  ///< corners of each face, 3 or more
  std::vector<std::vector<std::uint32_t>> lines;
  std::vector<std::uint32_t> dots;
};

struct ObjText {
  std::vector<Vec3> points;  ///< the file's own unit and axes
  std::vector<ObjPart> parts;
  std::vector<std::string> material_libraries;
  std::vector<Note> notes;
};

/// Reads an OBJ file's text: points, faces, lines, dots and names; negative indices, continued
/// lines, any line ends. Texture coordinates and normals are passed over, free-form curves and
/// surfaces are counted in a Note. Where a file has no names at all, its materials make the parts.
/// @error `model.syntax` naming the line: not a finite number, an index out of range, a face with
/// more
///        than 5,000 corners (cutting it into triangles takes time by the square) ·
///        `model.unsupported` UTF-16.
Result<ObjText> read_obj_text(std::string_view text, const std::string& file);

}  // namespace roomloom
