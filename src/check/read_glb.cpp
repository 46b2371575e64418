#include <cmath>
#include <cstring>
#include <functional>
#include <limits>
#include <nlohmann/json.hpp>

#include "base/files.h"
#include "check/written.h"

namespace roomloom::check {
namespace {

using Json = nlohmann::json;

struct Glb {
  Json json;
  std::string binary;
};

std::uint32_t word(const std::string& bytes, std::size_t at) {
  std::uint32_t value = 0;
  std::memcpy(&value, bytes.data() + at, sizeof value);
  return value;
}

Error broken(const std::filesystem::path& file, const std::string& what) {
  return {"check.glb", what, file.string(), "Route again, or restore the file."};
}

// glTF 2.0, section 4.4: header of 12 bytes, then chunks of length, type, bytes.
Result<Glb> split(const std::string& bytes, const std::filesystem::path& file) {
  if (bytes.size() < 20 || bytes.compare(0, 4, "glTF") != 0) return broken(file, "Not a GLB file.");
  Glb glb;
  std::size_t at = 12;
  while (at + 8 <= bytes.size()) {
    const std::uint32_t length = word(bytes, at);
    const std::uint32_t type = word(bytes, at + 4);
    if (length > bytes.size() - at - 8) return broken(file, "A chunk is longer than the file.");
    if (type == 0x4E4F534A) {
      glb.json =
          Json::parse(bytes.begin() + static_cast<std::ptrdiff_t>(at + 8),
                      bytes.begin() + static_cast<std::ptrdiff_t>(at + 8 + length), nullptr, false);
      if (glb.json.is_discarded()) return broken(file, "Its JSON cannot be read.");
    } else if (type == 0x004E4942) {
      glb.binary = bytes.substr(at + 8, length);
    }
    at += 8 + length;
  }
  if (!glb.json.is_object()) return broken(file, "It holds no JSON object.");
  return glb;
}

/// A count, an offset or an index: below 2^32, so that sums and products stay exact.
std::size_t whole(const Json& j) {
  if (!j.is_number_unsigned() || j.get<std::uint64_t>() > std::numeric_limits<std::uint32_t>::max())
    throw std::out_of_range("no index");
  return j.get<std::size_t>();
}

std::size_t whole_or(const Json& object, const char* key, std::size_t otherwise) {
  const auto found = object.find(key);
  return found == object.end() ? otherwise : whole(*found);
}

std::vector<double> numbers_of(const Json& accessor, const Glb& glb, std::size_t components) {
  const std::size_t count = whole(accessor.at("count"));
  const std::size_t type = whole(accessor.at("componentType"));
  const Json& view = glb.json.at("bufferViews").at(whole(accessor.at("bufferView")));
  const std::size_t size = type == 5126 || type == 5125 ? 4 : type == 5123 ? 2 : 1;
  const std::size_t stride = whole_or(view, "byteStride", size * components);
  const std::size_t start = whole_or(view, "byteOffset", 0) + whole_or(accessor, "byteOffset", 0);
  if (stride < size * components || count > glb.binary.size())
    throw std::out_of_range("an accessor that overlaps itself");
  std::vector<double> values;
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t c = 0; c < components; ++c) {
      const std::size_t at = start + i * stride + c * size;
      if (at + size > glb.binary.size()) throw std::out_of_range("accessor past the buffer");
      if (type == 5126) {
        float value = 0;
        std::memcpy(&value, glb.binary.data() + at, 4);
        if (!std::isfinite(value)) throw std::out_of_range("no number");
        values.push_back(static_cast<double>(value));
      } else {
        std::uint32_t value = 0;
        std::memcpy(&value, glb.binary.data() + at, size);
        values.push_back(value);
      }
    }
  }
  return values;
}

Transform local_transform(const Json& node) {
  Transform t;
  if (node.contains("matrix")) {  // column-major
    const auto m = node["matrix"].get<std::vector<double>>();
    for (std::size_t row = 0; row < 3; ++row)
      for (std::size_t col = 0; col < 4; ++col) t.m[row * 4 + col] = m.at(col * 4 + row);
    return t;
  }
  const auto move = node.value("translation", std::vector<double>{0, 0, 0});
  const auto turn = node.value("rotation", std::vector<double>{0, 0, 0, 1});
  const auto scale = node.value("scale", std::vector<double>{1, 1, 1});
  const double x = turn.at(0), y = turn.at(1), z = turn.at(2), w = turn.at(3);
  t.m = {(1 - 2 * (y * y + z * z)) * scale.at(0), 2 * (x * y - z * w) * scale.at(1),
         2 * (x * z + y * w) * scale.at(2),       move.at(0),
         2 * (x * y + z * w) * scale.at(0),       (1 - 2 * (x * x + z * z)) * scale.at(1),
         2 * (y * z - x * w) * scale.at(2),       move.at(1),
         2 * (x * z - y * w) * scale.at(0),       2 * (y * z + x * w) * scale.at(1),
         (1 - 2 * (x * x + y * y)) * scale.at(2), move.at(2)};
  return t;
}

