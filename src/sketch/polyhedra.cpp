#include "sketch/polyhedra.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace roomloom {
namespace {

constexpr double kWeld = 1e-6;

template <typename Visit>
void for_each_ring(Faces& faces, Visit visit) {
  for (SolidFace& face : faces) {
    visit(face.outline);
    for (std::vector<Vec3>& hole : face.holes) visit(hole);
  }
}

/// First of each cluster of corners closer than the weld distance.
std::vector<Vec3> distinct_corners(Faces& faces) {
  std::vector<Vec3> distinct;
  for_each_ring(faces, [&](std::vector<Vec3>& ring) {
    for (Vec3& p : ring) {
      const auto same = std::find_if(distinct.begin(), distinct.end(),
                                     [&](const Vec3& q) { return distance(p, q) < kWeld; });
      if (same == distinct.end())
        distinct.push_back(p);
      else
        p = *same;
    }
  });
  return distinct;
}

void drop_repeats(std::vector<Vec3>& ring) {
  ring.erase(std::unique(ring.begin(), ring.end()), ring.end());
  while (ring.size() > 1 && ring.front() == ring.back()) ring.pop_back();
}

/// Corners strictly inside the edge a -> b, in its order.
std::vector<Vec3> corners_on(const Vec3& a, const Vec3& b, const std::vector<Vec3>& corners) {
  const double length = distance(a, b);
  const Vec3 along = (b - a) / length;
  std::vector<std::pair<double, Vec3>> found;
  for (const Vec3& p : corners) {
    const double t = dot(p - a, along);
    if (t <= kWeld || t >= length - kWeld) continue;
    if (distance(p, a + t * along) < kWeld) found.emplace_back(t, p);
  }
  std::sort(found.begin(), found.end(),
            [](const auto& left, const auto& right) { return left.first < right.first; });
  std::vector<Vec3> ordered;
  for (const auto& entry : found) ordered.push_back(entry.second);
  return ordered;
}

/// Twice the vector area of a ring.
Vec3 newell(std::span<const Vec3> ring) {
  Vec3 sum;
  for (std::size_t i = 0; i < ring.size(); ++i)
    sum += cross(ring[i] - ring[0], ring[(i + 1) % ring.size()] - ring[0]);
  return sum;
}

Vec3 vector_area(const SolidFace& face) {
  Vec3 sum = newell(face.outline);
  for (const auto& hole : face.holes) sum += newell(hole);
  return 0.5 * sum;
}

void add_sides(std::span<const Vec2> ring, double low_z, double high_z, Faces& faces) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 p = ring[i], q = ring[(i + 1) % ring.size()];
    faces.push_back(
        {{{p.x, p.y, low_z}, {q.x, q.y, low_z}, {q.x, q.y, high_z}, {p.x, p.y, high_z}}, {}});
  }
}

/// Where the lines through `points` along `direction` meet the plane.
std::vector<Vec3> onto_plane(const std::vector<Vec3>& points, const Vec3& direction, const Vec3& at,
                             const Vec3& normal) {
  std::vector<Vec3> moved;
  for (const Vec3& p : points)
    moved.push_back(p + dot(at - p, normal) / dot(direction, normal) * direction);
  return moved;
}

/// The swept section's rings: one at the start, one at each bend's mitre, one at the end.
std::vector<std::vector<Vec3>> swept_rings(std::span<const Vec3> line,
                                           std::span<const Vec2> section) {
  const Vec3 first = normalized(line[1] - line[0]);
  Vec3 side = cross(first, {0, 0, 1});
  side = norm(side) < 1e-9 ? Vec3{1, 0, 0} : normalized(side);
  const Vec3 up = cross(side, first);
  std::vector<std::vector<Vec3>> rings(1);
  for (const Vec2& p : section) rings[0].push_back(line[0] + p.x * side + p.y * up);
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Vec3 in = normalized(line[i] - line[i - 1]);
    const Vec3 out = i + 1 < line.size() ? normalized(line[i + 1] - line[i]) : in;
    rings.push_back(onto_plane(rings.back(), in, line[i], normalized(in + out)));
  }
  return rings;
}

}  // namespace

std::vector<Vec3> lifted(std::span<const Vec2> ring, double z) {
  std::vector<Vec3> points;
  for (const Vec2& p : ring) points.push_back({p.x, p.y, z});
  return points;
}

