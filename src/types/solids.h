#pragma once

#include <map>
#include <string>
#include <vector>

#include "base/vec.h"
#include "types/scene.h"

namespace roomloom {

/// A planar face of a solid. Room frame, metres. Rings are closed implicitly.
struct SolidFace {
  std::vector<Vec3> outline;             ///< counter-clockwise as seen from outside the solid
  std::vector<std::vector<Vec3>> holes;  ///< clockwise as seen from outside
};

/// A named object with planar faces, or a line, or a point, before it is written to any format.
struct SolidPart {
  std::string name;
  std::string group;  ///< "Walls": the node under the model's root that holds it; empty: the root
  std::string layer;
  Colour colour;
  std::map<std::string, std::string> extras;  ///< as glTF node extras; "is" is the role's word
  PartKind kind = PartKind::mesh;
  /// mesh: closed and oriented; every edge is used twice, in opposite directions. A cavity is a
  /// second closed set of faces that look into it.
  std::vector<SolidFace> faces;
  std::vector<Vec3> points;  ///< curve: two or more; marker: one
};

/// A model made of solids: what `roomloom sketch` builds.
struct Solids {
  std::string name;
  std::vector<SolidPart> parts;
  std::vector<Note> notes;
};

}  // namespace roomloom
