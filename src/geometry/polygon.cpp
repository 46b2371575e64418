#include "geometry/polygon.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace roomloom {
namespace {

constexpr double kParallel = 1e-12;

void keep_extremes(std::span<const Vec2> ring, std::size_t first, std::size_t last,
                   double tolerance, std::vector<char>& keep) {
  if (last <= first + 1) return;
  std::size_t farthest = first;
  double most = tolerance;
  const std::size_t n = ring.size();
  for (std::size_t i = first + 1; i < last; ++i) {
    const double d = segment_distance(ring[i % n], ring[first % n], ring[last % n]);
    if (d > most) {
      most = d;
      farthest = i;
    }
  }
  if (farthest == first) return;
  keep[farthest % n] = 1;
  keep_extremes(ring, first, farthest, tolerance, keep);
  keep_extremes(ring, farthest, last, tolerance, keep);
}

// A chord of the outline through `through` along x: the middle of its longest inner piece.
std::pair<Vec2, double> middle_of_chord(const Polygon& polygon, double y, double low, double high) {
  const Vec2 a{low - 1, y};
  const Vec2 b{high + 1, y};
  Vec2 best{};
  double longest = -1;
  for (const auto& [t0, t1] : inside_pieces(polygon, a, b)) {
    const double length = (t1 - t0) * (b.x - a.x);
    if (length > longest) {
      longest = length;
      best = a + (0.5 * (t0 + t1)) * (b - a);
    }
  }
  return {best, longest};
}

}  // namespace

double signed_area(std::span<const Vec2> ring) {
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    twice += cross(ring[i] - ring[0], ring[(i + 1) % ring.size()] - ring[0]);
  }
  return 0.5 * twice;
}

double area(const Polygon& polygon) {
  double sum = std::abs(signed_area(polygon.outline));
  for (const Ring& hole : polygon.holes) sum -= std::abs(signed_area(hole));
  return sum;
}

bool contains(std::span<const Vec2> ring, const Vec2& p) {
  int winding = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2& a = ring[i];
    const Vec2& b = ring[(i + 1) % ring.size()];
    const double side = cross(b - a, p - a);
    if (a.y <= p.y && b.y > p.y && side > 0) ++winding;
    if (a.y > p.y && b.y <= p.y && side < 0) --winding;
  }
  return winding != 0;
}

bool contains(const Polygon& polygon, const Vec2& p) {
  if (!contains(polygon.outline, p)) return false;
  return std::none_of(polygon.holes.begin(), polygon.holes.end(),
                      [&](const Ring& hole) { return contains(hole, p); });
}

double segment_distance(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 ab = b - a;
  const double length2 = dot(ab, ab);
  const double t = length2 > 0 ? std::clamp(dot(p - a, ab) / length2, 0.0, 1.0) : 0.0;
  return norm(p - (a + t * ab));
}

double border_distance(const Polygon& polygon, const Vec2& p) {
  double nearest = std::numeric_limits<double>::infinity();
  const auto measure = [&](const Ring& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      nearest = std::min(nearest, segment_distance(p, ring[i], ring[(i + 1) % ring.size()]));
    }
  };
  measure(polygon.outline);
  for (const Ring& hole : polygon.holes) measure(hole);
  return nearest;
}

std::vector<double> crossings(std::span<const Vec2> ring, const Vec2& a, const Vec2& b) {
  std::vector<double> at;
  const Vec2 d = b - a;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2& p = ring[i];
    const Vec2 e = ring[(i + 1) % ring.size()] - p;
    const double denominator = cross(d, e);
    if (std::abs(denominator) < kParallel * norm(d) * norm(e)) continue;
    const double t = cross(p - a, e) / denominator;
    const double s = cross(p - a, d) / denominator;
    if (t >= 0 && t <= 1 && s >= 0 && s <= 1) at.push_back(t);
  }
  std::sort(at.begin(), at.end());
  return at;
}

