#include "exchange/read_gltf_document.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "exchange/read_gltf_accessors.h"
#include "exchange/read_gltf_container.h"
#include "exchange/read_gltf_places.h"
#include "exchange/read_text.h"
#include "unpack/unpack_mesh.h"

namespace roomloom {
namespace {

using gltf::Fault;
using gltf::Json;

constexpr int kDeepestNodes = 500;
constexpr std::size_t kMostInstances = 100'000;
const char* const kInstancing = "/extensions/EXT_mesh_gpu_instancing";

/// Nested objects become keys joined by '.'; lists stay JSON text.
void flatten(const Json& value, const std::string& key, std::map<std::string, std::string>& out) {
  if (value.is_object()) {
    for (const auto& [name, inner] : value.items())
      flatten(inner, key.empty() ? name : key + "." + name, out);
  } else if (key.empty() || value.is_null()) {
    return;
  } else if (value.is_string()) {
    out[key] = value.get<std::string>();
  } else {
    out[key] = value.dump(-1, ' ', false, Json::error_handler_t::replace);
  }
}

std::map<std::string, std::string> extras_of(const Json& object) {
  std::map<std::string, std::string> extras;
  if (const auto found = object.find("extras"); found != object.end()) flatten(*found, "", extras);
  return extras;
}

std::vector<int> indices_at(const Json& object, const std::string& key, std::size_t size,
                            const std::string& pointer) {
  std::vector<int> out;
  for (const Json& entry : gltf::list_at(object, key, pointer)) {
    const bool in_range = entry.is_number_unsigned() && entry.get<std::uint64_t>() < size;
    if (!in_range)
      throw Fault{pointer + "/" + key,
                  "names one that is not there (there are " + with_separators(size) + ")"};
    out.push_back(entry.get<int>());
  }
  return out;
}

const Json& object_in(const Json& list, std::size_t index, const std::string& pointer) {
  if (!list[index].is_object()) throw Fault{pointer, "is not an object"};
  return list[index];
}

class DocumentReader {
 public:
  DocumentReader(const Json& root, std::string_view chunk, const ReferenceFolder& references)
      : root_(root), accessors_(root, chunk, references) {}

  GltfDocument read() {
    check_asset();
    check_extensions();
    read_materials();
    read_nodes();
    read_meshes();
    read_joints();
    choose_scene();
    check_forest();
    return std::move(out_);
  }

 private:
  void check_asset() const {
    const auto asset = root_.find("asset");
    if (asset == root_.end() || !asset->is_object()) throw Fault{"/asset", "is missing"};
    const std::string version = gltf::text_at(*asset, "version");
    if (version.empty()) throw Fault{"/asset/version", "is missing"};
    if (!version.starts_with("2."))
      throw Fault{"/asset/version", "is " + version.substr(0, 20) + "; 2.0 can be read",
                  "model.unsupported"};
  }

  void check_extensions() {
    static const std::set<std::string> kReadOrNoMatter = {
        "KHR_mesh_quantization",      "EXT_texture_webp",       "KHR_texture_transform",
        "KHR_texture_basisu",         "KHR_lights_punctual",    "EXT_mesh_gpu_instancing",
        "KHR_draco_mesh_compression", "EXT_meshopt_compression"};
    for (const Json& entry : gltf::list_at(root_, "extensionsRequired", "")) {
      const std::string name = entry.is_string() ? entry.get<std::string>() : "";
      if (!kReadOrNoMatter.count(name) && !name.starts_with("KHR_materials_"))
        note("reader.unknown-extension",
             "The file requires the extension " + name.substr(0, 60) + ", which is not known.");
    }
  }

  void read_materials() {
    const Json& list = gltf::list_at(root_, "materials", "");
    for (std::size_t i = 0; i < list.size(); ++i) {
      GltfMaterial material;
      const std::string pointer = "/materials/" + std::to_string(i);
      const Json& source = object_in(list, i, pointer);
      material.name = gltf::text_at(source, "name");
      material.colour = {1, 1, 1, 1};
      const auto metal = source.find("pbrMetallicRoughness");
      if (metal != source.end() && metal->is_object()) {
        const auto rgba = gltf::numbers_at(*metal, "baseColorFactor", 4, pointer);
        const auto unit = [&](std::size_t k) {
          return static_cast<float>(std::clamp(rgba[k], 0.0, 1.0));
        };
        if (!rgba.empty()) material.colour = {unit(0), unit(1), unit(2), unit(3)};
      }
      out_.materials.push_back(std::move(material));
    }
  }

