#include "geometry/arc.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

// Rodrigues' rotation of v about the unit axis k.
Vec3 rotated(const Vec3& v, const Vec3& k, double angle) {
  const double c = std::cos(angle);
  return c * v + std::sin(angle) * cross(k, v) + ((1 - c) * dot(k, v)) * k;
}

}  // namespace

std::vector<Vec3> arc_points(const Arc& arc, double length_error_m) {
  // A chord over angle a is 2 r sin(a/2), short of r a by about r a^3 / 24.
  const double steps_for_error =
      std::sqrt(arc.radius_m * std::pow(arc.angle_rad, 3) / (24 * std::max(length_error_m, 1e-12)));
  constexpr double kMost = 4096;
  const int steps =
      steps_for_error > 1 ? static_cast<int>(std::min(std::ceil(steps_for_error), kMost)) : 1;
  std::vector<Vec3> points{arc.from};
  for (int i = 1; i < steps; ++i) {
    points.push_back(arc.centre +
                     rotated(arc.from - arc.centre, arc.axis, arc.angle_rad * i / steps));
  }
  points.push_back(arc.to);
  return points;
}

double fillet_saving(double radius_m, double angle_rad) {
  return radius_m * (2 * std::tan(angle_rad / 2) - angle_rad);
}

double angle_between(const Vec3& a, const Vec3& b) {
  return std::atan2(norm(cross(a, b)), dot(a, b));
}

double polyline_length(const std::vector<Vec3>& points) {
  double sum = 0;
  for (std::size_t i = 1; i < points.size(); ++i) sum += distance(points[i - 1], points[i]);
  return sum;
}

namespace {

// Of a to b the share at which it comes nearest to p.
double nearest_share(const Vec3& p, const Vec3& a, const Vec3& b) {
  const Vec3 ab = b - a;
  const double length2 = dot(ab, ab);
  return length2 > 0 ? std::clamp(dot(p - a, ab) / length2, 0.0, 1.0) : 0.0;
}

}  // namespace

double point_segment_distance(const Vec3& p, const Vec3& a, const Vec3& b) {
  return distance(p, a + nearest_share(p, a, b) * (b - a));
}

NearestShares nearest_shares(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  const Vec3 d1 = a1 - a0;
  const Vec3 d2 = b1 - b0;
  const Vec3 r = a0 - b0;
  const double a = dot(d1, d1);
  const double e = dot(d2, d2);
  if (a <= 0) return {0, nearest_share(a0, b0, b1)};
  if (e <= 0) return {nearest_share(b0, a0, a1), 0};
  const double b = dot(d1, d2);
  const double c = dot(d1, r);
  const double f = dot(d2, r);
  const double denominator = a * e - b * b;
  double s =
      denominator > 1e-14 * a * e ? std::clamp((b * f - c * e) / denominator, 0.0, 1.0) : 0.0;
  double t = (b * s + f) / e;
  if (t < 0) {
    t = 0;
    s = std::clamp(-c / a, 0.0, 1.0);
  } else if (t > 1) {
    t = 1;
    s = std::clamp((b - c) / a, 0.0, 1.0);
  }
  return {s, t};
}

double segment_distance(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  const NearestShares nearest = nearest_shares(a0, a1, b0, b1);
  return distance(a0 + nearest.on_a * (a1 - a0), b0 + nearest.on_b * (b1 - b0));
}

}  // namespace roomloom
