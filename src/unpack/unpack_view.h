#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace roomloom {

/// What a packed buffer view holds; the words are EXT_meshopt_compression's own.
enum class PackedMode { attributes, triangles, indices };
enum class PackedFilter { none, octahedral, quaternion, exponential };

struct PackedView {
  std::string_view bytes;
  std::size_t count = 0;   ///< elements
  std::size_t stride = 0;  ///< bytes an element
  PackedMode mode = PackedMode::attributes;
  PackedFilter filter = PackedFilter::none;
};

/// The `count` times `stride` bytes of a view packed as in glTF's EXT_meshopt_compression.
/// @return  nothing where the bytes are damaged, are too few for what is claimed, or where mode,
///          stride and filter do not go together.
std::optional<std::string> unpack_view(const PackedView& view);

}  // namespace roomloom
