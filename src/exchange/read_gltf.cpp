#include "exchange/read_gltf.h"

#include <bit>
#include <cmath>

#include "assimp/read_meshes.h"
#include "exchange/read_gltf_document.h"
#include "exchange/read_text.h"

namespace roomloom {
namespace {

constexpr std::size_t kMostTriangles = 20'000'000;
/// More than this many points under one node are a point cloud, not markers.
constexpr std::size_t kMostMarkers = 1000;

bool draws_triangles(const GltfPrimitive& primitive) {
  return primitive.mode >= GltfMode::triangles && primitive.indices.size() >= 3;
}

void append_word(std::string& bytes, std::uint32_t word) {
  for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>(word >> shift));
}

void append_padded(std::string& bytes, std::string_view chunk, char filler) {
  bytes += chunk;
  while (bytes.size() % 4 != 0) bytes.push_back(filler);
}

/// Collects the lists of a small glTF document as text.
struct GlbText {
  std::string nodes, roots, meshes, accessors, views, binary;
  std::size_t count = 0;

  static void append(std::string& list, const std::string& entry) {
    list += (list.empty() ? "" : ",") + entry;
  }

  void add_data(std::size_t offset, std::size_t elements, const std::string& type, int component) {
    append(views, R"({"buffer":0,"byteOffset":)" + std::to_string(offset) + R"(,"byteLength":)" +
                      std::to_string(binary.size() - offset) + "}");
    append(accessors, R"({"bufferView":)" + std::to_string(views_count++) + R"(,"componentType":)" +
                          std::to_string(component) + R"(,"count":)" + std::to_string(elements) +
                          R"(,"type":")" + type + "\"}");
  }

  void add(const GltfPrimitive& primitive) {
    const std::string number = std::to_string(count++);
    std::size_t offset = binary.size();
    for (const Vec3& p : primitive.points)
      for (int axis = 0; axis < 3; ++axis)
        append_word(binary, std::bit_cast<std::uint32_t>(static_cast<float>(p[axis])));
    add_data(offset, primitive.points.size(), "VEC3", 5126);
    offset = binary.size();
    for (const std::uint32_t index : primitive.indices) append_word(binary, index);
    add_data(offset, primitive.indices.size(), "SCALAR", 5125);
    append(meshes, R"({"primitives":[{"attributes":{"POSITION":)" +
                       std::to_string(views_count - 2) + R"(},"indices":)" +
                       std::to_string(views_count - 1) + R"(,"mode":)" +
                       std::to_string(static_cast<int>(primitive.mode)) + "}]}");
    append(nodes, R"({"name":")" + number + R"(","mesh":)" + number + "}");
    append(roots, number);
  }

  std::string glb() const {
    std::string json = R"({"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[)" + roots +
                       R"(]}],"nodes":[)" + nodes + R"(],"meshes":[)" + meshes +
                       R"(],"accessors":[)" + accessors + R"(],"bufferViews":[)" + views +
                       R"(],"buffers":[{"byteLength":)" + std::to_string(binary.size()) + "}]}";
    while (json.size() % 4 != 0) json.push_back(' ');
    std::string file = "glTF";
    append_word(file, 2);
    append_word(file, static_cast<std::uint32_t>(28 + json.size() + binary.size()));
    append_word(file, static_cast<std::uint32_t>(json.size()));
    append_word(file, 0x4E4F534A);
    file += json;
    append_word(file, static_cast<std::uint32_t>(binary.size()));
    append_word(file, 0x004E4942);
    append_padded(file, binary, '\0');
    return file;
  }

  std::size_t views_count = 0;
};

/// The triangles of each primitive that draws some, by mesh and primitive; through Assimp.
Result<std::vector<std::vector<MeshTriangles>>> read_triangles(const GltfDocument& document,
                                                               const std::string& file) {
  GlbText text;
  for (const GltfMesh& mesh : document.meshes)
    for (const GltfPrimitive& primitive : mesh.primitives)
      if (draws_triangles(primitive)) text.add(primitive);
  std::vector<MeshTriangles> read;
  if (text.count > 0) {
    Result<std::vector<MeshTriangles>> meshes =
        read_meshes(text.glb(), MeshFile::glb, text.count, file);
    if (!meshes) return meshes.error();
    read = std::move(*meshes);
  }
  std::vector<std::vector<MeshTriangles>> by_mesh;
  std::size_t next = 0;
  for (const GltfMesh& mesh : document.meshes) {
    by_mesh.emplace_back(mesh.primitives.size());
    for (std::size_t k = 0; k < mesh.primitives.size(); ++k)
      if (draws_triangles(mesh.primitives[k])) by_mesh.back()[k] = std::move(read[next++]);
  }
  return by_mesh;
}

