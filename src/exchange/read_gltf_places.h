#pragma once

#include <string>
#include <vector>

#include "exchange/read_gltf_accessors.h"

// Only for read_gltf_*.cpp, as read_gltf_accessors.h.
namespace roomloom::gltf {

/// Where a node stands in its parent: its matrix, or translation, rotation and scale. Throws Fault.
Transform local_of(const Json& node, const std::string& pointer);

/// Where a node's mesh stands in the node, once for each instance.
/// Source: Khronos, EXT_mesh_gpu_instancing. Throws Fault.
std::vector<Transform> instances_of(const Json& instancing, Accessors& accessors,
                                    const std::string& pointer);

}  // namespace roomloom::gltf
