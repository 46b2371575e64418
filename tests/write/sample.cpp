#include "write/sample.h"

#include <unistd.h>

#include <array>
#include <cmath>
#include <fstream>
#include <sstream>

#include "base/files.h"
#include "base/sha256.h"
#include "geometry/arc.h"

namespace roomloom::sample {
namespace {

AnnotationItem item(AnnotationGroup group, const std::string& name, AnnotationShape shape) {
  AnnotationItem made;
  made.group = group;
  made.name = name;
  made.colour = {0.9F, 0.1F, 0.02F, 1};
  made.layer = std::string(to_string(group)) + " loudspeaker";
  made.shape = std::move(shape);
  return made;
}

void add_box(Scene& scene, const std::string& name, const Vec3& low, const Vec3& high) {
  Part part;
  part.name = name;
  part.path = "Box room/" + name;
  part.parent = 0;
  part.colour = Colour{0.7F, 0.7F, 0.65F, 1};
  part.closure = Closure::oriented;
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.point_count = 8;
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.triangle_count = 12;
  for (int i = 0; i < 8; ++i)
    scene.points.push_back({(i & 1) != 0 ? high.x : low.x, (i & 2) != 0 ? high.y : low.y,
                            (i & 4) != 0 ? high.z : low.z});
  const std::array<std::array<std::uint32_t, 4>, 6> faces = {
      {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}}};
  const std::uint32_t p = part.first_point;
  for (std::size_t f = 0; f < 6; ++f) {
    const auto& q = faces[f];
    scene.triangles.push_back({p + q[0], p + q[1], p + q[2]});
    scene.triangles.push_back({p + q[0], p + q[2], p + q[3]});
    scene.face.insert(scene.face.end(), 2, static_cast<std::int32_t>(f));
  }
  scene.parts.push_back(part);
}

}  // namespace

std::vector<Piece> filleted(const std::vector<Vec3>& corners, double radius_m) {
  std::vector<Piece> pieces;
  Vec3 from = corners.front();
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    const Vec3 in = normalized(corners[i] - corners[i - 1]);
    const Vec3 out = normalized(corners[i + 1] - corners[i]);
    const double angle = angle_between(in, out);
    const double setback = radius_m * std::tan(angle / 2);
    Arc arc;
    arc.from = corners[i] - setback * in;
    arc.to = corners[i] + setback * out;
    arc.axis = normalized(cross(in, out));
    arc.centre = arc.from + radius_m * cross(arc.axis, in);
    arc.radius_m = radius_m;
    arc.angle_rad = angle;
    pieces.push_back(Line3{from, arc.from});
    pieces.push_back(arc);
    from = arc.to;
  }
  pieces.push_back(Line3{from, corners.back()});
  return pieces;
}

Annotation annotation() {
  Annotation made;
  auto& items = made.items;
  items.push_back(item(
      AnnotationGroup::runs, "Run S1",
      Tube{
          filleted(
              {{0.2, 0.1, 0.3}, {0.2, 0.1, 2.4}, {0.2, 2.6, 2.4}, {3.1, 2.6, 2.4}, {3.1, 2.9, 1.2}},
              0.05),
          0.0072}));
  items.back().texts = {{"run", "S1"}, {"from", "amp \"A\"\\1"}, {"to", "M+030"}};
  items.back().numbers = {{"drawn_m", 8.25}, {"cut_m", 9.5}};
  items.push_back(item(AnnotationGroup::runs, "Run Küche ü'1'",
                       Tube{filleted({{1, 1, 0.1}, {2, 1, 0.1}, {2, 2, 0.1}}, 0.03), 0.006}));
  items.back().texts = {{"cable", "zwölf Ω 音"}};
  items.push_back(item(AnnotationGroup::raceway, "Raceway 1",
                       Bar{{0.2, 0.1, 0.3}, {0.2, 0.1, 2.4}, {1, 0, 0}, 0.025, 0.016}));
  items.push_back(item(AnnotationGroup::crossings, "Hole H1",
                       RingShape{{0.2, 0.1, 2.4}, {0, 0, 1}, 0.03, 0.042, 0.004}));
  items.push_back(item(AnnotationGroup::supports, "Support 1",
                       Bar{{1, 2.6, 2.4}, {1, 2.6, 2.5}, {0, 1, 0}, 0.01, 0.01}));
  items.push_back(item(AnnotationGroup::labels, "Label S1",
                       Tag{"S1 Öl-3\nB", {0.3, 0, 1}, {1, 0, 0}, {0, 0, 1}, 0.06}));
  return made;
}