void add_lines(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& order, bool strip,
               WrittenThing& thing) {
  if (strip) {
    if (order.empty()) return;
    std::vector<Vec3> line;
    for (const std::uint32_t i : order) line.push_back(points.at(i));
    thing.lines.push_back(std::move(line));
    return;
  }
  for (std::size_t i = 0; i + 1 < order.size(); i += 2) {
    const Vec3 &a = points.at(order[i]), &b = points.at(order[i + 1]);
    if (!thing.lines.empty() && thing.lines.back().back() == a) {
      thing.lines.back().push_back(b);
    } else {
      thing.lines.push_back({a, b});
    }
  }
}

void add_primitive(const Json& primitive, const Glb& glb, const Transform& to_room,
                   WrittenThing& thing) {
  const Json& accessors = glb.json.at("accessors");
  const auto flat =
      numbers_of(accessors.at(whole(primitive.at("attributes").at("POSITION"))), glb, 3);
  std::vector<Vec3> points;
  for (std::size_t i = 0; i + 2 < flat.size(); i += 3) {
    points.push_back(to_room.apply({flat[i], flat[i + 1], flat[i + 2]}));
  }
  std::vector<std::uint32_t> order;
  if (primitive.contains("indices")) {
    for (const double i : numbers_of(accessors.at(whole(primitive["indices"])), glb, 1)) {
      if (i < 0 || i >= static_cast<double>(points.size()))
        throw std::out_of_range("an index past its points");
      order.push_back(static_cast<std::uint32_t>(i));
    }
  } else {
    for (std::uint32_t i = 0; i < points.size(); ++i) order.push_back(i);
  }
  const std::size_t mode = whole_or(primitive, "mode", 4);
  if (mode == 1 || mode == 3) return add_lines(points, order, mode == 3, thing);
  const auto base = static_cast<std::uint32_t>(thing.points.size());
  thing.points.insert(thing.points.end(), points.begin(), points.end());
  for (std::size_t i = 0; mode == 4 && i + 2 < order.size(); i += 3) {
    if (std::max({order[i], order[i + 1], order[i + 2]}) >= points.size()) {
      throw std::out_of_range("triangle past its points");
    }
    thing.triangles.push_back({base + order[i], base + order[i + 1], base + order[i + 2]});
  }
}

void read_extras(const Json& node, WrittenThing& thing) {
  if (!node.contains("extras") || !node["extras"].is_object()) return;
  for (const auto& [key, value] : node["extras"].items()) {
    if (value.is_string()) thing.texts[key] = value.get<std::string>();
    if (value.is_number()) thing.numbers[key] = value.get<double>();
  }
}

struct Walk {
  const Glb& glb;
  const Transform& to_room;
  WrittenModel& model;
  std::size_t visited = 0, placed = 0;

  void node(std::size_t index, const Transform& parent, std::vector<std::string> path, bool ours,
            int depth = 0) {
    constexpr int kDeepest = 256;
    const Json& nodes = glb.json.at("nodes");
    if (++visited > nodes.size() || depth > kDeepest) throw std::runtime_error("nodes form a loop");
    const Json& one = nodes.at(index);
    const Transform world = parent * local_transform(one);
    const std::string name = one.value("name", std::string());
    if (!ours && name == "Roomloom") {
      ours = true;
      path.clear();
    } else if (ours) {
      WrittenThing thing;
      thing.name = name;
      thing.path = path;
      read_extras(one, thing);
      if (one.contains("mesh")) {
        const Json& mesh = glb.json.at("meshes").at(whole(one["mesh"]));
        for (const Json& primitive : mesh.at("primitives")) {
          add_primitive(primitive, glb, to_room * world, thing);
          // Each mesh is written once; nodes that share a large one could ask for any amount.
          placed += thing.points.size();
          if (placed > glb.binary.size()) throw std::runtime_error("more points than bytes");
        }
      }
      model.things.push_back(std::move(thing));
      path.push_back(name);
    }
    for (const Json& child : one.value("children", Json::array())) {
      node(whole(child), world, path, ours, depth + 1);
    }
  }
};

}  // namespace

Result<WrittenModel> read_written_glb(const std::filesystem::path& file, const Transform& to_room) {
  const auto bytes = read_file(file);
  if (!bytes) return bytes.error();
  WrittenModel model{file.filename().string(), {}};
  try {
    const auto glb = split(*bytes, file);
    if (!glb) return glb.error();
    const std::size_t scene = whole_or(glb->json, "scene", 0);
    Walk walk{*glb, to_room, model};
    for (const Json& root : glb->json.at("scenes").at(scene).value("nodes", Json::array())) {
      walk.node(whole(root), Transform{}, {}, false);
    }
  } catch (const std::exception&) {
    return broken(file, "Its nodes, accessors or buffers do not fit together.");
  }
  return model;
}

}  // namespace roomloom::check
