#include "geometry/triangles.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace roomloom {
namespace {

constexpr std::uint32_t kLeafSize = 4;
constexpr int kDeepest = 60;

struct Corners {
  Vec3 a, b, c;
};

// Slab test; `inverse` may hold infinities.
bool meets(const Box3& box, const Vec3& from, const Vec3& inverse, double t_min, double t_max) {
  for (int axis = 0; axis < 3; ++axis) {
    double t0 = (box.low[axis] - from[axis]) * inverse[axis];
    double t1 = (box.high[axis] - from[axis]) * inverse[axis];
    if (std::isnan(t0) || std::isnan(t1)) continue;  // in the slab's own plane
    if (t0 > t1) std::swap(t0, t1);
    t_min = std::max(t_min, t0 - 1e-12);
    t_max = std::min(t_max, t1 + 1e-12);
    if (t_min > t_max) return false;
  }
  return true;
}

// Moeller and Trumbore, "Fast, minimum storage ray/triangle intersection" (1997), both faces.
std::optional<double> hit(const Corners& t, const Vec3& from, const Vec3& direction) {
  const Vec3 e1 = t.b - t.a;
  const Vec3 e2 = t.c - t.a;
  const Vec3 p = cross(direction, e2);
  const double determinant = dot(e1, p);
  if (std::abs(determinant) < 1e-15 * (norm(e1) * norm(e2) + 1e-300)) return std::nullopt;
  const Vec3 s = from - t.a;
  const double u = dot(s, p) / determinant;
  constexpr double kEdge = 1e-9;  // an edge belongs to both triangles, so that no ray slips through
  if (u < -kEdge || u > 1 + kEdge) return std::nullopt;
  const Vec3 q = cross(s, e1);
  const double v = dot(direction, q) / determinant;
  if (v < -kEdge || u + v > 1 + kEdge) return std::nullopt;
  return dot(e2, q) / determinant;
}

double box_distance(const Box3& box, const Vec3& p) {
  Vec3 outside{};
  for (int axis = 0; axis < 3; ++axis) {
    outside[axis] = std::max({box.low[axis] - p[axis], 0.0, p[axis] - box.high[axis]});
  }
  return norm(outside);
}

// Ericson, "Real-Time Collision Detection" (2005), section 5.1.5.
double triangle_distance(const Corners& t, const Vec3& p) {
  const Vec3 ab = t.b - t.a;
  const Vec3 ac = t.c - t.a;
  const Vec3 normal = cross(ab, ac);
  const double n2 = dot(normal, normal);
  const auto segment = [&](const Vec3& a, const Vec3& b) {
    const Vec3 d = b - a;
    const double l2 = dot(d, d);
    const double s = l2 > 0 ? std::clamp(dot(p - a, d) / l2, 0.0, 1.0) : 0.0;
    return distance(p, a + s * d);
  };
  if (n2 > 0) {
    const Vec3 ap = p - t.a;
    const double v = dot(cross(ap, ac), normal) / n2;
    const double w = dot(cross(ab, ap), normal) / n2;
    if (v >= 0 && w >= 0 && v + w <= 1) return std::abs(dot(ap, normal)) / std::sqrt(n2);
  }
  return std::min({segment(t.a, t.b), segment(t.b, t.c), segment(t.c, t.a)});
}

Corners corners_of(std::span<const Vec3> points, const std::array<std::uint32_t, 3>& triangle) {
  return {points[triangle[0]], points[triangle[1]], points[triangle[2]]};
}

Box3 box_of(const Corners& t) {
  Box3 box;
  box.add(t.a);
  box.add(t.b);
  box.add(t.c);
  return box;
}

}  // namespace

TriangleTree::TriangleTree(std::span<const Vec3> points,
                           std::span<const std::array<std::uint32_t, 3>> triangles)
    : points_(points), triangles_(triangles), order_(triangles.size()) {
  std::iota(order_.begin(), order_.end(), 0U);
  nodes_.reserve(triangles.size() / 2 + 1);
  if (!order_.empty()) build(0, static_cast<std::uint32_t>(order_.size()), 0);
}

std::uint32_t TriangleTree::build(std::uint32_t first, std::uint32_t count, int depth) {
  const auto index = static_cast<std::uint32_t>(nodes_.size());
  nodes_.push_back({});
  Box3 box;
  Box3 centres;
  for (std::uint32_t i = first; i < first + count; ++i) {
    const Box3 one = box_of(corners_of(points_, triangles_[order_[i]]));
    box.add(one);
    centres.add(one.centre());
  }
  nodes_[index] = {box, first, count, 0, 0};
  if (count <= kLeafSize || depth >= kDeepest) return index;
  const Vec3 size = centres.size();
  const int axis = size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
  const std::uint32_t half = count / 2;
  const auto begin = order_.begin() + first;
  std::nth_element(begin, begin + half, begin + count, [&](std::uint32_t l, std::uint32_t r) {
    const double cl = box_of(corners_of(points_, triangles_[l])).centre()[axis];
    const double cr = box_of(corners_of(points_, triangles_[r])).centre()[axis];
    return cl != cr ? cl < cr : l < r;
  });
  const std::uint32_t left = build(first, half, depth + 1);
  const std::uint32_t right = build(first + half, count - half, depth + 1);
  nodes_[index].count = 0;
  nodes_[index].left = left;
  nodes_[index].right = right;
  return index;
}

