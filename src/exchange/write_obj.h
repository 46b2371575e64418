#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "exchange/write.h"
#include "exchange/write_frame.h"
#include "exchange/write_mesh.h"

namespace roomloom {

struct ObjFile {
  std::string text;       ///< of the .obj
  std::string materials;  ///< of its .mtl
};

/// The original's text, then ours: objects whose faces count back from the last vertex, so that
/// nothing before them matters.
/// @param library name of the .mtl file that ours name
ObjFile append_to_obj(std::string_view original, const FileFrame& frame,
                      const Annotation& annotation, const std::vector<DrawnItem>& drawings,
                      const std::string& library);

/// The scene's parts as objects, then ours.
ObjFile obj_of_our_own(const FileFrame& frame, const Annotation& annotation,
                       const std::vector<DrawnItem>& drawings, const Scene& scene,
                       const std::string& library, const std::string& generator);

/// The files that `mtllib` lines name, each line taken as one name as it stands.
std::vector<std::string> obj_libraries(std::string_view original);

}  // namespace roomloom
