#pragma once

#include <string>

#include "types/scene.h"

namespace roomloom {

/// A GLB (glTF 2.0) of the scene: a node a part, with its extras, under its group's node. Metres,
/// Y up: room (x, y, z) is glTF (x, z, -y). Materials are named after the role of their parts.
/// Corners that parts' faces share stay shared and there are no normals, so viewers shade flat.
std::string glb_of(const Scene& scene);

}  // namespace roomloom
