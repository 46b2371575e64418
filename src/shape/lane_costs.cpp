#include "shape/lane_costs.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

constexpr double kStraightOverlap = 1e4;
constexpr double kBrokenLimit = 1e6;  // a metre
constexpr double kOutside = 2e4;      // on top, where a limit is broken by more than kInaccuracy
constexpr double kInaccuracy = 1e-3;  // metres
constexpr double kObstructed = 1e3;
constexpr double kFittingOverlap = 1;
constexpr double kLooseOverlap = 0.01;
constexpr double kSpread = 0.1;  // a diameter off the resting place, mean of all edges

double weight_of(Meeting meeting) {
  switch (meeting) {
    case Meeting::straight:
      return kStraightOverlap;
    case Meeting::fitting:
      return kFittingOverlap;
    case Meeting::loose:
      return kLooseOverlap;
    case Meeting::none:
      break;
  }
  return 0;
}

}  // namespace

LaneCosts::LaneCosts(const LaneTask& task, const Room& room, const Ends& ends)
    : task_(task), run_(task.run), room_(room), ends_(ends) {
  const std::vector<Vec3>& points = run_.path.points;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    ways_.push_back(normalized(points[i + 1] - points[i]));
}

double LaneCosts::edge_alone(std::size_t edge, const Vec3& offset) const {
  const Vec3 away = offset - task_.rests[edge];
  const double along = dot(away, ways_[edge]);
  const double off = std::sqrt(std::max(0.0, dot(away, away) - along * along));
  const double broken = task_.limits[edge].broken_by(offset);
  return kBrokenLimit * broken + (broken > kInaccuracy ? kOutside : 0) +
         kSpread * off / run_.diameter_m / static_cast<double>(ways_.size());
}

double LaneCosts::alone(std::size_t first, std::size_t last, const Vec3& offset) const {
  double cost = 0;
  for (std::size_t i = first; i < last; ++i) cost += edge_alone(i, offset);
  return cost;
}

double LaneCosts::leg(std::size_t index, const Vec3& a, const Vec3& b) const {
  const LanePath::Leg& leg = run_.legs[index];
  double cost = 0;
  for (const NearLeg& other : task_.near[index])
    cost += weight_of(leg_meeting(leg, a, b, *other.leg, other.from, other.to, other.need_m));
  if (leg.crossing) return cost;
  const Segment track{run_.path.points[leg.from], run_.path.points[leg.to]};
  return cost + kObstructed * obstruction(leg.home, track, {a, b}, run_.diameter_m, room_, ends_);
}

double LaneCosts::stretch(std::size_t low, std::size_t high, const Vec3& offset,
                          double limit) const {
  double cost = alone(low, high, offset);
  for (std::size_t i = 0; i < run_.legs.size() && cost < limit; ++i) {
    const LanePath::Leg& part = run_.legs[i];
    if (part.from < low || part.to > high) continue;
    cost += leg(i, run_.path.points[part.from] + offset, run_.path.points[part.to] + offset);
  }
  return cost;
}

double LaneCosts::tip(std::size_t from, std::size_t to, const Vec3& offset, double limit) const {
  double cost = alone(from, to, offset);
  if (cost >= limit) return cost;
  const bool all_loose = std::all_of(
      run_.legs.begin(), run_.legs.end(),
      [&](const LanePath::Leg& part) { return part.loose || part.from < from || part.to > to; });
  if (all_loose) return cost;
  const std::vector<Vec3> points = lane_points(
      run_.path, run_.rigid, std::vector<Vec3>(run_.path.points.size(), offset), run_.span);
  for (std::size_t i = 0; i < run_.legs.size() && cost < limit; ++i) {
    const LanePath::Leg& part = run_.legs[i];
    if (part.from < from || part.to > to || part.loose) continue;
    cost += leg(i, points[part.from], points[part.to]);
  }
  return cost;
}

double LaneCosts::whole(const std::vector<Vec3>& offsets, double limit) const {
  double cost = 0;
  // Each edge goes by the offset of its start.
  for (std::size_t i = 0; i < ways_.size(); ++i)
    cost += edge_alone(i, offsets[std::clamp(i, run_.span.from, run_.span.to)]);
  if (cost >= limit) return cost;
  const std::vector<Vec3> points = lane_points(run_.path, run_.rigid, offsets, run_.span);
  for (std::size_t i = 0; i < run_.legs.size() && cost < limit; ++i)
    cost += leg(i, points[run_.legs[i].from], points[run_.legs[i].to]);
  return cost;
}

}  // namespace roomloom
