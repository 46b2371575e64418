#include "types/hiding.h"

#include <algorithm>

namespace roomloom {
namespace {

using Triangles = std::vector<std::array<std::uint32_t, 3>>;

void add_parts(const Scene& scene, const Room& room, Hiding wanted, Triangles& triangles) {
  for (std::size_t i = 0; i < scene.parts.size() && i < room.hiding.size(); ++i) {
    if (room.hiding[i] != wanted) continue;
    const auto first = scene.triangles.begin() + scene.parts[i].first_triangle;
    triangles.insert(triangles.end(), first, first + scene.parts[i].triangle_count);
  }
}

void add_box(const GearBox& box, std::vector<Vec3>& points, Triangles& triangles) {
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
  const auto first = static_cast<std::uint32_t>(points.size());
  for (int corner = 0; corner < 8; ++corner)
    points.push_back(box.frame.to_world(Vec3{(corner & 1) != 0 ? box.size.x : 0,
                                             (corner & 2) != 0 ? box.size.y : 0,
                                             (corner & 4) != 0 ? box.size.z : 0}));
  for (const auto& face : kFaces)
    triangles.push_back({first + face[0], first + face[1], first + face[2]});
}

}  // namespace

Spans Screens::hidden(const Vec3& eye, const Vec3& a, const Vec3& b, bool curtains_closed) const {
  Spans spans = fixed->hidden(eye, a, b);
  if (!curtains_closed || curtains->empty()) return spans;
  return united(spans, curtains->hidden(eye, a, b));
}

Spans Screens::hidden(const std::vector<Vec3>& eyes, const Vec3& a, const Vec3& b,
                      bool curtains_closed) const {
  Spans left{{0, 1}};
  for (const Vec3& eye : eyes) {
    left = common(left, hidden(eye, a, b, curtains_closed));
    if (left.empty()) break;
  }
  return left;
}

bool Screens::sees(const std::vector<Vec3>& eyes, const Vec3& p, bool curtains_closed) const {
  return std::any_of(eyes.begin(), eyes.end(), [&](const Vec3& eye) {
    return fixed->sees(eye, p) && (!curtains_closed || curtains->sees(eye, p));
  });
}

Screens screens_of(const Scene& scene, const Room& room, const Ends& ends) {
  Triangles fixed, curtains;
  add_parts(scene, room, Hiding::always, fixed);
  add_parts(scene, room, Hiding::curtain, curtains);
  std::vector<Vec3> points = scene.points;
  for (const GearBox& box : ends.gear) add_box(box, points, fixed);
  Screens screens;
  screens.curtains =
      std::make_unique<Sight>(curtains.empty() ? std::vector<Vec3>{} : points, std::move(curtains));
  screens.fixed = std::make_unique<Sight>(std::move(points), std::move(fixed));
  return screens;
}

}  // namespace roomloom
