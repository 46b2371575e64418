#include "exchange/write_gltf_builder.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "exchange/write_json_text.h"

namespace roomloom {
namespace {

static_assert(std::endian::native == std::endian::little, "glTF buffers are little-endian");

/// Metres from the origin past which 32-bit coordinates are coarser than 0.03 mm.
constexpr double kFar_m = 500;
constexpr const char* kVertexData = "34962";
constexpr const char* kIndexData = "34963";

template <typename T>
void append_raw(std::string& bytes, T value) {
  const auto raw = std::bit_cast<std::array<char, sizeof(T)>>(value);
  bytes.append(raw.data(), raw.size());
}

std::string list_of(const std::vector<std::size_t>& indices) {
  std::string text = "[";
  for (const std::size_t i : indices) text += (text.size() > 1 ? "," : "") + std::to_string(i);
  return text + "]";
}

std::string list_of(const std::array<float, 3>& v) {
  return "[" + json_number(v[0]) + "," + json_number(v[1]) + "," + json_number(v[2]) + "]";
}

std::string list_of(const Vec3& v) {
  return "[" + json_number(v.x) + "," + json_number(v.y) + "," + json_number(v.z) + "]";
}

std::array<float, 3> floats(const Vec3& v) {
  return {static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z)};
}

/// Texts and numbers in the order of their keys; a text hides a number of the same key.
std::string extras_of(const AnnotationItem& item) {
  std::map<std::string, std::string> all;
  for (const auto& [key, value] : item.numbers) all[key] = json_number(value);
  for (const auto& [key, value] : item.texts) all[key] = json_string(value);
  std::string text;
  for (const auto& [key, value] : all)
    text += (text.empty() ? "" : ",") + json_string(key) + ":" + value;
  return text.empty() ? "" : ",\"extras\":{" + text + "}";
}

std::string extras_of(const Part& part) {
  std::map<std::string, std::string> all = part.extras;
  if (!part.layer.empty()) all.emplace("layer", part.layer);
  std::string text;
  for (const auto& [key, value] : all)
    text += (text.empty() ? "" : ",") + json_string(key) + ":" + json_string(value);
  return text.empty() ? "" : ",\"extras\":{" + text + "}";
}

std::string children_of(const std::vector<std::size_t>& children) {
  return children.empty() ? "" : ",\"children\":" + list_of(children);
}

Box3 box_of(const Annotation& annotation, const std::vector<DrawnItem>& drawings) {
  Box3 box;
  for (std::size_t i = 0; i < annotation.items.size(); ++i)
    for (const Vec3& p : drawings[i].points) box.add(p);
  return box;
}

std::vector<std::size_t> deepest_first(const std::vector<Group>& groups) {
  std::vector<std::size_t> depth(groups.size(), 0);
  for (std::size_t i = 0; i < groups.size(); ++i)
    for (int up = groups[i].parent; up >= 0 && depth[i] <= groups.size();
         up = groups[static_cast<std::size_t>(up)].parent)
      ++depth[i];
  std::vector<std::size_t> order(groups.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return depth[a] > depth[b]; });
  return order;
}

}  // namespace

void GltfBuilder::set_shift(const Box3& box) {
  shift_ = {};
  if (box.empty()) return;
  const Vec3 low = frame_.point(box.low);
  const Vec3 high = frame_.point(box.high);
  double largest = 0;
  for (int axis = 0; axis < 3; ++axis)
    largest = std::max({largest, std::abs(low[axis]), std::abs(high[axis])});
  if (largest <= frame_.length(kFar_m)) return;
  const Vec3 centre = 0.5 * (low + high);
  shift_ = {std::round(centre.x), std::round(centre.y), std::round(centre.z)};
}

std::size_t GltfBuilder::add_node(const std::string& name, const std::string& members) {
  nodes_.add("{\"name\":" + json_string(name) + members + "}");
  return start_.nodes + nodes_.count - 1;
}

std::size_t GltfBuilder::add_root(const std::string& name,
                                  const std::vector<std::size_t>& children) {
  const std::string move = shift_ == Vec3{} ? "" : ",\"translation\":" + list_of(shift_);
  roots_.push_back(add_node(name, move + children_of(children)));
  return roots_.back();
}