Annotation many_runs(int count) {
  Annotation made;
  for (int i = 0; i < count; ++i) {
    const double y = 0.02 * i;
    std::vector<Vec3> corners = {{0, y, 0.2}};
    for (int k = 0; k < 10; ++k) {
      Vec3 next = corners.back();
      next[k % 3] += k % 2 == 0 ? 0.5 : 0.4;
      corners.push_back(next);
    }
    const std::string number = std::to_string(i + 1);
    made.items.push_back(
        item(AnnotationGroup::runs, "Run S" + number, Tube{filleted(corners, 0.05), 0.0072}));
    for (int k = 0; k < 8; ++k) made.items.back().numbers["addend " + std::to_string(k)] = 0.1 * k;
    made.items.push_back(item(AnnotationGroup::raceway, "Raceway " + number,
                              Bar{corners[0], corners[1], {0, 1, 0}, 0.025, 0.016}));
    made.items.push_back(item(AnnotationGroup::crossings, "Hole H" + number,
                              RingShape{corners[2], {0, 0, 1}, 0.03, 0.042, 0.004}));
    made.items.push_back(
        item(AnnotationGroup::labels, "Label S" + number,
             Tag{"S" + number + " M+030", corners[0], {1, 0, 0}, {0, 0, 1}, 0.05}));
  }
  return made;
}

Scene box_scene() {
  Scene scene;
  scene.source.path = "box.glb";
  scene.groups.push_back({"Box room", -1});
  add_box(scene, "Wall front", {0, 3, 0}, {4, 3.1, 2.5});
  add_box(scene, "Wall rear", {0, -0.1, 0}, {4, 0, 2.5});
  add_box(scene, "Floor", {0, 0, -0.1}, {4, 3, 0});
  Part marker;
  marker.name = "Outlet 1";
  marker.kind = PartKind::marker;
  marker.first_point = static_cast<std::uint32_t>(scene.points.size());
  marker.point_count = 1;
  marker.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  marker.extras["kind"] = "outlet";
  scene.points.push_back({1, 3, 0.3});
  scene.parts.push_back(marker);
  return scene;
}

std::filesystem::path fresh_folder(const std::string& name) {
  /// Removes what the tests made when the program ends.
  struct Folders {
    std::vector<std::filesystem::path> made;
    ~Folders() {
      std::error_code ignored;
      for (const auto& folder : made) std::filesystem::remove_all(folder, ignored);
    }
  };
  static Folders folders;
  const auto folder = std::filesystem::temp_directory_path() /
                      ("roomloom-write-" + std::to_string(::getpid()) + "-" + name);
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  folders.made.push_back(folder);
  return folder;
}

Scene scene_from(const std::filesystem::path& original, const std::string& content,
                 ModelFormat format) {
  std::ofstream(original, std::ios::binary) << content;
  Scene scene = box_scene();
  scene.source.path = original.string();
  scene.source.sha256 = sha256(content);
  scene.source.format = format;
  if (format == ModelFormat::step) {
    scene.source.unit_m = 0.001;
    scene.source.to_room.m = {0.001, 0, 0, 0, 0, 0.001, 0, 0, 0, 0, 0.001, 0};
  } else {
    scene.source.up = 'y';
    scene.source.to_room.m = {1, 0, 0, 0, 0, 0, -1, 0, 0, 1, 0, 0};
  }
  return scene;
}

std::string read_text(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream all;
  all << stream.rdbuf();
  return all.str();
}

const WrittenFile* find(const std::vector<WrittenFile>& files, const std::string& name) {
  for (const WrittenFile& file : files)
    if (file.name == name) return &file;
  return nullptr;
}

}  // namespace roomloom::sample
