#include "geometry/sight.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace roomloom {
namespace {

constexpr double kTouch_m = 0.003;
constexpr double kJoin = 1e-7;  ///< of a segment: the shadows of neighbours join

/// The plane of an eye and a segment, with coordinates in which a point at depth 1 lies on the
/// segment's line.
struct Fan {
  Vec3 eye, a, b;  ///< a and b from the eye
  Vec3 normal;
  double square = 0;
  double deepest = 1;

  double height(const Vec3& p) const { return dot(p - eye, normal); }
  /// x: depth, y: depth times the parameter along the segment.
  Vec2 coordinates(const Vec3& p) const {
    const Vec3 q = p - eye;
    const double alpha = dot(cross(q, b), normal) / square;
    const double beta = dot(cross(a, q), normal) / square;
    return {alpha + beta, beta};
  }
};

/// Where a triangle cuts the fan's plane, in the fan's coordinates.
std::optional<std::pair<Vec2, Vec2>> cut(const Fan& fan, const std::array<Vec3, 3>& corners) {
  std::array<double, 3> heights{};
  for (std::size_t i = 0; i < 3; ++i) heights[i] = fan.height(corners[i]);
  const auto [low, high] = std::minmax_element(heights.begin(), heights.end());
  // Corners in the plane count as above it: of two triangles that share a side in the plane one
  // is cut. What lies in the plane with all of itself is seen on edge.
  if (*low >= 0 || *high < 0) return std::nullopt;
  std::array<Vec2, 2> ends{};
  std::size_t count = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t j = (i + 1) % 3;
    if ((heights[i] < 0) == (heights[j] < 0)) continue;
    const double s = heights[i] / (heights[i] - heights[j]);
    ends[count++] = fan.coordinates(corners[i] + s * (corners[j] - corners[i]));
  }
  return std::pair(ends[0], ends[1]);
}

/// The shadow of a piece between the eye and the segment.
std::optional<std::pair<double, double>> shadow(const Fan& fan, Vec2 p, Vec2 q) {
  constexpr double kNearest = 1e-6;
  if (p.x > q.x) std::swap(p, q);
  if (q.x <= kNearest || p.x >= fan.deepest) return std::nullopt;
  const Vec2 way = q - p;
  if (q.x > fan.deepest) q = p + ((fan.deepest - p.x) / way.x) * way;
  if (p.x < kNearest) p = p + ((kNearest - p.x) / way.x) * way;
  const double from = p.y / p.x, to = q.y / q.x;
  const double low = std::max(0.0, std::min(from, to)), high = std::min(1.0, std::max(from, to));
  if (high <= low) return std::nullopt;
  return std::pair(low, high);
}

Spans merged(Spans spans) {
  std::sort(spans.begin(), spans.end());
  Spans out;
  for (const auto& [low, high] : spans) {
    if (!out.empty() && low <= out.back().second + kJoin)
      out.back().second = std::max(out.back().second, high);
    else
      out.emplace_back(low, high);
  }
  return out;
}

}  // namespace

double total(const Spans& spans) {
  double sum = 0;
  for (const auto& [low, high] : spans) sum += high - low;
  return sum;
}

Spans united(const Spans& a, const Spans& b) {
  Spans all = a;
  all.insert(all.end(), b.begin(), b.end());
  return merged(std::move(all));
}

Spans common(const Spans& a, const Spans& b) {
  Spans out;
  for (const auto& [a0, a1] : a)
    for (const auto& [b0, b1] : b)
      if (std::max(a0, b0) < std::min(a1, b1)) out.emplace_back(std::max(a0, b0), std::min(a1, b1));
  return out;
}

Spans rest_of(const Spans& spans) {
  Spans out;
  double at = 0;
  for (const auto& [low, high] : spans) {
    if (low > at + kJoin) out.emplace_back(at, low);
    at = std::max(at, high);
  }
  if (at < 1 - kJoin) out.emplace_back(at, 1.0);
  return out;
}

Sight::Sight(std::vector<Vec3> points, std::vector<std::array<std::uint32_t, 3>> triangles)
    : points_(std::move(points)), triangles_(std::move(triangles)), tree_(points_, triangles_) {}

Spans Sight::hidden(const Vec3& eye, const Vec3& a, const Vec3& b) const {
  Fan fan{eye, a - eye, b - eye, {}, 0, 1};
  const double nearer = std::min(norm(fan.a), norm(fan.b));
  if (nearer < 2 * kTouch_m) return {};
  fan.normal = cross(fan.a, fan.b);
  fan.square = dot(fan.normal, fan.normal);
  fan.deepest = 1 - kTouch_m / nearer;
  if (std::sqrt(fan.square) < 1e-9 * nearer) {  // seen end on: a point
    if (sees(eye, norm(fan.a) < norm(fan.b) ? a : b)) return {};
    return {{0, 1}};
  }
  thread_local std::vector<std::uint32_t> near;
  tree_.near_triangle(eye, a, b, near);
  Spans shadows;
  for (const std::uint32_t index : near) {
    const auto& corners = triangles_[index];
    const auto piece = cut(fan, {points_[corners[0]], points_[corners[1]], points_[corners[2]]});
    if (!piece) continue;
    if (const auto one = shadow(fan, piece->first, piece->second)) shadows.push_back(*one);
  }
  return merged(std::move(shadows));
}

bool Sight::sees(const Vec3& eye, const Vec3& p) const {
  const double away = distance(eye, p);
  if (away < 2 * kTouch_m) return true;
  return !tree_.first_hit(eye, (p - eye) / away, 1e-6, away - kTouch_m);
}

}  // namespace roomloom
