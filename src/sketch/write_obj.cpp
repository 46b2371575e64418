#include "sketch/write_obj.h"

#include <map>

#include "base/units.h"

namespace roomloom {
namespace {

/// Names end at the line's end.
std::string one_line(std::string name) {
  for (char& c : name)
    if (c == '\n' || c == '\r') c = ' ';
  return name;
}

std::string without_trailing_zeros(std::string number) {
  if (number.find('.') == std::string::npos) return number;
  number.erase(number.find_last_not_of('0') + 1);
  if (number.back() == '.') number.pop_back();
  return number;
}

std::string number(double value) { return without_trailing_zeros(format_number(value, 6)); }

/// Material names must not hold spaces.
std::string material_name(const Part& part) {
  const auto role = part.extras.find("is");
  std::string name = role == part.extras.end() ? "part" : role->second;
  for (char& c : name)
    if (c == ' ') c = '_';
  return name;
}

class ObjMaker {
 public:
  ObjMaker(const Scene& scene, const std::string& mtl_name) : scene_(scene) {
    texts_.obj = "# Roomloom sketch: " + one_line(scene.source.path) +
                 "\n# Units: metres. Up: Z.\nmtllib " + mtl_name + "\n";
    texts_.mtl = "# Roomloom sketch: " + one_line(scene.source.path) + "\n";
  }

  ObjTexts texts() {
    for (const Part& part : scene_.parts) add(part);
    return std::move(texts_);
  }

 private:
  void add(const Part& part) {
    std::string& obj = texts_.obj;
    obj += "o " + one_line(part.name) + "\n";
    for (std::uint32_t i = 0; i < part.point_count; ++i) {
      const Vec3& p = scene_.points[part.first_point + i];
      obj += "v " + number(p.x) + " " + number(p.y) + " " + number(p.z) + "\n";
    }
    obj += "usemtl " + material(part) + "\n";
    if (part.kind == PartKind::mesh) {
      for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
        obj += "f";
        for (const std::uint32_t corner : scene_.triangles[part.first_triangle + t])
          obj += " " + std::to_string(corner + 1);  // counted from 1
        obj += "\n";
      }
      return;
    }
    obj += part.kind == PartKind::curve ? "l" : "p";
    for (std::uint32_t i = 0; i < part.point_count; ++i)
      obj += " " + std::to_string(part.first_point + i + 1);
    obj += "\n";
  }

  std::string material(const Part& part) {
    const Colour c = part.colour.value_or(Colour{});
    const std::string colour = number(c.r) + " " + number(c.g) + " " + number(c.b);
    std::string name = material_name(part);
    const auto [known, is_new] = materials_.emplace(name, colour);
    if (!is_new && known->second == colour) return name;
    if (!is_new) {
      name += "_" + std::to_string(materials_.size());
      materials_.emplace(name, colour);
    }
    texts_.mtl += "newmtl " + name + "\nKd " + colour + "\nd " + number(c.a) + "\n";
    return name;
  }

  const Scene& scene_;
  ObjTexts texts_;
  std::map<std::string, std::string> materials_;
};

}  // namespace

ObjTexts obj_of(const Scene& scene, const std::string& mtl_name) {
  return ObjMaker(scene, mtl_name).texts();
}

}  // namespace roomloom
