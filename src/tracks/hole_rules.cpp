#include "tracks/hole_rules.h"

#include <algorithm>
#include <cmath>

namespace roomloom::tracks {
namespace {

constexpr double kSlack_m = 1e-4;
constexpr double kWishSlack_m = 9e-4;     ///< nobody cuts truer; a jog of less would be a kink
constexpr double kSameDistance_m = 5e-5;  ///< what rounding, and how the axes lie, may make differ

bool keeps(const HoleRules& rules, const Vec2& p, double slack_m = kSlack_m) {
  for (const auto& [ring, margin] : rules.inside)
    if (!contains(ring, p) || ring_distance(ring, p) < margin - slack_m) return false;
  for (const auto& [ring, margin] : rules.outside)
    if (contains(ring, p) || ring_distance(ring, p) < margin - slack_m) return false;
  return true;
}

/// Lines parallel to a ring's edges at the margin, on one side.
void add_offset_lines(const Ring& ring, double margin, bool inward,
                      std::vector<std::pair<Vec2, Vec2>>& lines) {
  const double turn = (signed_area(ring) > 0) == inward ? 1 : -1;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vec2 a = ring[i], b = ring[(i + 1) % ring.size()];
    const double length = norm(b - a);
    if (length < 1e-9) continue;
    const Vec2 along = (1 / length) * (b - a);
    const Vec2 off = turn * margin * Vec2{-along.y, along.x};
    lines.emplace_back(a + off, along);
  }
}

}  // namespace

bool Nearness::operator<(const Nearness& other) const {
  if (std::abs(away_m - other.away_m) > kSameDistance_m) return away_m < other.away_m;
  return also_m < other.also_m - kSameDistance_m;
}

double ring_distance(const Ring& ring, const Vec2& p) {
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < ring.size(); ++i)
    nearest = std::min(nearest, segment_distance(p, ring[i], ring[(i + 1) % ring.size()]));
  return nearest;
}

bool nearest_allowed(const HoleRules& rules, const Vec2& wish, const Vec2& also, Vec2& best) {
  std::vector<std::pair<Vec2, Vec2>> lines;
  for (const auto& [ring, margin] : rules.inside) add_offset_lines(ring, margin, true, lines);
  for (const auto& [ring, margin] : rules.outside) add_offset_lines(ring, margin, false, lines);
  if (keeps(rules, wish, kWishSlack_m)) {
    best = wish;
    return true;
  }
  std::vector<Vec2> candidates;
  for (const auto& [at, along] : lines) candidates.push_back(at + dot(wish - at, along) * along);
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = i + 1; j < lines.size(); ++j) {
      const double turn = cross(lines[i].second, lines[j].second);
      if (std::abs(turn) < 1e-6) continue;
      const double t = cross(lines[j].first - lines[i].first, lines[j].second) / turn;
      candidates.push_back(lines[i].first + t * lines[i].second);
    }
  Nearness nearest;
  for (const Vec2& p : candidates) {
    const Nearness own{norm(p - wish), norm(p - also)};
    if (own < nearest && keeps(rules, p)) {
      nearest = own;
      best = p;
    }
  }
  return std::isfinite(nearest.away_m);
}

}  // namespace roomloom::tracks