std::size_t expected_triangles(const GltfPrimitive& primitive) {
  const std::size_t corners = primitive.indices.size();
  return primitive.mode == GltfMode::triangles ? corners / 3 : corners - 2;
}

class SceneMaker {
 public:
  SceneMaker(const GltfDocument& document, const std::vector<std::vector<MeshTriangles>>& triangles)
      : document_(document), triangles_(triangles) {
    scene_.notes = document.notes;
  }

  Result<Scene> make(const std::string& file) {
    for (const int root : document_.roots) add_node(root, -1, "", Transform{});
    if (!too_large_) return std::move(scene_);
    return Error{"model.too-large",
                 "With all its instances the model has more than " +
                     with_separators(kMostTriangles) + " triangles.",
                 file, "Give a simpler model."};
  }

 private:
  const GltfNode& node_at(int index) const {
    return document_.nodes[static_cast<std::size_t>(index)];
  }

  // Recursion is safe: read_gltf_document bounds the depth.
  void add_node(int index, int group, const std::string& path, const Transform& parent) {
    const GltfNode& node = node_at(index);
    const Transform world = parent * node.local;
    Part part = part_of(node, index, path, world);
    if (!node.children.empty()) {
      scene_.groups.push_back({part.name, group});
      group = static_cast<int>(scene_.groups.size()) - 1;
    }
    part.parent = group;
    if (!node.instances.empty() && node.mesh >= 0) {
      add_instances(node, part);
    } else if (node.mesh >= 0) {
      add_mesh(node.mesh, part);
    } else if (node.children.empty() && !node.is_joint) {
      add_marker(part);
    }
    for (const int child : node.children) add_node(child, group, part.path, world);
  }

  Part part_of(const GltfNode& node, int index, const std::string& path, const Transform& world) {
    Part part;
    part.name = node.name;
    part.extras = node.extras;
    part.transform = world;
    part.native_reference = "nodes/" + std::to_string(index);
    if (node.mesh >= 0) {
      const GltfMesh& mesh = document_.meshes[static_cast<std::size_t>(node.mesh)];
      if (part.name.empty()) part.name = mesh.name;
      part.extras.insert(mesh.extras.begin(), mesh.extras.end());
    }
    part.path = path.empty() ? part.name : path + "/" + part.name;
    return part;
  }

  void begin(Part& part) const {
    part.first_point = static_cast<std::uint32_t>(scene_.points.size());
    part.first_triangle = static_cast<std::uint32_t>(scene_.triangles.size());
  }

  void add_marker(Part part) {
    begin(part);
    part.kind = PartKind::marker;
    part.point_count = 1;
    scene_.points.push_back(part.transform.apply({}));
    scene_.parts.push_back(std::move(part));
  }

  void set_material(Part& part, const GltfPrimitive& primitive) const {
    if (primitive.material < 0 || part.colour) return;
    const GltfMaterial& material =
        document_.materials[static_cast<std::size_t>(primitive.material)];
    part.material = material.name;
    part.colour = material.colour;
  }

  void add_mesh(int mesh_index, const Part& part) {
    const GltfMesh& mesh = document_.meshes[static_cast<std::size_t>(mesh_index)];
    const auto& read = triangles_[static_cast<std::size_t>(mesh_index)];
    Part body = part;
    begin(body);
    for (std::size_t k = 0; k < mesh.primitives.size() && !too_large_; ++k)
      if (draws_triangles(mesh.primitives[k])) add_triangles(mesh.primitives[k], read[k], body);
    body.point_count = static_cast<std::uint32_t>(scene_.points.size()) - body.first_point;
    body.triangle_count = static_cast<std::uint32_t>(scene_.triangles.size()) - body.first_triangle;
    if (body.triangle_count > 0) scene_.parts.push_back(std::move(body));
    for (const GltfPrimitive& primitive : mesh.primitives) {
      if (primitive.mode == GltfMode::points) add_dots(primitive, part);
      if (primitive.mode > GltfMode::points && primitive.mode < GltfMode::triangles)
        add_lines(primitive, part);
    }
  }

