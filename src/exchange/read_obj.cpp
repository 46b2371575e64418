#include "exchange/read_obj.h"

#include <algorithm>
#include <charconv>
#include <map>

#include "assimp/read_meshes.h"
#include "exchange/read_obj_text.h"
#include "exchange/read_text.h"

namespace roomloom {
namespace {

/// More than this many points under one name are a point cloud, not markers.
constexpr std::size_t kMostMarkers = 1000;

using Materials = std::map<std::string, Colour>;

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

/// As many numbers as stand at the start of `text`, at most three.
std::vector<float> leading_numbers(std::string_view text) {
  std::vector<float> numbers;
  while (numbers.size() < 3) {
    text = trimmed(text);
    if (text.starts_with('+')) text.remove_prefix(1);
    float value = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (status != std::errc()) break;
    numbers.push_back(std::clamp(value, 0.0F, 1.0F));
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  }
  return numbers;
}

/// Diffuse colour and opacity of each material (`Kd`, `d`, `Tr`). The format does not say in which
/// colour space `Kd` is; it is taken as linear, as Blender writes it.
void read_materials(std::string_view text, Materials& materials) {
  Colour* current = nullptr;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    const std::string_view line = trimmed(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
    const std::size_t gap = std::min(line.find_first_of(" \t"), line.size());
    const std::string_view keyword = line.substr(0, gap);
    const std::string_view rest = trimmed(line.substr(gap));
    if (keyword == "newmtl") current = &materials[std::string(rest)];
    if (current == nullptr) continue;
    const std::vector<float> n = leading_numbers(rest);
    if (keyword == "Kd" && n.size() == 3) {
      current->r = n[0], current->g = n[1], current->b = n[2];
    } else if (keyword == "d" && !n.empty()) {
      current->a = n[0];
    } else if (keyword == "Tr" && !n.empty()) {
      current->a = 1 - n[0];
    }
  }
}

/// `mtllib` may name several files, but many programs write one name with spaces: try that first.
std::vector<std::string> library_names(const std::string& line, const ReferenceFolder& references) {
  if (line.find(' ') == std::string::npos || read_reference(references, line, false)) return {line};
  std::vector<std::string> names;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t end = std::min(line.find_first_of(" \t", at), line.size());
    if (end > at) names.push_back(line.substr(at, end - at));
    at = end + 1;
  }
  return names;
}

Materials read_libraries(const ObjText& obj, const ReferenceFolder& references,
                         std::vector<Note>& notes) {
  Materials materials;
  for (const std::string& line : obj.material_libraries)
    for (const std::string& name : library_names(line, references)) {
      const Result<std::string> text = read_reference(references, name, false);
      if (text) {
        read_materials(*text, materials);
      } else {
        const std::string code = text.error().code == "model.outside-reference"
                                     ? "reader.outside-reference"
                                     : "reader.missing-reference";
        notes.push_back({code, "Colours are missing: " + text.error().what, name});
      }
    }
  return materials;
}

void append_number(std::string& text, double value) {
  char digits[40];
  const auto end =
      std::to_chars(digits, digits + sizeof digits, value, std::chars_format::fixed, 9);
  text.append(digits, end.ptr);
}

/// The faces alone, moved near the origin since Assimp keeps single precision.
std::string faces_for_assimp(const ObjText& obj) {
  Box3 box;
  for (const Vec3& p : obj.points) box.add(p);
  const Vec3 centre = box.centre();
  const Vec3 size = box.size();
  const double largest = std::max({size.x, size.y, size.z, 1e-300});
  std::string text;
  text.reserve(obj.points.size() * 40);
  for (const Vec3& p : obj.points) {
    const Vec3 scaled = (p - centre) / largest;
    text += 'v';
    for (int axis = 0; axis < 3; ++axis) {
      text += ' ';
      append_number(text, scaled[axis]);
    }
    text += '\n';
  }
  for (std::size_t i = 0; i < obj.parts.size(); ++i) {
    const ObjPart& part = obj.parts[i];
    text += "o " + std::to_string(i) + "\n";
    std::size_t corner = 0;
    for (const std::uint32_t size_of_face : part.face_sizes) {
      text += 'f';
      for (std::uint32_t k = 0; k < size_of_face; ++k)
        text += " " + std::to_string(part.corners[corner++] + 1);
      text += '\n';
    }
  }
  return text;
}

class SceneMaker {
 public:
  SceneMaker(const ObjText& obj, const Materials& materials) : obj_(obj), materials_(materials) {
    for (const ObjPart& part : obj.parts) ++groups_of_object_[part.object];
    scene_.source.format = ModelFormat::obj;
    scene_.notes = obj.notes;
  }

  Scene make(const std::vector<MeshTriangles>& meshes) {
    for (std::size_t i = 0; i < obj_.parts.size(); ++i) add(obj_.parts[i], meshes[i]);
    return std::move(scene_);
  }

 private:
  void add(const ObjPart& source, const MeshTriangles& mesh) {
    const Part part = named(source);
    add_faces(source, mesh, part);
    for (const auto& line : source.lines) add_points(line, part, PartKind::curve);
    if (source.dots.size() > kMostMarkers) {
      scene_.notes.push_back({"reader.point-cloud",
                              with_separators(source.dots.size()) +
                                  " loose points are taken for a point cloud and left out.",
                              part.path});
      return;
    }
    for (const std::uint32_t dot : source.dots) add_points({dot}, part, PartKind::marker);
  }

