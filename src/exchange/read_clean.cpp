#include "exchange/read_clean.h"

#include <algorithm>
#include <bit>
#include <numeric>
#include <tuple>
#include <unordered_map>

#include "exchange/read_text.h"

namespace roomloom {
namespace {

using Triangle = std::array<std::uint32_t, 3>;

constexpr double kFarthestM = 1e7;
/// Thinner than this a triangle has no side: its normal would be rounding.
constexpr double kThinnestM = 1e-9;
/// With more bodies in one part nobody looks which one is whose cavity.
constexpr std::size_t kMostBodies = 2000;

struct Dropped {
  std::size_t degenerate = 0, duplicate = 0;
};

struct PointHash {
  std::size_t operator()(const Vec3& p) const {
    std::uint64_t hash = 0x9E3779B97F4A7C15U;
    for (int axis = 0; axis < 3; ++axis) {
      hash ^= std::bit_cast<std::uint64_t>(p[axis] + 0.0);  // -0 counts as 0
      hash *= 0xBF58476D1CE4E5B9U;
      hash ^= hash >> 31;
    }
    return static_cast<std::size_t>(hash);
  }
};

/// A part's points and triangles with indices of its own.
struct Mesh {
  std::vector<Vec3> points;
  std::vector<Triangle> triangles;
  std::vector<std::int32_t> face;
};

Mesh with_merged_points(const Scene& scene, const Part& part) {
  Mesh mesh;
  std::unordered_map<Vec3, std::uint32_t, PointHash> index_of;
  std::vector<std::uint32_t> merged(part.point_count, UINT32_MAX);
  for (std::uint32_t t = 0; t < part.triangle_count; ++t) {
    Triangle own{};
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t local = scene.triangles[part.first_triangle + t][k] - part.first_point;
      if (merged[local] == UINT32_MAX) {
        const Vec3& p = scene.points[part.first_point + local];
        const auto [found, is_new] =
            index_of.try_emplace(p, static_cast<std::uint32_t>(mesh.points.size()));
        if (is_new) mesh.points.push_back(p);
        merged[local] = found->second;
      }
      own[k] = merged[local];
    }
    mesh.triangles.push_back(own);
    mesh.face.push_back(scene.face[part.first_triangle + t]);
  }
  return mesh;
}

bool repeats_a_corner(const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; }

bool has_no_area(const Mesh& mesh, const Triangle& t) {
  const Vec3 &a = mesh.points[t[0]], &b = mesh.points[t[1]], &c = mesh.points[t[2]];
  const double longest = std::max({distance(a, b), distance(b, c), distance(c, a)});
  return norm(cross(b - a, c - a)) < kThinnestM * longest;
}

/// The same triangle from whichever corner it was written, keeping its direction.
Triangle from_lowest(Triangle t) {
  std::rotate(t.begin(), std::min_element(t.begin(), t.end()), t.end());
  return t;
}

template <typename Drop>
std::size_t drop_triangles(Mesh& mesh, Drop drop) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    if (drop(i)) continue;
    mesh.triangles[kept] = mesh.triangles[i];
    mesh.face[kept++] = mesh.face[i];
  }
  const std::size_t dropped = mesh.triangles.size() - kept;
  mesh.triangles.resize(kept);
  mesh.face.resize(kept);
  return dropped;
}

std::size_t drop_repeated(Mesh& mesh) {
  std::vector<std::size_t> order(mesh.triangles.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<Triangle> keys;
  for (const Triangle& t : mesh.triangles) keys.push_back(from_lowest(t));
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return keys[a] != keys[b] ? keys[a] < keys[b] : a < b;
  });
  std::vector<bool> repeated(mesh.triangles.size());
  for (std::size_t i = 1; i < order.size(); ++i)
    if (keys[order[i]] == keys[order[i - 1]]) repeated[order[i]] = true;
  return drop_triangles(mesh, [&](std::size_t i) { return repeated[i]; });
}

/// An edge of a triangle: its ends in ascending order, and whether it was walked that way.
struct Edge {
  std::uint32_t low, high, triangle;
  bool upwards;
};

std::vector<Edge> sorted_edges(const Mesh& mesh) {
  std::vector<Edge> edges;
  edges.reserve(mesh.triangles.size() * 3);
  for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = mesh.triangles[i][k], b = mesh.triangles[i][(k + 1) % 3];
      edges.push_back({std::min(a, b), std::max(a, b), i, a < b});
    }
  std::sort(edges.begin(), edges.end(), [](const Edge& a, const Edge& b) {
    return std::tie(a.low, a.high, a.triangle) < std::tie(b.low, b.high, b.triangle);
  });
  return edges;
}

