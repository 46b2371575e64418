#pragma once

#include <string>

#include "types/scene.h"

namespace roomloom {

struct ObjTexts {
  std::string obj;
  std::string mtl;
};

/// Wavefront OBJ with a material library: an object ("o") a part, triangles; a line ("l") a curve;
/// a point ("p") a marker. Metres to the micrometre, Z up as in the room frame: OBJ itself knows
/// neither unit nor up axis, so a comment at the head says both. Extras and groups have no place
/// in the format.
/// @param mtl_name  of the material library, as the OBJ names it.
ObjTexts obj_of(const Scene& scene, const std::string& mtl_name);

}  // namespace roomloom
