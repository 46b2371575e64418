#pragma once

#include <gtest/gtest.h>

#include <map>
#include <string>

#include "sketch/polyhedra.h"
#include "sketch/sketch.h"
#include "types/solids.h"

namespace roomloom {

/// The part of that name; a test failure and an empty part if there is none.
inline SolidPart part_named(const Solids& solids, const std::string& name) {
  for (const SolidPart& part : solids.parts)
    if (part.name == name) return part;
  ADD_FAILURE() << "no part \"" << name << "\"";
  return {};
}

inline double part_volume(const Solids& solids, const std::string& name) {
  return volume(part_named(solids, name).faces);
}

inline Box3 box_of(const SolidPart& part) {
  Box3 box;
  for (const SolidFace& face : part.faces)
    for (const Vec3& p : face.outline) box.add(p);
  return box;
}

inline void expect_near(const Vec3& actual, const Vec3& expected, double within = 1e-9) {
  EXPECT_LT(distance(actual, expected), within)
      << actual.x << ", " << actual.y << ", " << actual.z << " is not " << expected.x << ", "
      << expected.y << ", " << expected.z;
}

/// The built model, or a test failure with the message.
inline Solids built(const RoomSketch& sketch) {
  const Result<Solids> solids = build_sketch(sketch);
  if (solids) return *solids;
  ADD_FAILURE() << to_text(solids.error());
  return {};
}

inline std::string refusal(const RoomSketch& sketch) {
  const Result<Solids> solids = build_sketch(sketch);
  return solids ? "was built" : to_text(solids.error());
}

/// Directed edges of a part's triangles that have not exactly one opposite.
inline int unmatched_triangle_edges(const Scene& scene, const Part& part) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> uses;
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    const auto& corner = scene.triangles[part.first_triangle + t];
    for (std::size_t i = 0; i < 3; ++i) ++uses[{corner[i], corner[(i + 1) % 3]}];
  }
  int unmatched = 0;
  for (const auto& [edge, count] : uses) {
    const auto opposite = uses.find({edge.second, edge.first});
    if (count != 1 || opposite == uses.end() || opposite->second != 1) ++unmatched;
  }
  return unmatched;
}

inline double triangle_volume(const Scene& scene, const Part& part) {
  double sum = 0;
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    const auto& corner = scene.triangles[part.first_triangle + t];
    sum += dot(scene.points[corner[0]], cross(scene.points[corner[1]], scene.points[corner[2]]));
  }
  return sum / 6;
}

/// Every mesh of the scene is watertight and holds what its planar faces hold.
inline void expect_sound(const Solids& solids) {
  const Scene scene = scene_of(solids);
  ASSERT_EQ(scene.parts.size(), solids.parts.size());
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if (scene.parts[i].kind != PartKind::mesh) continue;
    SCOPED_TRACE(scene.parts[i].name);
    EXPECT_EQ(unmatched_edges(solids.parts[i].faces), 0);
    EXPECT_EQ(unmatched_triangle_edges(scene, scene.parts[i]), 0);
    EXPECT_GT(volume(solids.parts[i].faces), 0);
    EXPECT_NEAR(triangle_volume(scene, scene.parts[i]), volume(solids.parts[i].faces), 1e-9);
  }
}

}  // namespace roomloom