/// Which triangles hang together by edges; by union-find.
class Bodies {
 public:
  explicit Bodies(std::size_t count) : parent_(count) {
    std::iota(parent_.begin(), parent_.end(), std::uint32_t{0});
  }
  std::uint32_t root(std::uint32_t i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(std::uint32_t a, std::uint32_t b) { parent_[root(b)] = root(a); }

 private:
  std::vector<std::uint32_t> parent_;
};

struct Body {
  double volume = 0, area = 0;
  Box3 box;
};

std::vector<Body> bodies_of(const Mesh& mesh, const std::vector<Edge>& edges) {
  Bodies roots(mesh.triangles.size());
  for (std::size_t i = 1; i < edges.size(); ++i)
    if (edges[i].low == edges[i - 1].low && edges[i].high == edges[i - 1].high)
      roots.join(edges[i - 1].triangle, edges[i].triangle);
  std::vector<std::uint32_t> index_of(mesh.triangles.size(), UINT32_MAX);
  std::vector<Body> bodies;
  const Vec3 origin = mesh.points.front();  // near the mesh, so that volumes do not cancel
  for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i) {
    std::uint32_t& index = index_of[roots.root(i)];
    if (index == UINT32_MAX) {
      index = static_cast<std::uint32_t>(bodies.size());
      bodies.emplace_back();
    }
    const Triangle& t = mesh.triangles[i];
    const Vec3 a = mesh.points[t[0]] - origin, b = mesh.points[t[1]] - origin,
               c = mesh.points[t[2]] - origin;
    bodies[index].volume += dot(a, cross(b, c)) / 6;
    bodies[index].area += norm(cross(b - a, c - a)) / 2;
    for (const std::uint32_t corner : t) bodies[index].box.add(mesh.points[corner]);
  }
  return bodies;
}

/// Whether an inward-facing body is the cavity of another one.
bool is_cavity(const Body& inner, const std::vector<Body>& bodies) {
  return bodies.size() <= kMostBodies &&
         std::any_of(bodies.begin(), bodies.end(), [&inner](const Body& outer) {
           return outer.volume > -inner.volume && outer.box.contains(inner.box.low) &&
                  outer.box.contains(inner.box.high);
         });
}

Closure closure_of_bodies(const Mesh& mesh, const std::vector<Edge>& edges) {
  const std::vector<Body> bodies = bodies_of(mesh, edges);
  Closure closure = Closure::oriented;
  for (const Body& body : bodies) {
    // A sheet with a front and a back closes over nothing.
    if (std::abs(body.volume) <= kThinnestM * body.area) return Closure::open;
    if (body.volume < 0 && !is_cavity(body, bodies)) closure = Closure::closed;
  }
  return closure;
}

Closure closure_of(const Mesh& mesh) {
  if (mesh.triangles.empty()) return Closure::open;
  const std::vector<Edge> edges = sorted_edges(mesh);
  bool one_direction = true;
  for (std::size_t first = 0, last = 0; first < edges.size(); first = last) {
    int up = 0, down = 0;
    for (last = first; last < edges.size() && edges[last].low == edges[first].low &&
                       edges[last].high == edges[first].high;
         ++last)
      ++(edges[last].upwards ? up : down);
    if ((up + down) % 2 != 0) return Closure::open;
    one_direction = one_direction && up == down;
  }
  return one_direction ? closure_of_bodies(mesh, edges) : Closure::closed;
}