  Part named(const ObjPart& source) {
    Part part;
    if (source.object.empty() && source.group.empty()) {
      part.name = source.material;
    } else if (source.object.empty()) {
      part.name = source.group;
    } else if (groups_of_object_[source.object] == 1 || source.group.empty()) {
      part.name = source.object;
    } else {
      part.name = source.group;
      part.parent = group_of(source.object);
    }
    part.path = part.parent < 0 ? part.name : source.object + "/" + part.name;
    part.material = source.material;
    if (const auto found = materials_.find(source.material); found != materials_.end())
      part.colour = found->second;
    part.native_reference = "line " + std::to_string(source.line);
    return part;
  }

  int group_of(const std::string& object) {
    const auto [found, is_new] =
        group_index_.try_emplace(object, static_cast<int>(scene_.groups.size()));
    if (is_new) scene_.groups.push_back({object, -1});
    return found->second;
  }

  void begin(Part& part) const {
    part.first_point = static_cast<std::uint32_t>(scene_.points.size());
    part.first_triangle = static_cast<std::uint32_t>(scene_.triangles.size());
  }

  void add_points(const std::vector<std::uint32_t>& indices, Part part, PartKind kind) {
    begin(part);
    part.kind = kind;
    part.point_count = static_cast<std::uint32_t>(indices.size());
    for (const std::uint32_t i : indices) scene_.points.push_back(obj_.points[i]);
    scene_.parts.push_back(std::move(part));
  }

  void add_faces(const ObjPart& source, const MeshTriangles& mesh, Part part) {
    if (source.face_sizes.empty()) return;
    std::vector<std::int32_t> face_of_corner;
    for (std::size_t f = 0; f < source.face_sizes.size(); ++f)
      face_of_corner.insert(face_of_corner.end(), source.face_sizes[f],
                            static_cast<std::int32_t>(f));
    begin(part);
    const std::size_t expected = source.corners.size() - 2 * source.face_sizes.size();
    // Assimp gives every corner of every face a point of its own, in order: so its indices lead
    // back to ours, and to the coordinates in full precision.
    if (mesh.point_count == source.corners.size()) add_triangles(source, mesh, face_of_corner);
    part.point_count = static_cast<std::uint32_t>(scene_.points.size()) - part.first_point;
    part.triangle_count = static_cast<std::uint32_t>(scene_.triangles.size()) - part.first_triangle;
    if (part.triangle_count < expected)
      scene_.notes.push_back({"reader.lost-triangles",
                              with_separators(expected) + " triangles were expected, " +
                                  with_separators(part.triangle_count) +
                                  " came through; some faces cross themselves.",
                              part.path});
    if (part.triangle_count > 0) scene_.parts.push_back(std::move(part));
  }

  void add_triangles(const ObjPart& source, const MeshTriangles& mesh,
                     const std::vector<std::int32_t>& face_of_corner) {
    std::map<std::uint32_t, std::uint32_t> index_of;
    for (const auto& triangle : mesh.triangles) {
      std::array<std::uint32_t, 3> own{};
      for (std::size_t k = 0; k < 3; ++k) {
        const std::uint32_t point = source.corners[triangle[k]];
        const auto [found, is_new] =
            index_of.try_emplace(point, static_cast<std::uint32_t>(scene_.points.size()));
        if (is_new) scene_.points.push_back(obj_.points[point]);
        own[k] = found->second;
      }
      scene_.triangles.push_back(own);
      scene_.face.push_back(face_of_corner[triangle[0]]);
    }
  }

  const ObjText& obj_;
  const Materials& materials_;
  std::map<std::string, int> groups_of_object_;
  std::map<std::string, int> group_index_;
  Scene scene_;
};

bool indices_in_range(const MeshTriangles& mesh) {
  for (const auto& triangle : mesh.triangles)
    for (const std::uint32_t index : triangle)
      if (index >= mesh.point_count) return false;
  return true;
}

}  // namespace

Result<Scene> read_obj(std::string_view text, const std::string& file,
                       const ReferenceFolder& references) {
  const Result<ObjText> obj = read_obj_text(text, file);
  if (!obj) return obj.error();
  std::vector<Note> notes;
  const Materials materials = read_libraries(*obj, references, notes);
  std::vector<MeshTriangles> meshes(obj->parts.size());
  const bool has_faces = std::any_of(obj->parts.begin(), obj->parts.end(),
                                     [](const ObjPart& part) { return !part.corners.empty(); });
  if (has_faces) {
    Result<std::vector<MeshTriangles>> read =
        read_meshes(faces_for_assimp(*obj), MeshFile::obj, obj->parts.size(), file);
    if (!read) return read.error();
    meshes = std::move(*read);
  }
  if (!std::all_of(meshes.begin(), meshes.end(), indices_in_range))
    return Error{"model.syntax", "Assimp returned triangles without points.", file,
                 "Export the model again."};
  Scene scene = SceneMaker(*obj, materials).make(meshes);
  scene.notes.insert(scene.notes.end(), notes.begin(), notes.end());
  return scene;
}

}  // namespace roomloom