  /// Each a part of its own, numbered from 1.
  void add_instances(const GltfNode& node, const Part& all) {
    for (std::size_t i = 0; i < node.instances.size() && !too_large_; ++i) {
      Part one = all;
      one.name += " " + std::to_string(i + 1);
      one.path += " " + std::to_string(i + 1);
      one.transform = all.transform * node.instances[i];
      add_mesh(node.mesh, one);
    }
  }

  void add_triangles(const GltfPrimitive& primitive, const MeshTriangles& read, Part& part) {
    set_material(part, primitive);
    if (scene_.triangles.size() + read.triangles.size() > kMostTriangles) {
      too_large_ = true;
      return;
    }
    const bool mirrored = part.transform.determinant() < 0;
    const auto first = static_cast<std::uint32_t>(scene_.points.size());
    for (const Vec3& p : primitive.points) scene_.points.push_back(part.transform.apply(p));
    std::size_t taken = 0;
    for (auto triangle : read.triangles) {
      if (triangle[0] >= primitive.points.size() || triangle[1] >= primitive.points.size() ||
          triangle[2] >= primitive.points.size())
        continue;
      if (mirrored) std::swap(triangle[1], triangle[2]);
      scene_.triangles.push_back({first + triangle[0], first + triangle[1], first + triangle[2]});
      scene_.face.push_back(-1);
      ++taken;
    }
    if (taken < expected_triangles(primitive))
      scene_.notes.push_back({"reader.lost-triangles",
                              with_separators(expected_triangles(primitive)) +
                                  " triangles were expected, " + with_separators(taken) +
                                  " came through.",
                              part.path});
  }

  void add_dots(const GltfPrimitive& primitive, const Part& part) {
    if (primitive.indices.size() > kMostMarkers) {
      scene_.notes.push_back({"reader.point-cloud",
                              with_separators(primitive.indices.size()) +
                                  " loose points are taken for a point cloud and left out.",
                              part.path});
      return;
    }
    for (const std::uint32_t index : primitive.indices) {
      Part marker = part;
      set_material(marker, primitive);
      marker.transform.m[3] = marker.transform.m[7] = marker.transform.m[11] = 0;
      const Vec3 at = part.transform.apply(primitive.points[index]);
      marker.transform.m[3] = at.x, marker.transform.m[7] = at.y, marker.transform.m[11] = at.z;
      add_marker(marker);
    }
  }

  void add_lines(const GltfPrimitive& primitive, const Part& part) {
    const std::vector<std::uint32_t>& indices = primitive.indices;
    if (indices.size() < 2) return;
    if (primitive.mode != GltfMode::lines) {
      std::vector<std::uint32_t> line = indices;
      if (primitive.mode == GltfMode::line_loop) line.push_back(line.front());
      add_curve(primitive, line, part);
      return;
    }
    // Segments that continue where the last one ended make one curve.
    std::vector<std::uint32_t> line;
    for (std::size_t i = 0; i + 1 < indices.size(); i += 2) {
      if (!line.empty() && primitive.points[line.back()] != primitive.points[indices[i]]) {
        add_curve(primitive, line, part);
        line.clear();
      }
      if (line.empty()) line.push_back(indices[i]);
      line.push_back(indices[i + 1]);
    }
    add_curve(primitive, line, part);
  }

  void add_curve(const GltfPrimitive& primitive, const std::vector<std::uint32_t>& line,
                 Part part) {
    set_material(part, primitive);
    begin(part);
    part.kind = PartKind::curve;
    part.point_count = static_cast<std::uint32_t>(line.size());
    for (const std::uint32_t index : line)
      scene_.points.push_back(part.transform.apply(primitive.points[index]));
    scene_.parts.push_back(std::move(part));
  }

  const GltfDocument& document_;
  const std::vector<std::vector<MeshTriangles>>& triangles_;
  bool too_large_ = false;
  Scene scene_;
};

}  // namespace

Result<Scene> read_gltf(std::string_view bytes, const std::string& file,
                        const ReferenceFolder& references) {
  const Result<GltfDocument> document = read_gltf_document(bytes, file, references);
  if (!document) return document.error();
  const auto triangles = read_triangles(*document, file);
  if (!triangles) return triangles.error();
  Result<Scene> scene = SceneMaker(*document, *triangles).make(file);
  if (!scene) return scene;
  scene->source.format = bytes.starts_with("glTF") ? ModelFormat::glb : ModelFormat::gltf;
  return scene;
}

}  // namespace roomloom
