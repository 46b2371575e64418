#include "sketch/write_glb.h"

#include <cstring>
#include <map>
#include <nlohmann/json.hpp>

namespace roomloom {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kFloat = 5126, kUnsignedInt = 5125;
constexpr int kVertices = 34962, kIndices = 34963;
constexpr int kLineStrip = 3, kTriangles = 4;

std::array<float, 3> y_up(const Vec3& p) {
  // Adding zero turns -0 into 0.
  return {static_cast<float>(p.x), static_cast<float>(p.z), static_cast<float>(-p.y) + 0.0F};
}

template <typename T>
void append(std::string& bytes, const T& value) {
  bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
}

/// A GLB chunk: length, type, content padded to four bytes.
std::string chunk(const char* type, std::string content, char padding) {
  while (content.size() % 4 != 0) content += padding;
  std::string bytes;
  append(bytes, static_cast<std::uint32_t>(content.size()));
  return bytes + std::string(type, 4) + content;
}

class GlbMaker {
 public:
  explicit GlbMaker(const Scene& scene) : scene_(scene) {
    document_["asset"] = {{"version", "2.0"}, {"generator", "Roomloom sketch"}};
    document_["scene"] = 0;
    document_["scenes"] = Json::array({{{"nodes", Json::array()}}});
  }

  std::string bytes() {
    for (const Group& group : scene_.groups) nodes_.push_back({{"name", group.name}});
    for (std::size_t i = 0; i < scene_.groups.size(); ++i) attach(i, scene_.groups[i].parent);
    for (const Part& part : scene_.parts) add_part(part);
    return finished();
  }

 private:
  void attach(std::size_t node, int parent) {
    Json& list = parent < 0 ? document_["scenes"][0]["nodes"]
                            : nodes_[static_cast<std::size_t>(parent)]["children"];
    list.push_back(node);
  }

  void add_part(const Part& part) {
    Json node = {{"name", part.name}};
    if (!part.extras.empty()) node["extras"] = part.extras;
    if (part.kind == PartKind::marker)
      node["translation"] = y_up(scene_.points[part.first_point]);
    else
      node["mesh"] = add_mesh(part);
    attach(nodes_.size(), part.parent);
    nodes_.push_back(std::move(node));
  }

  std::size_t add_mesh(const Part& part) {
    Json primitive = {{"attributes", {{"POSITION", add_positions(part)}}}};
    if (part.kind == PartKind::mesh) primitive["indices"] = add_indices(part);
    primitive["material"] = material(part);
    primitive["mode"] = part.kind == PartKind::mesh ? kTriangles : kLineStrip;
    meshes_.push_back({{"name", part.name}, {"primitives", Json::array({primitive})}});
    return meshes_.size() - 1;
  }

  std::size_t add_positions(const Part& part) {
    const std::size_t offset = positions_.size();
    std::array<float, 3> low{}, high{};
    for (std::uint32_t i = 0; i < part.point_count; ++i) {
      const auto p = y_up(scene_.points[part.first_point + i]);
      append(positions_, p);
      for (std::size_t axis = 0; axis < 3; ++axis) {
        low[axis] = i == 0 ? p[axis] : std::min(low[axis], p[axis]);
        high[axis] = i == 0 ? p[axis] : std::max(high[axis], p[axis]);
      }
    }
    accessors_.push_back({{"bufferView", 0},
                          {"byteOffset", offset},
                          {"componentType", kFloat},
                          {"count", part.point_count},
                          {"type", "VEC3"},
                          {"min", low},
                          {"max", high}});
    return accessors_.size() - 1;
  }

  std::size_t add_indices(const Part& part) {
    const std::size_t offset = indices_.size();
    for (std::uint32_t t = 0; t < part.triangle_count; ++t)
      for (const std::uint32_t corner : scene_.triangles[part.first_triangle + t])
        append(indices_, corner - part.first_point);
    accessors_.push_back({{"bufferView", 1},
                          {"byteOffset", offset},
                          {"componentType", kUnsignedInt},
                          {"count", 3 * part.triangle_count},
                          {"type", "SCALAR"}});
    return accessors_.size() - 1;
  }

  std::size_t material(const Part& part) {
    const auto role = part.extras.find("is");
    const std::string name = role == part.extras.end() ? "part" : role->second;
    const Colour c = part.colour.value_or(Colour{});
    const auto [known, is_new] =
        materials_by_.emplace(std::tuple{name, c.r, c.g, c.b, c.a}, materials_.size());
    if (!is_new) return known->second;
    Json material = {{"name", name},
                     {"pbrMetallicRoughness",
                      {{"baseColorFactor", {c.r, c.g, c.b, c.a}},
                       {"metallicFactor", 0},
                       {"roughnessFactor", 0.8}}}};
    if (c.a < 1) material["alphaMode"] = "BLEND";
    materials_.push_back(std::move(material));
    return known->second;
  }

  std::string finished() {
    document_["nodes"] = nodes_;
    if (!meshes_.empty()) document_["meshes"] = meshes_;
    if (!materials_.empty()) document_["materials"] = materials_;
    std::string binary = positions_ + indices_;
    if (!binary.empty()) {
      Json views = Json::array({view(0, positions_.size(), kVertices)});
      views[0]["byteStride"] = 12;  // required where several accessors share a view
      if (!indices_.empty()) views.push_back(view(positions_.size(), indices_.size(), kIndices));
      document_["accessors"] = accessors_;
      document_["bufferViews"] = views;
      document_["buffers"] = Json::array({{{"byteLength", binary.size()}}});
    }
    const std::string json = document_.dump(-1, ' ', false, Json::error_handler_t::replace);
    std::string body = chunk("JSON", json, ' ');
    if (!binary.empty()) body += chunk("BIN\0", binary, '\0');
    std::string head = "glTF";
    append(head, std::uint32_t{2});
    append(head, static_cast<std::uint32_t>(12 + body.size()));
    return head + body;
  }

  static Json view(std::size_t offset, std::size_t length, int target) {
    return {{"buffer", 0}, {"byteOffset", offset}, {"byteLength", length}, {"target", target}};
  }

  const Scene& scene_;
  Json document_;
  Json nodes_ = Json::array(), meshes_ = Json::array(), materials_ = Json::array(),
       accessors_ = Json::array();
  std::map<std::tuple<std::string, float, float, float, float>, std::size_t> materials_by_;
  std::string positions_, indices_;
};

}  // namespace

std::string glb_of(const Scene& scene) { return GlbMaker(scene).bytes(); }

}  // namespace roomloom
