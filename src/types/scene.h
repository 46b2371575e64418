#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "base/vec.h"

namespace roomloom {

enum class ModelFormat { step, obj, gltf, glb };

/// Where a scene came from and how its numbers were turned into metres and Z up.
struct Source {
  std::string path;    ///< as the user gave it
  std::string sha256;  ///< of the file's bytes, hex
  ModelFormat format = ModelFormat::glb;
  double unit_m = 1;  ///< metres a file unit
  char up = 'z';      ///< the file's up axis: 'y' or 'z'
  double chord_error_m =
      0;  ///< largest distance of a tessellated curved face from its true surface
  /// File coordinates (its own unit and axes) to the room frame (metres, Z up). Its inverse puts
  /// our additions into the user's own frame.
  Transform to_room;
  std::string schema;  ///< STEP: the FILE_SCHEMA's name; otherwise empty
};

enum class PartKind { mesh, curve, marker };
/// oriented = closed and all triangles face outwards; closed = closed, orientation unknown; open.
enum class Closure { oriented, closed, open };

struct Colour {
  float r = 0.8F, g = 0.8F, b = 0.8F, a = 1;  ///< linear RGB, 0..1
  bool operator==(const Colour&) const = default;
};

/// A named object of the model.
struct Part {
  std::string name;      ///< UTF-8, as in the file; may be empty or shared by several parts
  std::string path;      ///< names from the root, joined by '/': what patterns may also match
  int parent = -1;       ///< index into Scene::groups; -1 = root
  std::string layer;     ///< STEP layer, or empty
  std::string material;  ///< glTF/OBJ material name, or empty
  std::optional<Colour> colour;
  std::map<std::string, std::string> extras;  ///< glTF node extras (nested keys joined by '.')
  PartKind kind = PartKind::mesh;
  Closure closure = Closure::open;
  Transform transform;  ///< node to room frame: already applied to points; kept for markers' axes
  std::uint32_t first_point = 0,
                point_count = 0;  ///< into Scene::points; a curve's polyline; a marker's one
  std::uint32_t first_triangle = 0, triangle_count = 0;  ///< into Scene::triangles
  std::string native_reference;  ///< "#123" in STEP, "nodes/4" in glTF, "line 12" in OBJ
};

/// A named node that holds parts (an assembly, a glTF node with children, an OBJ file).
struct Group {
  std::string name;
  int parent = -1;
};

/// Something the reader did or could not do: told to the user, never silent.
struct Note {
  std::string code;   ///< stable, e.g. "reader.degenerate-triangles"
  std::string text;   ///< one sentence with figures
  std::string where;  ///< part path or file
};

/// What a model file holds: parts with names, and meshes in metres, Z up, right-handed.
struct Scene {
  Source source;
  std::vector<Group> groups;
  std::vector<Part> parts;
  std::vector<Vec3> points;  ///< room frame, metres
  std::vector<std::array<std::uint32_t, 3>>
      triangles;  ///< indices into points; counter-clockwise from outside
  std::vector<std::int32_t>
      face;  ///< per triangle: the source face it tessellates (part-local), -1 unknown
  std::vector<Note> notes;
};

}  // namespace roomloom