void append(Scene& scene, Part part, const Mesh& mesh) {
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.point_count = static_cast<std::uint32_t>(mesh.points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.triangle_count = static_cast<std::uint32_t>(mesh.triangles.size());
  scene.points.insert(scene.points.end(), mesh.points.begin(), mesh.points.end());
  for (Triangle t : mesh.triangles) {
    for (std::uint32_t& index : t) index += part.first_point;
    scene.triangles.push_back(t);
  }
  scene.face.insert(scene.face.end(), mesh.face.begin(), mesh.face.end());
  scene.parts.push_back(std::move(part));
}

void append_points(Scene& scene, Part part, const Scene& from) {
  const auto first = from.points.begin() + part.first_point;
  part.first_point = static_cast<std::uint32_t>(scene.points.size());
  part.first_triangle = static_cast<std::uint32_t>(scene.triangles.size());
  part.triangle_count = 0;
  scene.points.insert(scene.points.end(), first, first + part.point_count);
  scene.parts.push_back(std::move(part));
}

/// Repairs one text; true when there was something to repair.
bool repair(std::string& text) {
  if (is_utf8(text)) return false;
  text = repaired_utf8(text);
  return true;
}

std::size_t repair_names(Scene& scene) {
  std::size_t repaired = 0;
  for (Group& group : scene.groups) repaired += repair(group.name);
  for (Part& part : scene.parts) {
    repaired += repair(part.name);
    repair(part.path), repair(part.layer), repair(part.material);
    std::map<std::string, std::string> extras;
    for (const auto& [key, value] : part.extras)
      extras.emplace(repaired_utf8(key), repaired_utf8(value));
    part.extras = std::move(extras);
  }
  for (Note& note : scene.notes) repair(note.text), repair(note.where);
  repair(scene.source.schema);
  return repaired;
}

void add_notes(Scene& scene, const Dropped& dropped, const std::string& file) {
  if (dropped.degenerate > 0)
    scene.notes.push_back(
        {"reader.degenerate-triangles",
         with_separators(dropped.degenerate) + " triangles without area were dropped.", file});
  if (dropped.duplicate > 0)
    scene.notes.push_back({"reader.duplicate-triangles",
                           with_separators(dropped.duplicate) + " repeated triangles were dropped.",
                           file});
}

bool lies_near(const Scene& scene) {
  return std::all_of(scene.points.begin(), scene.points.end(), [](const Vec3& p) {
    return std::abs(p.x) < kFarthestM && std::abs(p.y) < kFarthestM && std::abs(p.z) < kFarthestM;
  });
}

/// A stray point, or a whole model in the coordinates of a map.
Error too_far(const Scene& scene, const std::string& file) {
  Box3 box;
  for (const Vec3& p : scene.points) box.add(p);
  const Vec3 size = box.size();
  const bool whole = std::max({size.x, size.y, size.z}) < 0.01 * norm(box.centre());
  if (!whole)
    return {"model.too-large", "A point lies more than 10,000 km from the origin.", file,
            "Check the model's unit, and that no stray point lies far away."};
  return {"model.too-large", "The whole model lies more than 10,000 km from the origin.", file,
          "If it is in a map's coordinates, move it near the origin before you export it; else "
          "check its unit."};
}

}  // namespace

void place_in_room(Scene& scene, const Transform& to_room) {
  if (to_room == Transform{}) return;
  for (Vec3& p : scene.points) p = to_room.apply(p);
  for (Part& part : scene.parts) part.transform = to_room * part.transform;
  if (to_room.determinant() < 0)
    for (auto& triangle : scene.triangles) std::swap(triangle[1], triangle[2]);
}

Status clean(Scene& scene, const std::string& file) {
  if (!lies_near(scene)) return too_far(scene, file);
  Scene out;
  Dropped dropped;
  for (Part& part : scene.parts) {
    if (part.kind != PartKind::mesh) {
      append_points(out, std::move(part), scene);
      continue;
    }
    Mesh mesh = with_merged_points(scene, part);
    dropped.degenerate +=
        drop_triangles(mesh, [&](std::size_t i) { return repeats_a_corner(mesh.triangles[i]); });
    dropped.duplicate += drop_repeated(mesh);
    // Thin triangles still close the gap between their neighbours: judge before they go.
    part.closure = closure_of(mesh);
    dropped.degenerate +=
        drop_triangles(mesh, [&](std::size_t i) { return has_no_area(mesh, mesh.triangles[i]); });
    if (mesh.triangles.empty()) {
      scene.notes.push_back(
          {"reader.part-without-area", "Has no triangle with an area; left out.", part.path});
      continue;
    }
    append(out, std::move(part), mesh);
  }
  out.source = std::move(scene.source);
  out.groups = std::move(scene.groups);
  out.notes = std::move(scene.notes);
  add_notes(out, dropped, file);
  if (const std::size_t repaired = repair_names(out); repaired > 0)
    out.notes.push_back({"reader.not-utf8",
                         with_separators(repaired) +
                             " names are not UTF-8; what could not be read in them was replaced.",
                         file});
  scene = std::move(out);
  if (!scene.parts.empty()) return Done{};
  return Error{"model.empty", "The model holds no face, curve or marker.", file,
               "Check in a viewer that it shows something, and export it again."};
}

}  // namespace roomloom
