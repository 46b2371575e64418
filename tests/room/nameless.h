#pragma once

#include <array>
#include <string>

#include "rooms.h"

namespace roomloom::testing_rooms {

/// The scene as a program leaves it that names its parts by their number.
inline Scene nameless(Scene scene) {
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    Part& part = scene.parts[i];
    part.name = part.path = "Mesh." + std::to_string(i + 1);
    part.layer.clear();
    part.extras.clear();
  }
  return scene;
}

/// Adds a closed box as a part that no name tells.
inline void add_box(Scene& scene, const Vec3& low, const Vec3& high) {
  constexpr std::array<std::array<std::uint32_t, 3>, 12> kFaces = {{{0, 2, 1},
                                                                    {1, 2, 3},
                                                                    {4, 5, 6},
                                                                    {5, 7, 6},
                                                                    {0, 1, 4},
                                                                    {1, 5, 4},
                                                                    {2, 6, 3},
                                                                    {3, 6, 7},
                                                                    {0, 4, 2},
                                                                    {2, 4, 6},
                                                                    {1, 3, 5},
                                                                    {3, 7, 5}}};
  Part part;
  part.name = part.path = "Mesh." + std::to_string(scene.parts.size() + 1);
  part.closure = Closure::oriented;
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.point_count = 8;
  part.triangle_count = 12;
  for (int i = 0; i < 8; ++i)
    scene.points.push_back({(i & 1) != 0 ? high.x : low.x, (i & 2) != 0 ? high.y : low.y,
                            (i & 4) != 0 ? high.z : low.z});
  for (const auto& face : kFaces) {
    scene.triangles.push_back(
        {part.first_point + face[0], part.first_point + face[1], part.first_point + face[2]});
    scene.face.push_back(-1);
  }
  scene.parts.push_back(part);
}

/// Rows of plates from a corner on, `gap` apart.
inline void add_plates(Scene& scene, const Vec3& from, const Vec3& size, int columns, int rows,
                       double gap = 0) {
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const Vec3 low = from + Vec3{column * (size.x + gap), row * (size.y + gap), 0};
      add_box(scene, low, low + size);
    }
}

}  // namespace roomloom::testing_rooms
