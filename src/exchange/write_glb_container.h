#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"

namespace roomloom {

/// The two chunks of a GLB; of a .gltf file only the JSON. glTF 2.0, section 4.4.
struct GlbContainer {
  std::string_view json;  ///< into the bytes it was opened from
  std::string binary;
  bool has_binary = false;
};

/// @error `write.original-syntax` a chunk that is cut off
Result<GlbContainer> glb_opened(std::string_view bytes, const std::filesystem::path& file);

/// A whole GLB; without a binary chunk if `binary` is empty.
std::string glb_bytes(std::string json, std::string binary);

/// RFC 4648, section 4.
std::string base64(std::string_view bytes);
/// Nothing if a character has no place in it; padding may be missing.
std::optional<std::string> from_base64(std::string_view text);

}  // namespace roomloom