std::size_t GltfBuilder::add_view(std::size_t from, const char* target) {
  const std::size_t length = bytes_.size() - from;
  while (bytes_.size() % 4 != 0) bytes_ += '\0';
  views_.add("{\"buffer\":" + std::to_string(start_.buffer) +
             ",\"byteOffset\":" + std::to_string(start_.offset + from) +
             ",\"byteLength\":" + std::to_string(length) + ",\"target\":" + target + "}");
  return start_.views + views_.count - 1;
}

std::size_t GltfBuilder::add_accessor(std::size_t view, std::size_t count,
                                      const std::string& members) {
  accessors_.add("{\"bufferView\":" + std::to_string(view) + ",\"count\":" + std::to_string(count) +
                 "," + members + "}");
  return start_.accessors + accessors_.count - 1;
}

std::size_t GltfBuilder::add_positions(const std::vector<Vec3>& points) {
  const std::size_t from = bytes_.size();
  std::array<float, 3> low{};
  std::array<float, 3> high{};
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto p = floats(frame_.point(points[i]) - shift_);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      append_raw(bytes_, p[axis]);
      low[axis] = i == 0 ? p[axis] : std::min(low[axis], p[axis]);
      high[axis] = i == 0 ? p[axis] : std::max(high[axis], p[axis]);
    }
  }
  return add_accessor(add_view(from, kVertexData), points.size(),
                      "\"componentType\":5126,\"type\":\"VEC3\",\"min\":" + list_of(low) +
                          ",\"max\":" + list_of(high));
}

std::size_t GltfBuilder::add_normals(const std::vector<Vec3>& normals) {
  const std::size_t from = bytes_.size();
  for (const Vec3& normal : normals)
    for (const float value : floats(frame_.direction(normal))) append_raw(bytes_, value);
  return add_accessor(add_view(from, kVertexData), normals.size(),
                      "\"componentType\":5126,\"type\":\"VEC3\"");
}

std::size_t GltfBuilder::add_indices(const Triangles& triangles, std::size_t point_count) {
  const std::size_t from = bytes_.size();
  const bool narrow = point_count < 65535;
  for (const auto& triangle : triangles) {
    for (const std::uint32_t i : triangle) {
      if (narrow)
        append_raw(bytes_, static_cast<std::uint16_t>(i));
      else
        append_raw(bytes_, i);
    }
  }
  return add_accessor(
      add_view(from, kIndexData), 3 * triangles.size(),
      std::string("\"componentType\":") + (narrow ? "5123" : "5125") + ",\"type\":\"SCALAR\"");
}

std::size_t GltfBuilder::material(const Colour& c, bool both_sides) {
  const auto [found, added] =
      material_of_.try_emplace({c.r, c.g, c.b, c.a, both_sides}, materials_.count);
  if (!added) return start_.materials + found->second;
  const auto level = [](float v) { return json_number(std::clamp(v, 0.0F, 1.0F)); };
  std::string text = "{\"name\":\"Roomloom " + std::to_string(materials_.count + 1) +
                     "\",\"pbrMetallicRoughness\":{\"baseColorFactor\":[" + level(c.r) + "," +
                     level(c.g) + "," + level(c.b) + "," + level(c.a) +
                     "],\"metallicFactor\":0,\"roughnessFactor\":0.8}";
  if (c.a < 1) text += ",\"alphaMode\":\"BLEND\"";
  if (both_sides) text += ",\"doubleSided\":true";
  materials_.add(text + "}");
  return start_.materials + found->second;
}

std::string GltfBuilder::triangles_primitive(const std::vector<Vec3>& points,
                                             const std::vector<Vec3>& normals,
                                             const Triangles& triangles, std::size_t material) {
  std::string attributes = "\"POSITION\":" + std::to_string(add_positions(points));
  if (!normals.empty()) attributes += ",\"NORMAL\":" + std::to_string(add_normals(normals));
  return "{\"attributes\":{" + attributes +
         "},\"indices\":" + std::to_string(add_indices(triangles, points.size())) +
         ",\"material\":" + std::to_string(material) + "}";
}

