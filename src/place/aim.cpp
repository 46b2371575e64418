#include "place/aim.h"

#include <algorithm>
#include <cmath>

#include "base/steps.h"

namespace roomloom::place {
namespace {

struct Candidate {
  double azimuth = 0, elevation = 0;  ///< degrees
  double away = 0;                    ///< degrees from the nominal direction
};

/// Whole degrees from the nominal value to the limits, the limits included.
std::vector<double> steps(double nominal, double low, double high) {
  std::vector<double> values{nominal};
  for (const double off : steps_below(1, nominal - low, 1)) values.push_back(nominal - off);
  for (const double off : steps_below(1, high - nominal, 1)) values.push_back(nominal + off);
  if (low < nominal) values.push_back(low);
  if (high > nominal) values.push_back(high);
  return values;
}

double degrees_between(const Candidate& c, const LabelRange& range) {
  const Listener origin;
  const Vec3 a = direction_of(origin, radians(c.azimuth), radians(c.elevation));
  const Vec3 b = direction_of(origin, radians(range.azimuth), radians(range.elevation));
  return degrees(std::atan2(norm(cross(a, b)), dot(a, b)));
}

std::vector<Candidate> candidates(const LabelRange& range) {
  std::vector<Candidate> list;
  for (const double elevation : steps(range.elevation, range.elevation_low, range.elevation_high)) {
    for (const double azimuth : steps(range.azimuth, range.azimuth_low, range.azimuth_high)) {
      Candidate c{azimuth, elevation, 0};
      c.away = degrees_between(c, range);
      list.push_back(c);
    }
  }
  // Ties go outward and up, so that left and right stay mirrored.
  std::sort(list.begin(), list.end(), [](const Candidate& a, const Candidate& b) {
    if (std::abs(a.away - b.away) > 1e-9) return a.away < b.away;
    if (std::abs(a.azimuth) != std::abs(b.azimuth))
      return std::abs(a.azimuth) > std::abs(b.azimuth);
    return a.elevation > b.elevation;
  });
  return list;
}

bool meets(const GearBox& box, const Vec3& from, const Vec3& direction, double reach_m) {
  const Vec3 a = box.frame.to_local(from);
  const Vec3 d{dot(direction, box.frame.u), dot(direction, box.frame.v),
               dot(direction, box.frame.n)};
  double t0 = 0, t1 = reach_m;
  for (int axis = 0; axis < 3; ++axis) {
    if (std::abs(d[axis]) < 1e-12) {
      if (a[axis] < 0 || a[axis] > box.size[axis]) return false;
      continue;
    }
    const double low = -a[axis] / d[axis], high = (box.size[axis] - a[axis]) / d[axis];
    t0 = std::max(t0, std::min(low, high));
    t1 = std::min(t1, std::max(low, high));
  }
  return t0 < t1;
}

}  // namespace

Vec3 direction_of(const Listener& listener, double azimuth_rad, double elevation_rad) {
  const double turn = listener.facing_rad + azimuth_rad;
  return {-std::sin(turn) * std::cos(elevation_rad), std::cos(turn) * std::cos(elevation_rad),
          std::sin(elevation_rad)};
}

Bearing bearing_of(const Listener& listener, const Vec3& p) {
  const Vec3 to = p - listener.ear;
  const double level = std::hypot(to.x, to.y);
  const double turn = level > 0 ? std::atan2(-to.x, to.y) - listener.facing_rad : 0;
  return {std::remainder(turn, 2 * kPi), std::atan2(to.z, level), norm(to)};
}

Landing cast(const Surfaces& surfaces, const Vec3& from, const Vec3& direction,
             const std::vector<GearBox>& gear) {
  Landing landing = surfaces.land(from, direction);
  if (landing.sheet >= 0 && landing.blocked_by.empty())
    for (const GearBox& box : gear)
      if (meets(box, from, direction, landing.distance_m)) landing.blocked_by = box.id;
  return landing;
}

namespace {

/// How well a direction will do. One that is moved at all is moved to where its hole can be cut.
int worth(const Landing& landing, bool nominal) {
  if (!landing.blocked_by.empty()) return 0;
  if (landing.at_edge) return 1;
  return landing.over_tee && !nominal ? 2 : 3;
}

}  // namespace

Aimed aim(const Surfaces& surfaces, const Listener& listener, const LabelRange& range,
          const std::vector<GearBox>& gear) {
  Aimed best;
  int best_worth = -1;
  std::string nominal_fault;
  for (const Candidate& c : candidates(range)) {
    const Vec3 direction = direction_of(listener, radians(c.azimuth), radians(c.elevation));
    const bool nominal = c.away < 1e-9;
    Aimed tried{cast(surfaces, listener.ear, direction, gear), radians(c.azimuth),
                radians(c.elevation), !nominal, ""};
    const Landing& landing = tried.landing;
    if (nominal)
      nominal_fault = landing.at_edge ? "the edge of " + surfaces.sheet(landing.sheet).name
                                      : landing.blocked_by;
    tried.nominal_fault = nominal_fault;
    const int found = worth(landing, nominal);
    if (found <= best_worth) continue;
    best_worth = found;
    best = std::move(tried);
    if (found == 3) break;
  }
  return best;
}

}  // namespace roomloom::place