  void read_nodes() {
    const Json& list = gltf::list_at(root_, "nodes", "");
    const std::size_t meshes = gltf::list_at(root_, "meshes", "").size();
    bool skinned = false;
    std::size_t instances = 0;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::string pointer = "/nodes/" + std::to_string(i);
      const Json& source = object_in(list, i, pointer);
      GltfNode node;
      node.name = gltf::text_at(source, "name");
      node.children = indices_at(source, "children", list.size(), pointer);
      node.mesh = gltf::index_at(source, "mesh", meshes, pointer);
      node.local = gltf::local_of(source, pointer);
      if (const Json* many = gltf::extension_of(source, "EXT_mesh_gpu_instancing")) {
        node.instances = gltf::instances_of(*many, accessors_, pointer + kInstancing);
        if ((instances += node.instances.size()) > kMostInstances)
          throw Fault{pointer,
                      "brings the model past " + with_separators(kMostInstances) + " instances",
                      "model.too-large"};
      }
      node.extras = extras_of(source);
      skinned = skinned || source.contains("skin");
      out_.nodes.push_back(std::move(node));
    }
    if (skinned) note("reader.skin", "Skinned meshes are taken in the pose of their node.");
  }

  void read_meshes() {
    const Json& list = gltf::list_at(root_, "meshes", "");
    std::vector<bool> used(list.size());
    for (const GltfNode& node : out_.nodes)
      if (node.mesh >= 0) used[static_cast<std::size_t>(node.mesh)] = true;
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::string pointer = "/meshes/" + std::to_string(i);
      const Json& source = object_in(list, i, pointer);
      GltfMesh mesh;
      mesh.name = gltf::text_at(source, "name");
      mesh.extras = extras_of(source);
      const Json& primitives = gltf::list_at(source, "primitives", pointer);
      for (std::size_t k = 0; used[i] && k < primitives.size(); ++k)
        read_primitive(primitives, k, pointer + "/primitives/" + std::to_string(k), mesh);
      out_.meshes.push_back(std::move(mesh));
    }
  }

  void read_primitive(const Json& list, std::size_t index, const std::string& pointer,
                      GltfMesh& mesh) {
    const Json& source = object_in(list, index, pointer);
    GltfPrimitive primitive;
    const std::uint64_t mode = gltf::count_at(source, "mode", 4, pointer);
    if (mode > 6) throw Fault{pointer + "/mode", "is not one of the format's modes"};
    primitive.mode = static_cast<GltfMode>(mode);
    primitive.material = gltf::index_at(source, "material", out_.materials.size(), pointer);
    const auto attributes = source.find("attributes");
    if (attributes == source.end() || !attributes->is_object())
      throw Fault{pointer + "/attributes", "is missing"};
    const int position =
        gltf::index_at(*attributes, "POSITION", accessors_.size(), pointer + "/attributes");
    if (position < 0) {
      note("reader.no-positions", pointer + " has no positions and is left out.");
      return;
    }
    const int indices = gltf::index_at(source, "indices", accessors_.size(), pointer);
    // Where compression is not required, the same mesh stands beside it as plain numbers.
    const bool plain =
        accessors_.has_bytes(position) && (indices < 0 || accessors_.has_bytes(indices));
    const Json* packed = gltf::extension_of(source, "KHR_draco_mesh_compression");
    if (!plain && packed != nullptr) {
      unpack(*packed, indices, pointer + "/extensions/KHR_draco_mesh_compression", primitive);
      mesh.primitives.push_back(std::move(primitive));
      return;
    }
    primitive.points = accessors_.vectors(position);
    if (indices >= 0) {
      primitive.indices = accessors_.indices(indices, primitive.points.size());
    } else {
      for (std::uint32_t i = 0; i < primitive.points.size(); ++i) primitive.indices.push_back(i);
    }
    mesh.primitives.push_back(std::move(primitive));
  }

  /// The points and triangles of a mesh that Draco packed.
  void unpack(const Json& packed, int indices, const std::string& pointer,
              GltfPrimitive& primitive) {
    const auto attributes = packed.find("attributes");
    if (attributes == packed.end() || !attributes->is_object())
      throw Fault{pointer + "/attributes", "is missing"};
    const std::uint64_t position =
        gltf::count_at(*attributes, "POSITION", gltf::kMostPoints, pointer + "/attributes");
    const std::string_view bytes =
        accessors_.view(gltf::count_at(packed, "bufferView", gltf::kMostPoints, pointer), pointer);
    Result<UnpackedMesh> mesh = unpack_mesh(
        bytes, static_cast<std::uint32_t>(std::min<std::uint64_t>(position, gltf::kMostPoints)),
        gltf::kMostPoints);
    if (!mesh) throw Fault{pointer, mesh.error().what, mesh.error().code};
    accessors_.claim(mesh->points.size() + mesh->indices.size(), pointer);
    for (const Vec3& point : mesh->points)
      if (!is_finite(point)) throw Fault{pointer, "holds a point that is not finite"};
    const std::size_t declared = indices < 0 ? mesh->indices.size() : accessors_.count(indices);
    if (primitive.mode == GltfMode::triangles && declared > mesh->indices.size())
      note("reader.lost-triangles", with_separators(declared / 3) + " triangles were expected, " +
                                        with_separators(mesh->indices.size() / 3) +
                                        " came through.");
    primitive.mode = GltfMode::triangles;
    primitive.points = std::move(mesh->points);
    primitive.indices = std::move(mesh->indices);
  }

