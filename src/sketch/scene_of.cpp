#include <map>

#include "sketch/sketch.h"
#include "sketch/triangulate.h"

namespace roomloom {
namespace {

/// Index of a part's group, made when it is met first.
int group_index(const SolidPart& part, int root, std::map<std::string, int>& known, Scene& scene) {
  if (part.group.empty()) return root;
  const auto [place, is_new] = known.emplace(part.group, static_cast<int>(scene.groups.size()));
  if (is_new) scene.groups.push_back({part.group, root});
  return place->second;
}

std::uint32_t size32(std::size_t size) { return static_cast<std::uint32_t>(size); }

/// Corners shared by faces are one point.
void add_mesh(const SolidPart& solid, Scene& scene) {
  std::map<std::array<double, 3>, std::uint32_t> known;
  for (std::size_t f = 0; f < solid.faces.size(); ++f) {
    std::vector<std::uint32_t> index;
    for (const Vec3& p : face_corners(solid.faces[f])) {
      const auto [place, is_new] =
          known.emplace(std::array<double, 3>{p.x, p.y, p.z}, size32(scene.points.size()));
      if (is_new) scene.points.push_back(p);
      index.push_back(place->second);
    }
    for (const auto& t : triangulate(solid.faces[f])) {
      scene.triangles.push_back({index[t[0]], index[t[1]], index[t[2]]});
      scene.face.push_back(static_cast<std::int32_t>(f));
    }
  }
}

}  // namespace

Scene scene_of(const Solids& solids) {
  Scene scene;
  scene.source.path = solids.name;
  scene.groups.push_back({solids.name, -1});
  scene.notes = solids.notes;
  std::map<std::string, int> groups;
  for (const SolidPart& solid : solids.parts) {
    Part part;
    part.name = solid.name;
    part.path = solids.name + "/" + (solid.group.empty() ? "" : solid.group + "/") + solid.name;
    part.parent = group_index(solid, 0, groups, scene);
    part.layer = solid.layer;
    part.colour = solid.colour;
    part.extras = solid.extras;
    part.kind = solid.kind;
    part.closure = solid.kind == PartKind::mesh ? Closure::oriented : Closure::open;
    part.first_point = size32(scene.points.size());
    part.first_triangle = size32(scene.triangles.size());
    if (solid.kind == PartKind::mesh)
      add_mesh(solid, scene);
    else
      scene.points.insert(scene.points.end(), solid.points.begin(), solid.points.end());
    part.point_count = size32(scene.points.size()) - part.first_point;
    part.triangle_count = size32(scene.triangles.size()) - part.first_triangle;
    scene.parts.push_back(std::move(part));
  }
  return scene;
}

}  // namespace roomloom