std::string GltfBuilder::line_primitive(const std::vector<Vec3>& points, std::size_t material) {
  constexpr const char* kLineStrip = "3";
  return "{\"attributes\":{\"POSITION\":" + std::to_string(add_positions(points)) +
         "},\"mode\":" + kLineStrip + ",\"material\":" + std::to_string(material) + "}";
}

std::size_t GltfBuilder::add_mesh(const std::string& name, const std::string& primitive) {
  meshes_.add("{\"name\":" + json_string(name) + ",\"primitives\":[" + primitive + "]}");
  return start_.meshes + meshes_.count - 1;
}

std::size_t GltfBuilder::add_item(const AnnotationItem& item, const DrawnItem& drawing) {
  const std::size_t paint = material(item.colour, drawing.flat);
  std::vector<std::size_t> children;
  if (drawing.centreline.size() > 1) {
    const std::string name = item.name + " centreline";
    const std::size_t mesh = add_mesh(name, line_primitive(drawing.centreline, paint));
    children.push_back(add_node(name, ",\"mesh\":" + std::to_string(mesh)));
  }
  std::string members;
  if (!drawing.triangles.empty()) {
    const std::size_t mesh = add_mesh(
        item.name, triangles_primitive(drawing.points, drawing.normals, drawing.triangles, paint));
    members = ",\"mesh\":" + std::to_string(mesh);
  }
  return add_node(item.name, members + children_of(children) + extras_of(item));
}

void GltfBuilder::add_annotation(const Annotation& annotation,
                                 const std::vector<DrawnItem>& drawings) {
  set_shift(box_of(annotation, drawings));
  std::vector<std::size_t> groups;
  for (const auto kind :
       {AnnotationGroup::runs, AnnotationGroup::raceway, AnnotationGroup::crossings,
        AnnotationGroup::supports, AnnotationGroup::labels}) {
    std::vector<std::size_t> children;
    for (std::size_t i = 0; i < annotation.items.size(); ++i)
      if (annotation.items[i].group == kind)
        children.push_back(add_item(annotation.items[i], drawings[i]));
    if (!children.empty()) groups.push_back(add_node(to_string(kind), children_of(children)));
  }
  add_root("Roomloom", groups);
}

std::size_t GltfBuilder::add_part(const Scene& scene, const Part& part) {
  const auto first = scene.points.begin() + part.first_point;
  const std::vector<Vec3> points(first, first + part.point_count);
  const std::size_t paint = material(part.colour.value_or(Colour{}), true);
  const std::string extras = extras_of(part);
  if (part.kind == PartKind::curve && points.size() > 1)
    return add_node(
        part.name,
        ",\"mesh\":" + std::to_string(add_mesh(part.name, line_primitive(points, paint))) + extras);
  Triangles triangles;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    auto triangle = scene.triangles[part.first_triangle + i];
    for (std::uint32_t& corner : triangle) corner -= part.first_point;
    triangles.push_back(triangle);
  }
  if (triangles.empty()) {
    const std::string move =
        points.empty() ? "" : ",\"translation\":" + list_of(frame_.point(points[0]) - shift_);
    return add_node(part.name, move + extras);
  }
  return add_node(
      part.name,
      ",\"mesh\":" +
          std::to_string(add_mesh(part.name, triangles_primitive(points, {}, triangles, paint))) +
          extras);
}

void GltfBuilder::add_scene(const Scene& scene, const std::string& name) {
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  set_shift(box);
  // Children come before their parents here, so that a node's list is whole when it is written.
  std::vector<std::vector<std::size_t>> inside(scene.groups.size());
  std::vector<std::size_t> top;
  const auto keep = [&](int parent, std::size_t node) {
    (parent < 0 ? top : inside[static_cast<std::size_t>(parent)]).push_back(node);
  };
  for (const Part& part : scene.parts) keep(part.parent, add_part(scene, part));
  for (const std::size_t i : deepest_first(scene.groups))
    if (!inside[i].empty())
      keep(scene.groups[i].parent, add_node(scene.groups[i].name, children_of(inside[i])));
  add_root(name, top);
}

}  // namespace roomloom
