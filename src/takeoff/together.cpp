#include "takeoff/together.h"

#include <algorithm>
#include <cmath>

namespace roomloom {

Together::Together(std::vector<std::set<int>> edges_of_runs)
    : edges_of_runs_(std::move(edges_of_runs)) {}

Together::Cell Together::cell(const Vec3& p) {
  const auto n = [](double x) { return static_cast<int>(std::floor(x / kTogether_m)); };
  return {n(p.x), n(p.y), n(p.z)};
}

bool Together::beside_another(const Vec3& at, int run) const {
  const auto another = [&](const Kept& kept) {
    if (kept.run == run || distance(kept.at, at) >= kTogether_m) return false;
    return run < 0 || edges_of_runs_[static_cast<std::size_t>(run)].count(kept.edge) == 0;
  };
  const auto [x, y, z] = cell(at);
  for (int i = x - 1; i <= x + 1; ++i)
    for (int j = y - 1; j <= y + 1; ++j)
      for (int k = z - 1; k <= z + 1; ++k) {
        const auto [first, last] = kept_.equal_range({i, j, k});
        if (std::any_of(first, last, [&](const auto& entry) { return another(entry.second); }))
          return true;
      }
  return false;
}

std::vector<std::pair<Vec3, Vec3>> Together::apart(const Vec3& a, const Vec3& b, int run,
                                                   int edge) {
  constexpr double kStep_m = 0.02;
  const int steps = std::max(1, static_cast<int>(std::ceil(distance(a, b) / kStep_m)));
  const auto along = [&](double step) { return a + (step / steps) * (b - a); };
  std::vector<std::pair<Vec3, Vec3>> parts;
  bool open = false;
  for (int i = 0; i < steps; ++i) {
    const Vec3 middle = along(i + 0.5);
    if (beside_another(middle, run)) {
      open = false;
      continue;
    }
    kept_.insert({cell(middle), {middle, run, edge}});
    if (!open) parts.push_back({along(i), {}});
    open = true;
    parts.back().second = along(i + 1);
  }
  return parts;
}

}  // namespace roomloom
