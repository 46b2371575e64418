#pragma once

#include <string>

#include "base/result.h"
#include "types/scene.h"

namespace roomloom {

/// Puts a scene into the room frame: applies `to_room` to points and to the parts' places, and
/// turns triangles round if it mirrors.
void place_in_room(Scene& scene, const Transform& to_room);

/// Makes a scene as its users expect it: within each part equal points are one, triangles without
/// area and repeated ones are gone, closure is judged, names are UTF-8. What was dropped is told in
/// notes.
///
/// Triangles that lie back to back stay: they are the skin of something thin.
/// @error `model.too-large` a point farther than 10,000 km from the origin · `model.empty` no part
/// left.
Status clean(Scene& scene, const std::string& file);

}  // namespace roomloom
