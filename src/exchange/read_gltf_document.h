#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/vec.h"
#include "exchange/read_references.h"
#include "types/scene.h"

namespace roomloom {

/// What a glTF primitive draws; the values are the format's own.
enum class GltfMode : int {
  points = 0,
  lines = 1,
  line_loop = 2,
  line_strip = 3,
  triangles = 4,
  triangle_strip = 5,
  triangle_fan = 6
};

struct GltfPrimitive {
  GltfMode mode = GltfMode::triangles;
  std::vector<Vec3> points;            ///< metres, the mesh's own frame
  std::vector<std::uint32_t> indices;  ///< into points; spelt out even where the file has none
  int material = -1;
};

struct GltfMesh {
  std::string name;
  std::vector<GltfPrimitive> primitives;
  std::map<std::string, std::string> extras;
};

struct GltfMaterial {
  std::string name;
  Colour colour;
};

struct GltfNode {
  std::string name;
  std::vector<int> children;
  int mesh = -1;
  Transform local;                            ///< node to its parent
  std::vector<Transform> instances;           ///< mesh to node, where it stands many times
  std::map<std::string, std::string> extras;  ///< nested keys joined by '.'; lists as JSON text
  bool is_joint = false;                      ///< a bone of a skin, not a place in the room
};

/// The geometry of a glTF 2.0 file, checked: every index in range, every number finite, the nodes a
/// forest at most 500 deep. Animations, skins, textures, cameras and lights are passed over.
struct GltfDocument {
  std::vector<GltfNode> nodes;
  std::vector<GltfMesh> meshes;
  std::vector<GltfMaterial> materials;
  std::vector<int> roots;  ///< of the scene to show
  std::vector<Note> notes;
};

/// Reads a .gltf or .glb file (told apart by their first bytes) and the buffers it refers to.
/// Source: Khronos, glTF 2.0 specification.
/// @error `model.syntax` naming the JSON pointer or the byte · `model.unsupported` glTF 1.0, or
///        compressed meshes · `model.too-large` claims more than 50 million points or the like ·
///        `model.outside-reference` · `model.missing-reference`
Result<GltfDocument> read_gltf_document(std::string_view bytes, const std::string& file,
                                        const ReferenceFolder& references);

}  // namespace roomloom
