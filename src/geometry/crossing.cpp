#include "geometry/crossing.h"

#include <cmath>

namespace roomloom {

bool crossing_point(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d, Vec2& at) {
  constexpr double kOnLine_m = 1e-4;
  const Vec2 r = b - a, s = d - c;
  const double turn = cross(r, s);
  const double length_r = norm(r), length_s = norm(s);
  if (std::abs(turn) <= 1e-6 * length_r * length_s) return false;
  const double t = cross(c - a, s) / turn, w = cross(c - a, r) / turn;
  const double slack_t = kOnLine_m / length_r, slack_w = kOnLine_m / length_s;
  if (t < -slack_t || t > 1 + slack_t || w < -slack_w || w > 1 + slack_w) return false;
  at = a + t * r;
  return true;
}

}  // namespace roomloom