Faces inverted(Faces faces) {
  for_each_ring(faces, [](std::vector<Vec3>& ring) { std::reverse(ring.begin(), ring.end()); });
  return faces;
}

Faces prism(const Polygon& plan, double low_z, double high_z) {
  SolidFace top{lifted(plan.outline, high_z), {}}, bottom{lifted(plan.outline, low_z), {}};
  for (const Ring& hole : plan.holes) {
    top.holes.push_back(lifted(hole, high_z));
    bottom.holes.push_back(lifted(hole, low_z));
  }
  Faces faces = inverted({bottom});
  faces.push_back(top);
  add_sides(plan.outline, low_z, high_z, faces);
  for (const Ring& hole : plan.holes) add_sides(hole, low_z, high_z, faces);
  return faces;
}

Faces box(const Vec3& corner, const Vec3& u, const Vec3& v, const Vec3& w) {
  const auto at = [&](int i, int j, int k) { return corner + i * u + j * v + k * w; };
  return {{{at(0, 0, 0), at(0, 1, 0), at(1, 1, 0), at(1, 0, 0)}, {}},
          {{at(0, 0, 1), at(1, 0, 1), at(1, 1, 1), at(0, 1, 1)}, {}},
          {{at(0, 0, 0), at(1, 0, 0), at(1, 0, 1), at(0, 0, 1)}, {}},
          {{at(1, 1, 0), at(0, 1, 0), at(0, 1, 1), at(1, 1, 1)}, {}},
          {{at(0, 1, 0), at(0, 0, 0), at(0, 0, 1), at(0, 1, 1)}, {}},
          {{at(1, 0, 0), at(1, 1, 0), at(1, 1, 1), at(1, 0, 1)}, {}}};
}

Faces swept(std::span<const Vec3> line, std::span<const Vec2> section) {
  const std::vector<std::vector<Vec3>> rings = swept_rings(line, section);
  Faces faces{{rings.front(), {}}};
  for (std::size_t i = 0; i + 1 < rings.size(); ++i) {
    for (std::size_t j = 0; j < section.size(); ++j) {
      const std::size_t next = (j + 1) % section.size();
      faces.push_back({{rings[i][next], rings[i][j], rings[i + 1][j], rings[i + 1][next]}, {}});
    }
  }
  faces.push_back({{rings.back().rbegin(), rings.back().rend()}, {}});
  return faces;
}

Ring regular_ring(const Vec2& centre, double diameter_m, int corners) {
  Ring ring;
  for (int i = 0; i < corners; ++i) {
    const double angle = 2 * kPi * (i + 0.5) / corners - kPi / 2;
    ring.push_back(centre + 0.5 * diameter_m * Vec2{std::cos(angle), std::sin(angle)});
  }
  return ring;
}

Ring rectangle(const Vec2& low, const Vec2& high) {
  return {low, {high.x, low.y}, high, {low.x, high.y}};
}

void make_conforming(Faces& faces) {
  const std::vector<Vec3> corners = distinct_corners(faces);
  for_each_ring(faces, drop_repeats);
  std::erase_if(faces, [](const SolidFace& face) { return face.outline.size() < 3; });
  for_each_ring(faces, [&](std::vector<Vec3>& ring) {
    std::vector<Vec3> full;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      full.push_back(ring[i]);
      const auto between = corners_on(ring[i], ring[(i + 1) % ring.size()], corners);
      full.insert(full.end(), between.begin(), between.end());
    }
    ring = std::move(full);
  });
}

int unmatched_edges(const Faces& faces) {
  std::map<std::array<double, 6>, int> uses;
  Faces copy = faces;
  for_each_ring(copy, [&](std::vector<Vec3>& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3 &a = ring[i], &b = ring[(i + 1) % ring.size()];
      ++uses[{a.x, a.y, a.z, b.x, b.y, b.z}];
    }
  });
  int unmatched = 0;
  for (const auto& [edge, count] : uses) {
    const auto opposite = uses.find({edge[3], edge[4], edge[5], edge[0], edge[1], edge[2]});
    if (count != 1 || opposite == uses.end() || opposite->second != 1) ++unmatched;
  }
  return unmatched;
}

double volume(const Faces& faces) {
  double sum = 0;
  for (const SolidFace& face : faces) sum += dot(face.outline[0], vector_area(face));
  return sum / 3;
}

double face_area(const SolidFace& face) { return norm(vector_area(face)); }

Vec3 face_normal(const SolidFace& face) { return normalized(newell(face.outline)); }

}  // namespace roomloom
