#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "exchange/write.h"
#include "exchange/write_frame.h"
#include "exchange/write_mesh.h"

namespace roomloom {

/// Bytes of a GLB file and what is to be said of it.
struct GlbFile {
  std::string bytes;
  std::vector<std::string> notes;
};

/// The original GLB or glTF with our nodes as one more root of its scene. Its JSON keeps every
/// byte but the places that must grow; our bytes follow its own in the binary chunk. What it
/// refers to by file name is put into the file, since the new one may lie in another folder.
/// @error `write.original-syntax`
Result<GlbFile> append_to_gltf(std::string_view original, const std::filesystem::path& file,
                               const FileFrame& frame, const Annotation& annotation,
                               const std::vector<DrawnItem>& drawings);

/// A file with the additions, after the scene's parts if `scene` is given.
GlbFile glb_of_our_own(const FileFrame& frame, const Annotation& annotation,
                       const std::vector<DrawnItem>& drawings, const Scene* scene,
                       const std::string& generator);

/// The names of other files that a glTF or GLB refers to, without data URIs; decoded.
std::vector<std::string> gltf_references(std::string_view original);

}  // namespace roomloom