std::optional<RayHit> TriangleTree::first_hit(const Vec3& from, const Vec3& direction, double t_min,
                                              double t_max) const {
  if (nodes_.empty()) return std::nullopt;
  const Vec3 inverse{1 / direction.x, 1 / direction.y, 1 / direction.z};
  std::optional<RayHit> best;
  std::vector<std::uint32_t> stack{0};
  while (!stack.empty()) {
    const Node& node = nodes_[stack.back()];
    stack.pop_back();
    if (!meets(node.box, from, inverse, t_min, best ? best->t : t_max)) continue;
    if (node.count == 0) {
      stack.push_back(node.right);
      stack.push_back(node.left);
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const auto t = hit(corners_of(points_, triangles_[order_[i]]), from, direction);
      if (!t || *t <= t_min || *t >= t_max) continue;
      if (!best || *t < best->t || (*t == best->t && order_[i] < best->triangle)) {
        best = RayHit{*t, order_[i]};
      }
    }
  }
  return best;
}

std::vector<RayHit> TriangleTree::hits(const Vec3& a, const Vec3& b) const {
  std::vector<RayHit> found;
  const double length = roomloom::distance(a, b);
  if (nodes_.empty() || length <= 0) return found;
  const Vec3 direction = (b - a) / length;
  const Vec3 inverse{1 / direction.x, 1 / direction.y, 1 / direction.z};
  std::vector<std::uint32_t> stack{0};
  while (!stack.empty()) {
    const Node& node = nodes_[stack.back()];
    stack.pop_back();
    if (!meets(node.box, a, inverse, 0, length)) continue;
    if (node.count == 0) {
      stack.push_back(node.right);
      stack.push_back(node.left);
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      const auto t = hit(corners_of(points_, triangles_[order_[i]]), a, direction);
      if (t && *t >= 0 && *t <= length) found.push_back({*t, order_[i]});
    }
  }
  std::sort(found.begin(), found.end(), [](const RayHit& l, const RayHit& r) {
    return l.t != r.t ? l.t < r.t : l.triangle < r.triangle;
  });
  return found;
}

double TriangleTree::distance(const Vec3& p, double limit) const {
  double best = limit;
  if (nodes_.empty()) return best;
  std::vector<std::uint32_t> stack{0};
  while (!stack.empty()) {
    const Node& node = nodes_[stack.back()];
    stack.pop_back();
    if (box_distance(node.box, p) >= best) continue;
    if (node.count == 0) {
      stack.push_back(node.right);
      stack.push_back(node.left);
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      best = std::min(best, triangle_distance(corners_of(points_, triangles_[order_[i]]), p));
    }
  }
  return best;
}

void TriangleTree::near_triangle(const Vec3& a, const Vec3& b, const Vec3& c,
                                 std::vector<std::uint32_t>& found) const {
  found.clear();
  if (nodes_.empty()) return;
  const Vec3 normal = cross(b - a, c - a);
  // Outward normals of the three sides, within the plane.
  const std::array<std::pair<Vec3, Vec3>, 3> sides = {
      std::pair{a, cross(b - a, normal)}, {b, cross(c - b, normal)}, {c, cross(a - c, normal)}};
  Box3 whole;
  for (const Vec3& p : {a, b, c}) whole.add(p);
  const auto apart = [&](const Box3& box) {
    if (!box.overlaps(whole)) return true;
    const Vec3 middle = box.centre(), half = 0.5 * box.size();
    const auto reach = [&](const Vec3& n) {
      return half.x * std::abs(n.x) + half.y * std::abs(n.y) + half.z * std::abs(n.z);
    };
    if (std::abs(dot(middle - a, normal)) > reach(normal)) return true;
    return std::any_of(sides.begin(), sides.end(), [&](const auto& side) {
      return dot(middle - side.first, side.second) > reach(side.second);
    });
  };
  std::array<std::uint32_t, 2 * kDeepest> stack{};
  std::size_t waiting = 1;
  while (waiting > 0) {
    const Node& node = nodes_[stack[--waiting]];
    if (apart(node.box)) continue;
    if (node.count == 0) {
      stack[waiting++] = node.right;
      stack[waiting++] = node.left;
      continue;
    }
    found.insert(found.end(), order_.begin() + node.first,
                 order_.begin() + node.first + node.count);
  }
}

std::vector<std::uint32_t> TriangleTree::overlapping(const Box3& box) const {
  std::vector<std::uint32_t> found;
  if (nodes_.empty()) return found;
  std::vector<std::uint32_t> stack{0};
  while (!stack.empty()) {
    const Node& node = nodes_[stack.back()];
    stack.pop_back();
    if (!node.box.overlaps(box)) continue;
    if (node.count == 0) {
      stack.push_back(node.right);
      stack.push_back(node.left);
      continue;
    }
    for (std::uint32_t i = node.first; i < node.first + node.count; ++i) {
      if (box_of(corners_of(points_, triangles_[order_[i]])).overlaps(box)) {
        found.push_back(order_[i]);
      }
    }
  }
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace roomloom
