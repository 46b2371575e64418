#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "base/vec.h"

namespace roomloom {

struct RayHit {
  double t = 0;                ///< distance along the (unit) direction, metres
  std::uint32_t triangle = 0;  ///< index as given to the tree
};

/// A bounding-volume tree over triangles for ray and distance queries. The points and triangles
/// must outlive it.
class TriangleTree {
 public:
  TriangleTree(std::span<const Vec3> points,
               std::span<const std::array<std::uint32_t, 3>> triangles);

  /// Nearest hit at t in (t_min, t_max).
  std::optional<RayHit> first_hit(const Vec3& from, const Vec3& direction, double t_min = 1e-9,
                                  double t_max = 1e30) const;
  /// All hits along the segment a -> b, sorted by t; both faces count.
  std::vector<RayHit> hits(const Vec3& a, const Vec3& b) const;
  /// Distance to the nearest triangle, at most `limit`.
  double distance(const Vec3& p, double limit = 1e30) const;
  /// Triangles that the triangle a, b, c may meet: their boxes lie across its plane and not beyond
  /// one of its sides. In the order of the tree.
  void near_triangle(const Vec3& a, const Vec3& b, const Vec3& c,
                     std::vector<std::uint32_t>& found) const;
  /// Triangles whose boxes overlap `box`, ascending.
  std::vector<std::uint32_t> overlapping(const Box3& box) const;

 private:
  struct Node {
    Box3 box;
    std::uint32_t first = 0, count = 0;  ///< leaf: range of order_
    std::uint32_t left = 0, right = 0;   ///< inner: children
  };
  std::uint32_t build(std::uint32_t first, std::uint32_t count, int depth);

  std::span<const Vec3> points_;
  std::span<const std::array<std::uint32_t, 3>> triangles_;
  std::vector<std::uint32_t> order_;
  std::vector<Node> nodes_;
};

}  // namespace roomloom
