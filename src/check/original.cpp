#include "check/original.h"

#include <algorithm>
#include <cmath>
#include <span>
#include <string_view>

#include "base/glob.h"

namespace roomloom::check {
namespace {

constexpr double kNearby = 0.15;   // metres about a point, in which faces are held to one plane
constexpr double kSameWay = 0.77;  // cosine: faces that look the same way, bumps included
constexpr double kRough = 0.001;   // metres: a drawn wall is flatter, a scanned one is not
constexpr double kSpanned = 0.8;   // share of a scan's sides that labelled parts must reach
constexpr int kScan = 400;         // triangles: a coarser mesh was drawn
constexpr int kSwallowed = 3;      // bodies within another that make it a volume, not a thing
constexpr double kLowestWall = 1.5, kThickestWall = 0.6;
constexpr double kLargestFoot = 6;  // square metres of floor that a piece of furniture takes
constexpr double kTallest = 2.3;    // metres of a piece of furniture
constexpr double kThinnest = 0.2;   // metres: what is as tall as a room and thinner is a wall

Vec3 corner(const Scene& scene, const Faces& faces, std::uint32_t triangle, std::size_t which) {
  return scene.points[faces.triangles[triangle][which]];
}

// Twice the area, along the normal.
Vec3 area_vector(const Scene& scene, const Faces& faces, std::uint32_t triangle) {
  const Vec3 a = corner(scene, faces, triangle, 0);
  return cross(corner(scene, faces, triangle, 1) - a, corner(scene, faces, triangle, 2) - a);
}

bool has_word(const std::string& text, std::string_view word) {
  return lower_case(text).find(word) != std::string::npos;
}

// Words of building models for what has no body; the file says them itself.
bool is_called_nothing(const Part& part) {
  constexpr std::string_view kWords[] = {"space",   "site", "annotation", "openingelement",
                                         "opening", "grid", "terrain",    "camera"};
  return std::any_of(std::begin(kWords), std::end(kWords), [&](std::string_view word) {
    return has_word(part.name, word) || has_word(part.path, word) || has_word(part.layer, word) ||
           std::any_of(part.extras.begin(), part.extras.end(),
                       [&](const auto& extra) { return has_word(extra.second, word); });
  });
}

// As high and as thin as a wall, a door or a window.
bool is_wall_like(const Vec3& size) {
  return size.z >= kLowestWall && std::min(size.x, size.y) <= kThickestWall;
}

// Whether a point lies in a closed body is told by how many of its faces are above it.
bool swallows_others(const Scene& scene, std::size_t body) {
  const Part& part = scene.parts[body];
  const Box3 box = box_of(scene, part);
  const TriangleTree tree(
      scene.points, std::span(scene.triangles).subspan(part.first_triangle, part.triangle_count));
  int inside = 0;
  for (std::size_t i = 0; i < scene.parts.size() && inside < kSwallowed; ++i) {
    if (i == body || scene.parts[i].triangle_count == 0) continue;
    const Box3 other = box_of(scene, scene.parts[i]);
    const Vec3 centre = other.centre();
    if (!is_wall_like(other.size()) || !box.contains(centre)) continue;
    const Vec3 above{centre.x + 1e-4, centre.y + 2e-4, box.high.z + 1};
    inside += tree.hits(centre, above).size() % 2 == 1;
  }
  return inside >= kSwallowed;
}

Faces faces_of_part(const Scene& scene, std::size_t part) {
  std::vector<Role> roles(scene.parts.size(), Role::ignore);
  roles[part] = Role::automatic;
  return faces_of(scene, roles, false);
}

// At a hundred places spread over it, most are rough.
bool is_rough(const Scene& scene, std::size_t part) {
  const Faces faces = faces_of_part(scene, part);
  const TriangleTree tree(scene.points, faces.triangles);
  const std::size_t step = std::max<std::size_t>(1, faces.triangles.size() / 100);
  std::size_t rough = 0, tried = 0;
  for (std::size_t i = 0; i < faces.triangles.size(); i += step, ++tried) {
    const auto triangle = static_cast<std::uint32_t>(i);
    rough += roughness(scene, faces, tree, triangle, corner(scene, faces, triangle, 0)) > kRough;
  }
  return 2 * rough > tried;
}

bool is_scanned_again(const Scene& scene, std::size_t part) {
  if (scene.parts[part].triangle_count < kScan || !is_rough(scene, part)) return false;
  Box3 others;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if (i == part || scene.parts[i].triangle_count == 0) continue;
    others.add(box_of(scene, scene.parts[i]));
  }
  if (others.empty()) return false;
  const Vec3 all = others.size(), own = box_of(scene, scene.parts[part]).size();
  return all.x > kSpanned * own.x && all.y > kSpanned * own.y && all.z > kSpanned * own.z;
}

}  // namespace