std::vector<std::pair<double, double>> inside_pieces(const Polygon& polygon, const Vec2& a,
                                                     const Vec2& b) {
  std::vector<double> cuts = crossings(polygon.outline, a, b);
  for (const Ring& hole : polygon.holes) {
    const auto more = crossings(hole, a, b);
    cuts.insert(cuts.end(), more.begin(), more.end());
  }
  cuts.push_back(0);
  cuts.push_back(1);
  std::sort(cuts.begin(), cuts.end());
  std::vector<std::pair<double, double>> pieces;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    if (cuts[i + 1] - cuts[i] < 1e-12) continue;
    const Vec2 middle = a + (0.5 * (cuts[i] + cuts[i + 1])) * (b - a);
    if (!contains(polygon, middle)) continue;
    if (!pieces.empty() && cuts[i] - pieces.back().second < 1e-12) {
      pieces.back().second = cuts[i + 1];
    } else {
      pieces.emplace_back(cuts[i], cuts[i + 1]);
    }
  }
  return pieces;
}

Ring simplified(std::span<const Vec2> ring, double tolerance_m) {
  const std::size_t n = ring.size();
  if (n <= 3) return Ring(ring.begin(), ring.end());
  // Start from the two points farthest apart along x + y: they are corners for certain.
  std::size_t low = 0;
  std::size_t high = 0;
  for (std::size_t i = 1; i < n; ++i) {
    if (ring[i].x + ring[i].y < ring[low].x + ring[low].y) low = i;
    if (ring[i].x + ring[i].y > ring[high].x + ring[high].y) high = i;
  }
  if (low == high) return Ring(ring.begin(), ring.end());
  std::vector<char> keep(n, 0);
  keep[low] = keep[high] = 1;
  const std::size_t there = high > low ? high : high + n;
  keep_extremes(ring, low, there, tolerance_m, keep);
  keep_extremes(ring, there, low + n, tolerance_m, keep);
  Ring result;
  for (std::size_t i = 0; i < n; ++i)
    if (keep[i] != 0) result.push_back(ring[i]);
  return result.size() < 3 ? Ring(ring.begin(), ring.end()) : result;
}

Vec2 centroid(std::span<const Vec2> ring) {
  Vec2 sum{};
  double twice = 0;
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
    const double weight = cross(ring[i] - ring[0], ring[i + 1] - ring[0]);
    sum = sum + (weight / 3) * (ring[0] + ring[i] + ring[i + 1]);
    twice += weight;
  }
  if (std::abs(twice) > 0) return (1 / twice) * sum;
  return ring.empty() ? Vec2{} : ring[0];
}

Vec2 interior_point(const Polygon& polygon) {
  const Vec2 middle = centroid(polygon.outline);
  if (contains(polygon, middle) && border_distance(polygon, middle) > 1e-6) return middle;
  Vec2 low{1e300, 1e300};
  Vec2 high{-1e300, -1e300};
  for (const Vec2& p : polygon.outline) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  Vec2 best = middle;
  double widest = -1;
  constexpr int kLines = 17;
  for (int i = 1; i < kLines; ++i) {
    const double y = low.y + (high.y - low.y) * (i + 0.137) / (kLines + 0.3);
    const auto [point, width] = middle_of_chord(polygon, y, low.x, high.x);
    if (width > widest) {
      widest = width;
      best = point;
    }
  }
  return best;
}

// The fourth harmonic of the edges' directions: the same whichever way the ring is turned, and
// quarter turns count as one.
Vec2 main_direction(std::span<const Vec2> ring) {
  Vec2 sum{0, 0}, longest{1, 0};
  double length = 0, total = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 edge = ring[(i + 1) % ring.size()] - ring[i];
    const double size = norm(edge), turn = 4 * std::atan2(edge.y, edge.x);
    sum = sum + size * Vec2{std::cos(turn), std::sin(turn)};
    total += size;
    if (size > length + 1e-6) {
      length = size;
      longest = (1 / size) * edge;
    }
  }
  if (norm(sum) < 0.1 * total) return longest;
  const double angle = std::atan2(sum.y, sum.x) / 4;
  return {std::cos(angle), std::sin(angle)};
}

}  // namespace roomloom
