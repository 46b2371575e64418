#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "exchange/write.h"
#include "exchange/write_frame.h"
#include "exchange/write_mesh.h"

namespace roomloom {

/// Where the indices of new glTF elements start, and where their bytes go.
struct GltfStart {
  std::size_t nodes = 0, meshes = 0, materials = 0, accessors = 0, views = 0;
  std::size_t buffer = 0;  ///< the buffer that holds our bytes
  std::size_t offset = 0;  ///< of our first byte in it; divisible by four
};

/// A list of glTF elements as JSON text.
struct GltfElements {
  std::string text;  ///< joined by commas
  std::size_t count = 0;
  void add(const std::string& element) {
    if (count++ > 0) text += ',';
    text += element;
  }
};

/// Makes the nodes, meshes, materials, accessors and bytes of glTF additions.
class GltfBuilder {
 public:
  GltfBuilder(const GltfStart& start, const FileFrame& frame) : start_(start), frame_(frame) {}

  /// `Roomloom` with its groups and items, as the last root.
  void add_annotation(const Annotation& annotation, const std::vector<DrawnItem>& drawings);
  /// The parts of a scene in their groups, as a root named like the file.
  void add_scene(const Scene& scene, const std::string& name);

  const std::vector<std::size_t>& roots() const { return roots_; }
  const GltfElements& nodes() const { return nodes_; }
  const GltfElements& meshes() const { return meshes_; }
  const GltfElements& materials() const { return materials_; }
  const GltfElements& accessors() const { return accessors_; }
  const GltfElements& views() const { return views_; }
  const std::string& bytes() const { return bytes_; }
  std::size_t offset() const { return start_.offset; }
  std::size_t buffer() const { return start_.buffer; }

 private:
  using Triangles = std::vector<std::array<std::uint32_t, 3>>;

  std::size_t add_node(const std::string& name, const std::string& members);
  std::size_t add_root(const std::string& name, const std::vector<std::size_t>& children);
  std::size_t add_item(const AnnotationItem& item, const DrawnItem& drawing);
  std::size_t add_mesh(const std::string& name, const std::string& primitive);
  std::size_t add_part(const Scene& scene, const Part& part);
  std::string triangles_primitive(const std::vector<Vec3>& points, const std::vector<Vec3>& normals,
                                  const Triangles& triangles, std::size_t material);
  std::string line_primitive(const std::vector<Vec3>& points, std::size_t material);
  std::size_t material(const Colour& colour, bool both_sides);
  std::size_t add_positions(const std::vector<Vec3>& points);
  std::size_t add_normals(const std::vector<Vec3>& normals);
  std::size_t add_indices(const Triangles& triangles, std::size_t point_count);
  std::size_t add_accessor(std::size_t view, std::size_t count, const std::string& members);
  std::size_t add_view(std::size_t from, const char* target);
  void set_shift(const Box3& box);

  GltfStart start_;
  const FileFrame& frame_;
  Vec3 shift_;  ///< of the root: large coordinates would not fit 32-bit numbers
  std::vector<std::size_t> roots_;
  GltfElements nodes_, meshes_, materials_, accessors_, views_;
  std::map<std::tuple<float, float, float, float, bool>, std::size_t> material_of_;
  std::string bytes_;
};

}  // namespace roomloom
