#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace roomloom {

/// A point or vector in the room frame: metres, Z up, right-handed.
struct Vec3 {
  double x = 0, y = 0, z = 0;
  double operator[](int axis) const { return axis == 0 ? x : axis == 1 ? y : z; }
  double& operator[](int axis) { return axis == 0 ? x : axis == 1 ? y : z; }
  bool operator==(const Vec3&) const = default;
};

inline Vec3 operator+(const Vec3& a, const Vec3& b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
inline Vec3 operator-(const Vec3& a, const Vec3& b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
inline Vec3 operator-(const Vec3& a) { return {-a.x, -a.y, -a.z}; }
inline Vec3 operator*(double s, const Vec3& a) { return {s * a.x, s * a.y, s * a.z}; }
inline Vec3 operator*(const Vec3& a, double s) { return s * a; }
inline Vec3 operator/(const Vec3& a, double s) { return {a.x / s, a.y / s, a.z / s}; }
inline Vec3& operator+=(Vec3& a, const Vec3& b) { return a = a + b; }
inline double dot(const Vec3& a, const Vec3& b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
inline Vec3 cross(const Vec3& a, const Vec3& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double norm(const Vec3& a) { return std::sqrt(dot(a, a)); }
inline double distance(const Vec3& a, const Vec3& b) { return norm(a - b); }
/// Unit vector; the zero vector stays zero.
inline Vec3 normalized(const Vec3& a) {
  const double length = norm(a);
  return length > 0 ? a / length : Vec3{};
}
inline bool is_finite(const Vec3& a) {
  return std::isfinite(a.x) && std::isfinite(a.y) && std::isfinite(a.z);
}

/// A point in the plane of a sheet or in plan: metres.
struct Vec2 {
  double x = 0, y = 0;
  bool operator==(const Vec2&) const = default;
};

inline Vec2 operator+(const Vec2& a, const Vec2& b) { return {a.x + b.x, a.y + b.y}; }
inline Vec2 operator-(const Vec2& a, const Vec2& b) { return {a.x - b.x, a.y - b.y}; }
inline Vec2 operator*(double s, const Vec2& a) { return {s * a.x, s * a.y}; }
inline double dot(const Vec2& a, const Vec2& b) { return a.x * b.x + a.y * b.y; }
/// z of the cross product: positive when b lies to the left of a.
inline double cross(const Vec2& a, const Vec2& b) { return a.x * b.y - a.y * b.x; }
inline double norm(const Vec2& a) { return std::sqrt(dot(a, a)); }

/// Axis-aligned box; empty until a point is added.
struct Box3 {
  static constexpr double kInf = std::numeric_limits<double>::infinity();
  Vec3 low{kInf, kInf, kInf};
  Vec3 high{-kInf, -kInf, -kInf};

  bool empty() const { return low.x > high.x; }
  void add(const Vec3& p) {
    for (int axis = 0; axis < 3; ++axis) {
      low[axis] = std::min(low[axis], p[axis]);
      high[axis] = std::max(high[axis], p[axis]);
    }
  }
  void add(const Box3& b) {
    if (b.empty()) return;
    add(b.low);
    add(b.high);
  }
  Vec3 size() const { return empty() ? Vec3{} : high - low; }
  Vec3 centre() const { return 0.5 * (low + high); }
  Box3 grown(double by) const { return {low - Vec3{by, by, by}, high + Vec3{by, by, by}}; }
  bool contains(const Vec3& p) const {
    for (int axis = 0; axis < 3; ++axis)
      if (p[axis] < low[axis] || p[axis] > high[axis]) return false;
    return true;
  }
  bool overlaps(const Box3& b) const {
    for (int axis = 0; axis < 3; ++axis)
      if (b.high[axis] < low[axis] || b.low[axis] > high[axis]) return false;
    return true;
  }
};

/// A right-handed orthonormal frame: u x v = n.
struct Frame {
  Vec3 origin;
  Vec3 u{1, 0, 0};
  Vec3 v{0, 1, 0};
  Vec3 n{0, 0, 1};

  Vec2 to_plane(const Vec3& p) const { return {dot(p - origin, u), dot(p - origin, v)}; }
  double height(const Vec3& p) const { return dot(p - origin, n); }
  Vec3 to_local(const Vec3& p) const {
    return {dot(p - origin, u), dot(p - origin, v), dot(p - origin, n)};
  }
  Vec3 to_world(const Vec2& p, double height = 0) const {
    return origin + p.x * u + p.y * v + height * n;
  }
  Vec3 to_world(const Vec3& p) const { return origin + p.x * u + p.y * v + p.z * n; }
};

/// Affine map, row-major 3 x 4: p' = M p + t. Negative determinant = mirrored.
struct Transform {
  std::array<double, 12> m{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0};

  Vec3 apply(const Vec3& p) const {
    return {m[0] * p.x + m[1] * p.y + m[2] * p.z + m[3],
            m[4] * p.x + m[5] * p.y + m[6] * p.z + m[7],
            m[8] * p.x + m[9] * p.y + m[10] * p.z + m[11]};
  }
  double determinant() const {
    return m[0] * (m[5] * m[10] - m[6] * m[9]) - m[1] * (m[4] * m[10] - m[6] * m[8]) +
           m[2] * (m[4] * m[9] - m[5] * m[8]);
  }
  bool operator==(const Transform&) const = default;
};

/// a after b: apply(p) = a.apply(b.apply(p)).
inline Transform operator*(const Transform& a, const Transform& b) {
  Transform c;
  for (std::size_t row = 0; row < 3; ++row) {
    for (std::size_t col = 0; col < 4; ++col) {
      double sum = col == 3 ? a.m[row * 4 + 3] : 0;
      for (std::size_t k = 0; k < 3; ++k) sum += a.m[row * 4 + k] * b.m[k * 4 + col];
      c.m[row * 4 + col] = sum;
    }
  }
  return c;
}

constexpr double kPi = 3.14159265358979323846;
constexpr double radians(double degrees) { return degrees * kPi / 180.0; }
constexpr double degrees(double radians) { return radians * 180.0 / kPi; }

}  // namespace roomloom
