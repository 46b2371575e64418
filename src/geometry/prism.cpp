#include "geometry/prism.h"

#include <algorithm>
#include <cmath>

namespace roomloom {

Prism prism_of(const Box3& box) {
  return {{{box.low.x, box.low.y},
           {box.high.x, box.low.y},
           {box.high.x, box.high.y},
           {box.low.x, box.high.y}},
          box.low.z,
          box.high.z};
}

Box3 box_of(const Prism& prism) {
  Box3 box;
  for (const Vec2& p : prism.plan) {
    box.add(Vec3{p.x, p.y, prism.low_z_m});
    box.add(Vec3{p.x, p.y, prism.high_z_m});
  }
  return box;
}

bool contains(const Prism& prism, const Vec3& p) {
  return p.z >= prism.low_z_m && p.z <= prism.high_z_m && contains(prism.plan, Vec2{p.x, p.y});
}

std::vector<std::pair<double, double>> inside_pieces(const Prism& prism, const Vec3& a,
                                                     const Vec3& b) {
  double low = 0, high = 1;
  const double rise = b.z - a.z;
  if (std::abs(rise) < 1e-12) {
    if (a.z < prism.low_z_m || a.z > prism.high_z_m) return {};
  } else {
    const double t0 = (prism.low_z_m - a.z) / rise, t1 = (prism.high_z_m - a.z) / rise;
    low = std::max(low, std::min(t0, t1));
    high = std::min(high, std::max(t0, t1));
  }
  if (low >= high) return {};
  const Vec2 from{a.x, a.y}, to{b.x, b.y};
  if (norm(to - from) < 1e-9) {
    if (!contains(prism.plan, from)) return {};
    return {{low, high}};
  }
  std::vector<std::pair<double, double>> pieces;
  for (const auto& [t0, t1] : inside_pieces(Polygon{prism.plan, {}}, from, to))
    if (std::max(t0, low) < std::min(t1, high))
      pieces.emplace_back(std::max(t0, low), std::min(t1, high));
  return pieces;
}

Ring leaf_sector(const Vec2& hinge, const Vec2& shut, const Vec2& into, double swing_rad) {
  constexpr double kStep = kPi / 18;
  const double leaf = norm(shut);
  const Vec2 along = (1 / leaf) * shut;
  const Vec2 away = (1 / norm(into)) * into;
  const int steps = std::max(1, static_cast<int>(std::ceil(swing_rad / kStep - 1e-9)));
  const double step = swing_rad / steps;
  const double reach = leaf / std::cos(step / 2);
  Ring ring{hinge, hinge + shut};
  for (int i = 0; i < steps; ++i) {
    const double angle = (i + 0.5) * step;
    ring.push_back(hinge + reach * (std::cos(angle) * along + std::sin(angle) * away));
  }
  ring.push_back(hinge + leaf * (std::cos(swing_rad) * along + std::sin(swing_rad) * away));
  if (signed_area(ring) < 0) std::reverse(ring.begin(), ring.end());
  return ring;
}

}  // namespace roomloom
