#include "shape/meetings.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "shape/lane_path.h"

namespace roomloom {
namespace {

constexpr double kTouch = 1e-5;  // metres: cables may touch

struct Stretch {
  Vec3 a, b;
};

// A bend or a tip, and how far its fitting reaches.
struct Fitting {
  Vec3 at;
  double reach_m = 0;
};

std::vector<std::size_t> bends_of(const DrawnWay& way) {
  std::vector<std::size_t> bends;
  for (std::size_t i = 0; i < way.points.size(); ++i)
    if (i == 0 || i + 1 == way.points.size() || is_corner(way.points, i)) bends.push_back(i);
  return bends;
}

// The parts of stretch i that lie outside the fittings of both ways.
std::vector<Stretch> outside_fittings(const DrawnWay& way, std::size_t i,
                                      const std::vector<Fitting>& fittings) {
  const Vec3& from = way.points[i];
  const double length = distance(from, way.points[i + 1]);
  const Vec3 along = (1 / length) * (way.points[i + 1] - from);
  std::vector<std::pair<double, double>> taken;
  for (const auto& [bend, reach] : fittings) {
    const double t = dot(bend - from, along);
    const double off = norm(bend - from - t * along);
    if (off >= reach) continue;
    const double half = std::sqrt(reach * reach - off * off);
    if (t + half > 0 && t - half < length) taken.emplace_back(t - half, t + half);
  }
  std::sort(taken.begin(), taken.end());
  std::vector<Stretch> left;
  double at = 0;
  for (const auto& [low, high] : taken) {
    if (low > at) left.push_back({from + at * along, from + std::min(low, length) * along});
    at = std::max(at, high);
  }
  if (at < length) left.push_back({from + at * along, from + length * along});
  return left;
}

void add_fittings(const DrawnWay& way, double reach, std::vector<Fitting>& fittings) {
  for (const std::size_t i : bends_of(way)) {
    double arc = 0;
    if (i > 0 && i + 1 < way.points.size()) {
      const double angle =
          angle_between(way.points[i] - way.points[i - 1], way.points[i + 1] - way.points[i]);
      arc = way.bend_radius_m * std::tan(std::min(angle, 0.6 * kPi) / 2);
    }
    fittings.push_back({way.points[i], arc + reach});
  }
}

Box3 box_of(const Vec3& a, const Vec3& b) {
  Box3 box;
  box.add(a);
  box.add(b);
  return box;
}

std::size_t nearest_bend(const DrawnWay& way, const std::vector<std::size_t>& bends, const Vec3& a,
                         const Vec3& b) {
  return *std::min_element(bends.begin(), bends.end(), [&](std::size_t i, std::size_t j) {
    return point_segment_distance(way.points[i], a, b) <
           point_segment_distance(way.points[j], a, b) - 1e-9;
  });
}

}  // namespace

Box3 box_of(const DrawnWay& way) {
  Box3 box;
  for (const Vec3& p : way.points) box.add(p);
  return box.grown(way.diameter_m);
}

Conflict find_conflict(const DrawnWay& a, const DrawnWay& b) {
  Conflict conflict;
  const double need = 0.5 * (a.diameter_m + b.diameter_m) - kTouch;
  const double reach = kFittingReach * std::max(a.diameter_m, b.diameter_m);
  std::vector<std::size_t> a_bends;
  std::vector<Fitting> fittings;
  for (std::size_t i = 0; i + 1 < a.points.size(); ++i) {
    const Box3 box = box_of(a.points[i], a.points[i + 1]).grown(need);
    for (std::size_t j = 0; j + 1 < b.points.size(); ++j) {
      if (!box.overlaps(box_of(b.points[j], b.points[j + 1]))) continue;
      if (segment_distance(a.points[i], a.points[i + 1], b.points[j], b.points[j + 1]) >= need)
        continue;
      Meeting meeting = Meeting::loose;
      if (fittings.empty()) {
        a_bends = bends_of(a);
        add_fittings(a, reach, fittings);
        add_fittings(b, reach, fittings);
      }
      if (!a.loose[i] && !b.loose[j]) {
        meeting = Meeting::fitting;
        const std::vector<Stretch> theirs = outside_fittings(b, j, fittings);
        for (const Stretch& mine : outside_fittings(a, i, fittings))
          for (const Stretch& other : theirs)
            if (segment_distance(mine.a, mine.b, other.a, other.b) < need)
              meeting = Meeting::straight;
      }
      const std::size_t nearest = nearest_bend(a, a_bends, b.points[j], b.points[j + 1]);
      if (meeting == Meeting::fitting) conflict.fittings.push_back(nearest);
      if (meeting <= conflict.worst) continue;
      conflict.worst = meeting;
      conflict.at = a.points[nearest];
    }
  }
  std::sort(conflict.fittings.begin(), conflict.fittings.end());
  conflict.fittings.erase(std::unique(conflict.fittings.begin(), conflict.fittings.end()),
                          conflict.fittings.end());
  return conflict;
}

}  // namespace roomloom
