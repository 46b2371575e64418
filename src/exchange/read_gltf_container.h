#pragma once

#include <string_view>

#include "exchange/read_gltf_accessors.h"

// Only for read_gltf_*.cpp, as read_gltf_accessors.h.
namespace roomloom::gltf {

struct Container {
  std::string_view json;
  std::string_view chunk;  ///< GLB's binary buffer, or empty
};

/// The parts of a GLB, or a .gltf as it is. Throws Fault.
Container opened(std::string_view bytes);

/// The JSON as an object, not nested deeper than can be walked. Throws Fault, with line and column.
Json parsed(std::string_view text);

}  // namespace roomloom::gltf