Faces faces_of(const Scene& scene, const std::vector<Role>& roles, bool ignored) {
  Faces faces;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    if ((roles[i] == Role::ignore) != ignored) continue;
    const Part& part = scene.parts[i];
    for (std::uint32_t k = 0; k < part.triangle_count; ++k) {
      faces.triangles.push_back(scene.triangles[part.first_triangle + k]);
      faces.parts.push_back(static_cast<int>(i));
    }
  }
  return faces;
}

Box3 box_of(const Scene& scene, const Part& part) {
  Box3 box;
  for (std::uint32_t i = 0; i < part.point_count; ++i) box.add(scene.points[part.first_point + i]);
  return box;
}

double roughness(const Scene& scene, const Faces& faces, const TriangleTree& tree,
                 std::uint32_t triangle, const Vec3& at) {
  const Vec3 normal = normalized(area_vector(scene, faces, triangle));
  Box3 about;
  about.add(at);
  std::vector<std::uint32_t> near;
  Vec3 sum;
  for (const std::uint32_t other : tree.overlapping(about.grown(kNearby))) {
    const Vec3 area = area_vector(scene, faces, other);
    if (dot(area, normal) < kSameWay * norm(area)) continue;
    near.push_back(other);
    sum = sum + area;
  }
  if (near.empty()) return 0;
  const Vec3 mean = normalized(sum);
  double low = 1e9, high = -1e9;
  for (const std::uint32_t other : near) {
    for (std::size_t i = 0; i < 3; ++i) {
      const double height = dot(corner(scene, faces, other, i) - at, mean);
      low = std::min(low, height);
      high = std::max(high, height);
    }
  }
  return 0.5 * (high - low);
}

bool may_be_ignored(const Scene& scene, std::size_t part) {
  if (scene.parts[part].triangle_count == 0 || is_called_nothing(scene.parts[part])) return true;
  return swallows_others(scene, part) || is_scanned_again(scene, part);
}

std::vector<Role> believed_roles(const WrittenPlan& plan, const Scene& scene, const Job& job) {
  std::vector<Role> roles;
  for (std::size_t i = 0; i < scene.parts.size(); ++i) {
    const Part& part = scene.parts[i];
    Role role = role_in_job(job, part);
    const bool claimed = plan.ignored.count(part.name) != 0;
    if (role == Role::automatic && claimed && may_be_ignored(scene, i)) role = Role::ignore;
    roles.push_back(role);
  }
  return roles;
}

bool is_furniture(const Scene& scene, const std::vector<Role>& roles, std::size_t part) {
  const Role role = roles[part];
  if (role == Role::furniture || role == Role::seat || role == Role::cupboard ||
      role == Role::curtain) {
    return true;
  }
  if (role != Role::automatic) return false;
  const Vec3 size = box_of(scene, scene.parts[part]).size();
  const bool wall_like = std::min(size.x, size.y) < kThinnest && size.z > 1.5;
  return size.x * size.y < kLargestFoot && size.z < kTallest && !wall_like;
}

}  // namespace roomloom::check