  void read_joints() {
    const Json& list = gltf::list_at(root_, "skins", "");
    for (std::size_t i = 0; i < list.size(); ++i) {
      const std::string pointer = "/skins/" + std::to_string(i);
      for (const int joint :
           indices_at(object_in(list, i, pointer), "joints", out_.nodes.size(), pointer))
        out_.nodes[static_cast<std::size_t>(joint)].is_joint = true;
    }
  }

  void choose_scene() {
    const Json& list = gltf::list_at(root_, "scenes", "");
    if (list.empty()) {
      std::vector<bool> has_parent(out_.nodes.size());
      for (const GltfNode& node : out_.nodes)
        for (const int child : node.children) has_parent[static_cast<std::size_t>(child)] = true;
      for (std::size_t i = 0; i < out_.nodes.size(); ++i)
        if (!has_parent[i]) out_.roots.push_back(static_cast<int>(i));
      return;
    }
    const int chosen = std::max(0, gltf::index_at(root_, "scene", list.size(), ""));
    const std::string pointer = "/scenes/" + std::to_string(chosen);
    out_.roots = indices_at(object_in(list, static_cast<std::size_t>(chosen), pointer), "nodes",
                            out_.nodes.size(), pointer);
    if (list.size() > 1)
      note("reader.other-scenes", "The file holds " + std::to_string(list.size()) +
                                      " scenes; number " + std::to_string(chosen) + " is read.");
  }

  /// Every node hangs at most once, and not deeper than can be walked.
  void check_forest() {
    std::vector<bool> seen(out_.nodes.size());
    std::vector<std::pair<int, int>> stack;  // node, depth
    std::size_t reached = 0;
    for (const int root : out_.roots) stack.emplace_back(root, 1);
    while (!stack.empty()) {
      const auto [index, depth] = stack.back();
      stack.pop_back();
      const std::string pointer = "/nodes/" + std::to_string(index);
      if (seen[static_cast<std::size_t>(index)])
        throw Fault{pointer, "hangs in two places or in itself"};
      if (depth > kDeepestNodes) throw Fault{pointer, "is nested too deeply"};
      seen[static_cast<std::size_t>(index)] = true;
      ++reached;
      for (const int child : out_.nodes[static_cast<std::size_t>(index)].children)
        stack.emplace_back(child, depth + 1);
    }
    if (reached < out_.nodes.size())
      note("reader.nodes-outside-scene", with_separators(out_.nodes.size() - reached) +
                                             " nodes are not part of the scene and are left out.");
  }

  void note(const std::string& code, const std::string& text) {
    out_.notes.push_back({code, text, ""});
  }

  const Json& root_;
  gltf::Accessors accessors_;
  GltfDocument out_;
};

Error to_error(const Fault& fault, const std::string& file) {
  std::string remedy = "Export the model again.";
  if (fault.code == "model.unsupported") remedy = "Export it as glTF 2.0.";
  if (fault.code == "model.too-large") remedy = "Give a simpler model.";
  if (fault.code == "model.missing-reference") remedy = "Put the missing file beside the model.";
  const std::string subject = fault.pointer.empty() ? "" : fault.pointer + " ";
  return {fault.code, "The glTF file cannot be read: " + subject + fault.what + ".", file, remedy};
}

}  // namespace

Result<GltfDocument> read_gltf_document(std::string_view bytes, const std::string& file,
                                        const ReferenceFolder& references) {
  try {
    const gltf::Container container = gltf::opened(bytes);
    std::string repaired;
    std::string_view text = container.json;
    const bool is_valid = is_utf8(text);
    if (!is_valid) text = repaired = repaired_utf8(text);
    const Json root = gltf::parsed(text);
    GltfDocument document = DocumentReader(root, container.chunk, references).read();
    if (!is_valid)
      document.notes.push_back(
          {"reader.not-utf8", "The file holds text that is not UTF-8; it was replaced.", ""});
    return document;
  } catch (const Fault& fault) {
    return to_error(fault, file);
  } catch (const Error& error) {
    return Error{error.code, error.what, file, error.remedy};
  } catch (const Json::exception& error) {
    return to_error({"", "its JSON does not have the expected form"}, file);
  }
}

}  // namespace roomloom
