#include "shape/lane_search.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "shape/lane_steps.h"

namespace roomloom {
namespace {

// What one thing weighs against another when no lane is free of all faults. Only their order of
// size matters: a broken limit or a shared straight stretch must never be bought for compactness.
constexpr double kStraightOverlap = 1e4;
constexpr double kBrokenLimit = 1e6;  // a metre
constexpr double kObstructed = 1e3;
constexpr double kFittingOverlap = 1;
constexpr double kLooseOverlap = 0.01;
constexpr double kSpread = 0.1;  // a diameter off the resting place, mean of all edges
constexpr int kSecondThoughts = 2;
constexpr std::size_t kCoordinates = 17;  // along an axis

// From this cost on it is worth looking for a lane that changes on the way.
constexpr double kStepsWorthwhile = 0.9 * kFittingOverlap;

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

// Three directions taken from the tracks themselves, so that a turned or mirrored room gives the
// same lanes.
std::vector<Vec3> lattice_axes(const std::vector<LanePath>& paths, const Tracks& tracks,
                               const Room& room) {
  std::vector<Vec3> axes;
  const auto offer = [&](Vec3 direction) {
    if (axes.size() == 3) return;
    for (const Vec3& axis : axes) direction = direction - dot(direction, axis) * axis;
    if (norm(direction) > 0.3) axes.push_back(normalized(direction));
  };
  const auto node = [&](int i) { return tracks.nodes[static_cast<std::size_t>(i)].position; };
  for (const LanePath& run : paths) {
    std::vector<int> edges;
    for (const PathEdge& step : run.path.edges) edges.push_back(step.edge);
    std::sort(edges.begin(), edges.end());  // so that a run's direction does not matter
    for (const int index : edges) {
      const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(index)];
      if (edge.kind != EdgeKind::lead_in) offer(normalized(node(edge.b) - node(edge.a)));
      if (const Sheet* sheet = sheet_of(edge, room)) offer(sheet->frame.n);
    }
  }
  for (const Vec3& direction : {Vec3{0, 0, 1}, Vec3{1, 0, 0}, Vec3{0, 1, 0}}) offer(direction);
  return axes;
}

// All offsets of the lattice, by growing distance from the centreline.
std::vector<Vec3> lattice_offsets(const OffsetLattice& lattice) {
  std::vector<Vec3> offsets;
  for (const double i : lattice.coordinates_m[0])
    for (const double j : lattice.coordinates_m[1])
      for (const double k : lattice.coordinates_m[2])
        offsets.push_back(i * lattice.axes[0] + j * lattice.axes[1] + k * lattice.axes[2]);
  std::stable_sort(offsets.begin(), offsets.end(),
                   [](const Vec3& a, const Vec3& b) { return norm(a) < norm(b) - 1e-9; });
  return offsets;
}

// Coordinates to try along one axis, the first offered being the most wanted.
class Coordinates {
 public:
  explicit Coordinates(std::size_t most) : most_(most) {}
  void offer(double value) {
    const bool known = std::any_of(values_.begin(), values_.end(),
                                   [&](double v) { return std::fabs(v - value) < 1e-6; });
    if (!known && values_.size() < most_) values_.push_back(value);
  }
  std::vector<double> ascending() {
    std::sort(values_.begin(), values_.end());
    return std::move(values_);
  }

 private:
  std::size_t most_;
  std::vector<double> values_;
};

double shared_length(const LanePath& run) {
  double sum = 0;
  for (std::size_t i = 0; i < run.path.edges.size(); ++i)
    if (run.shared[i]) sum += distance(run.path.points[i], run.path.points[i + 1]);
  return sum;
}

std::vector<std::size_t> longest_shared_first(const std::vector<LanePath>& paths) {
  std::vector<std::size_t> order(paths.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<double> shared;
  for (const LanePath& run : paths) shared.push_back(shared_length(run));
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return shared[a] > shared[b] + 1e-6; });
  return order;
}

struct Neighbour {
  std::size_t path = 0;
  NearPairs near;
};

// A leg of a placed run that comes near.
struct NearLeg {
  std::size_t path = 0;
  std::size_t leg = 0;
};

// The corners of a way within its lane span, in an order that does not depend on which end is
// called the first.
struct Corners {
  std::vector<std::size_t> points;
  bool reversed = false;
  std::size_t low(std::size_t straight) const {
    return std::min(points[straight], points[straight + 1]);
  }
  std::size_t high(std::size_t straight) const {
    return std::max(points[straight], points[straight + 1]);
  }
};

Corners corners_of(const LanePath& run) {
  Corners corners;
  for (std::size_t i = run.span.from; i <= run.span.to; ++i)
    if (i == run.span.from || i == run.span.to || is_corner(run.path.points, i))
      corners.points.push_back(i);
  corners.reversed = run.path.edges.front().edge > run.path.edges.back().edge;
  if (corners.reversed) std::reverse(corners.points.begin(), corners.points.end());
  return corners;
}

// One offset a point of the path: those given at the corners, and in proportion between them.
std::vector<Vec3> spread_offsets(const LanePath& run, const Corners& corners,
                                 const std::vector<Vec3>& at_corners) {
  const std::vector<Vec3>& points = run.path.points;
  std::vector<Vec3> offsets(points.size());
  for (std::size_t k = 0; k < corners.points.size(); ++k)
    offsets[corners.points[k]] = at_corners[k];
  for (std::size_t k = 0; k + 1 < corners.points.size(); ++k) {
    const std::size_t low = corners.low(k);
    const std::size_t high = corners.high(k);
    for (std::size_t i = low + 1; i < high; ++i) {
      const double share = distance(points[low], points[i]) / distance(points[low], points[high]);
      offsets[i] = (1 - share) * offsets[low] + share * offsets[high];
    }
  }
  return offsets;
}

class LaneSearch {
 public:
  LaneSearch(const std::vector<LanePath>& paths, const std::vector<std::vector<LaneLimits>>& limits,
             const Tracks& tracks, const Room& room, const Ends& ends)
      : paths_(paths), limits_(limits), room_(room), ends_(ends) {
    axes_ = lattice_axes(paths, tracks, room);
    lanes_.resize(paths.size());
    placed_.resize(paths.size(), false);
    placed_points_.resize(paths.size());
    offsets_.resize(paths.size());
  }

  std::vector<Lane> run() {
    const std::vector<std::size_t> order = longest_shared_first(paths_);
    for (const std::size_t index : order) place(index);
    // Those that got into another's way may find a better lane now that all are placed.
    for (int round = 0; round < kSecondThoughts; ++round) {
      const std::vector<bool> in_the_way = those_in_the_way();
      for (const std::size_t index : order)
        if (in_the_way[index]) place(index);
    }
    return std::move(lanes_);
  }

 private:
  void place(std::size_t index) {
    const LanePath& run = paths_[index];
    if (run.path.empty() || run.span.from > run.span.to) {
      lanes_[index].points = run.path.points;
      placed_points_[index] = leg_points(run, run.path.points);
      placed_[index] = true;
      return;
    }
    placed_[index] = false;
    neighbours_ = placed_near(index, reach_for(0));
    reach_ = reach_for(neighbours_.size());
    neighbours_ = placed_near(index, reach_);
    rests_ = resting_places(index);
    double cost = 0;
    std::vector<Vec3> offsets(run.path.points.size(), best_constant(index, cost));
    if (cost > kStepsWorthwhile && run.span.from < run.span.to) {
      std::vector<Vec3> stepped = best_stepped(index);
      const double stepped_cost = cost_of(index, stepped, cost);
      if (stepped_cost < cost - 1e-9) {
        offsets = std::move(stepped);
        cost = stepped_cost;
      }
    }
    // A second thought must not make it worse.
    const bool better =
        offsets_[index].empty() || cost_of(index, offsets_[index], Box3::kInf) > cost + 1e-9;
    if (better) keep(index, offsets);
    placed_[index] = true;
  }

  // Runs that overlap another on a straight stretch.
  std::vector<bool> those_in_the_way() const {
    std::vector<bool> found(paths_.size(), false);
    for (std::size_t a = 0; a < paths_.size(); ++a) {
      for (std::size_t b = a + 1; b < paths_.size(); ++b) {
        const double reach =
            needed_distance(paths_[a], paths_[b]) + lanes_[a].furthest_m + lanes_[b].furthest_m;
        const NearPairs near = near_pairs(paths_[a], paths_[b], reach);
        if (near.empty()) continue;
        const Conflict conflict =
            find_conflict(paths_[a], placed_points_[a], paths_[b], placed_points_[b], near, true);
        if (conflict.worst == Meeting::straight) found[a] = found[b] = true;
      }
    }
    return found;
  }

  void keep(std::size_t index, const std::vector<Vec3>& offsets) {
    const LanePath& run = paths_[index];
    Lane& lane = lanes_[index];
    offsets_[index] = offsets;
    lane.furthest_m = 0;
    lane.points = lane_points(run.path, run.rigid, offsets, run.span);
    placed_points_[index] = leg_points(run, lane.points);
    double longest = -1;
    for (std::size_t i = 0; i < offsets.size(); ++i) {
      lane.furthest_m = std::max(lane.furthest_m, norm(offsets[i]));
      if (i + 1 == offsets.size() || i < run.span.from || i >= run.span.to) continue;
      const double length = distance(run.path.points[i], run.path.points[i + 1]);
      if (length <= longest) continue;
      longest = length;
      lane.offset = offsets[i];
    }
    if (longest < 0 && run.span.from <= run.span.to) lane.offset = offsets[run.span.from];
  }

  // Along each axis: the centreline, the ends of what raceways and holes leave free, places that
  // touch the lanes of neighbours, and half diameters.
  OffsetLattice lattice_of(std::size_t index) const {
    OffsetLattice lattice;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      lattice.axes[axis] = axes_[axis];
      Coordinates coordinates(kCoordinates);
      coordinates.offer(0);
      for (const double free_end : free_ends(index, axes_[axis])) coordinates.offer(free_end);
      std::vector<double> touching = touching_places(index, axes_[axis]);
      const double half = paths_[index].diameter_m / 2;
      for (int k = 1; k <= reach_; ++k) touching.insert(touching.end(), {-k * half, k * half});
      std::stable_sort(touching.begin(), touching.end(),
                       [](double a, double b) { return std::fabs(a) < std::fabs(b) - 1e-9; });
      for (const double place : touching) coordinates.offer(place);
      lattice.coordinates_m[axis] = coordinates.ascending();
    }
    return lattice;
  }

  std::vector<double> free_ends(std::size_t index, const Vec3& axis) const {
    std::vector<double> ends;
    for (const LaneLimits& limits : limits_[index]) {
      for (const LaneLimits::Interval& limit : limits.intervals) {
        const double same = dot(limit.axis, axis);
        if (std::fabs(same) < 1 - 1e-9) continue;
        for (const double end :
             {same > 0 ? limit.low : -limit.high, same > 0 ? limit.high : -limit.low})
          if (std::fabs(end) <= reach_ * paths_[index].diameter_m / 2) ends.push_back(end);
      }
    }
    return ends;
  }

  std::vector<double> touching_places(std::size_t index, const Vec3& axis) const {
    std::vector<double> places;
    for (const Neighbour& neighbour : neighbours_) {
      const double apart = (paths_[index].diameter_m + paths_[neighbour.path].diameter_m) / 2;
      const double at = dot(lanes_[neighbour.path].offset, axis);
      places.insert(places.end(), {at - apart, at + apart});
    }
    return places;
  }

  // The lane of one offset that costs least. Those that cost least by themselves are tried first.
  Vec3 best_constant(std::size_t index, double& best) {
    const LanePath& run = paths_[index];
    const std::size_t last = run.path.edges.size();
    std::vector<std::pair<double, Vec3>> candidates;
    std::vector<Vec3> offsets(run.path.points.size());
    for (const Vec3& offset : lattice_offsets(lattice_of(index))) {
      std::fill(offsets.begin(), offsets.end(), offset);
      candidates.emplace_back(own_cost(index, 0, last, offsets), offset);
    }
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first - 1e-9; });
    Vec3 chosen;
    best = Box3::kInf;
    for (const auto& [own, offset] : candidates) {
      if (own >= best) break;
      std::fill(offsets.begin(), offsets.end(), offset);
      const double cost = cost_of(index, offsets, best);
      if (cost >= best - 1e-12) continue;
      best = cost;
      chosen = offset;
    }
    return chosen;
  }

  // Half diameters to search: enough for a square of so many cables, with some to spare.
  static int reach_for(std::size_t neighbours) {
    const double side = std::sqrt(static_cast<double>(neighbours) + 1);
    return std::clamp(static_cast<int>(std::ceil(side)) + 2, 3, 8);
  }

  std::vector<Neighbour> placed_near(std::size_t index, int reach) const {
    std::vector<Neighbour> found;
    const LanePath& run = paths_[index];
    for (std::size_t other = 0; other < paths_.size(); ++other) {
      if (!placed_[other] || paths_[other].path.empty()) continue;
      const double apart = (run.diameter_m + paths_[other].diameter_m) / 2 +
                           lanes_[other].furthest_m + reach * run.diameter_m;
      Neighbour neighbour{other, near_pairs(run, paths_[other], apart)};
      if (!neighbour.near.empty()) found.push_back(std::move(neighbour));
    }
    return found;
  }

  double obstructed(const LanePath& run, std::size_t leg, const Vec3& a, const Vec3& b) const {
    if (run.legs[leg].crossing) return 0;
    const Segment track{run.path.points[run.legs[leg].from], run.path.points[run.legs[leg].to]};
    return kObstructed *
           obstruction(run.legs[leg].home, track, {a, b}, run.diameter_m, room_, ends_);
  }

  // Where a cable would lie by itself, one an edge, relative to the track: on the centreline, but
  // in a raceway that it shares in a corner of it, so that the others find room beside it.
  std::vector<Vec3> resting_places(std::size_t index) const {
    const LanePath& run = paths_[index];
    std::vector<Vec3> rests(run.path.edges.size());
    for (std::size_t i = 0; i < rests.size(); ++i) {
      if (!run.shared[i]) continue;
      for (const LaneLimits::Interval& limit : limits_[index][i].intervals) {
        if (!std::isfinite(limit.high) || !std::isfinite(limit.low)) continue;
        double towards = 0;  // the same corner for all: the low side of the lattice's axes
        for (const Vec3& axis : axes_)
          if (std::fabs(dot(axis, limit.axis)) > std::fabs(towards))
            towards = dot(axis, limit.axis);
        rests[i] += (towards > 0 ? limit.low : limit.high) * limit.axis;
      }
    }
    return rests;
  }

  // What the edges first..last - 1 cost apart from other runs: broken limits, and lying off the
  // resting place. Each edge goes by the offset of its start.
  double own_cost(std::size_t index, std::size_t first, std::size_t last,
                  const std::vector<Vec3>& offsets) const {
    const LanePath& run = paths_[index];
    double broken = 0;
    double off = 0;
    for (std::size_t i = first; i < last; ++i) {
      const Vec3& offset = offsets[std::clamp(i, run.span.from, run.span.to)];
      broken += limits_[index][i].broken_by(offset);
      const Vec3 way = run.path.points[i + 1] - run.path.points[i];
      const Vec3 away = offset - rests_[i];
      const double along = dot(away, way);
      off += std::sqrt(std::max(0.0, dot(away, away) - along * along / dot(way, way)));
    }
    return kBrokenLimit * broken +
           kSpread * off / run.diameter_m / static_cast<double>(run.path.edges.size());
  }

  // Exact below `limit`; above it, some number not below it.
  double cost_of(std::size_t index, const std::vector<Vec3>& offsets, double limit) {
    const LanePath& run = paths_[index];
    double cost = own_cost(index, 0, run.path.edges.size(), offsets);
    if (cost >= limit) return cost;
    const std::vector<Vec3> points =
        leg_points(run, lane_points(run.path, run.rigid, offsets, run.span));
    for (std::size_t n = 0; n < neighbours_.size(); ++n) {
      const std::size_t other = neighbours_[n].path;
      const Conflict conflict = find_conflict(run, points, paths_[other], placed_points_[other],
                                              neighbours_[n].near, limit < kStraightOverlap);
      if (conflict.worst == Meeting::straight) cost += kStraightOverlap;
      if (conflict.worst == Meeting::loose) cost += kLooseOverlap;
      cost += kFittingOverlap * static_cast<double>(conflict.fittings.size());
      if (cost < limit) continue;
      // Who was in the way here is likely to be in the way of the next lane tried as well.
      std::rotate(neighbours_.begin(), neighbours_.begin() + static_cast<std::ptrdiff_t>(n),
                  neighbours_.begin() + static_cast<std::ptrdiff_t>(n) + 1);
      return cost;
    }
    for (std::size_t leg = 0; leg < run.legs.size(); ++leg)
      cost += obstructed(run, leg, points[leg], points[leg + 1]);
    return cost;
  }

  std::vector<std::vector<NearLeg>> near_by_leg(const LanePath& run) const {
    std::vector<std::vector<NearLeg>> near(run.legs.size());
    for (const Neighbour& neighbour : neighbours_)
      for (const auto& [i, j] : neighbour.near) near[i].push_back({neighbour.path, j});
    return near;
  }

  // Of the legs between two points of the path, which lie at `points`.
  double cost_of_legs(std::size_t index, std::size_t from, std::size_t to,
                      const std::vector<Vec3>& points,
                      const std::vector<std::vector<NearLeg>>& near) const {
    const LanePath& run = paths_[index];
    double cost = 0;
    for (std::size_t i = 0; i < run.legs.size(); ++i) {
      const LanePath::Leg& leg = run.legs[i];
      if (leg.from < from || leg.to > to) continue;
      const Vec3& a0 = points[leg.from];
      const Vec3& a1 = points[leg.to];
      for (const NearLeg& other : near[i]) {
        const LanePath& path = paths_[other.path];
        const std::vector<Vec3>& placed = placed_points_[other.path];
        cost += weight_of(leg_meeting(leg, a0, a1, path.legs[other.leg], placed[other.leg],
                                      placed[other.leg + 1], needed_distance(run, path)));
      }
      cost += obstructed(run, i, a0, a1);
    }
    return cost;
  }

  // The cheapest lane that may step aside within its straight stretches.
  std::vector<Vec3> best_stepped(std::size_t index) const {
    const LanePath& run = paths_[index];
    const Corners corners = corners_of(run);
    const std::size_t straights = corners.points.size() - 1;
    std::vector<Vec3> directions;
    for (std::size_t k = 0; k < straights; ++k)
      directions.push_back(
          normalized(run.path.points[corners.points[k + 1]] - run.path.points[corners.points[k]]));
    const auto near = near_by_leg(run);
    const auto moved = [&](const Vec3& offset) {
      return std::vector<Vec3>(run.path.points.size(), offset);
    };
    const auto straight_cost = [&](std::size_t k, const Vec3& offset) {
      const std::vector<Vec3> offsets = moved(offset);
      return own_cost(index, corners.low(k), corners.high(k), offsets) +
             cost_of_legs(index, corners.low(k), corners.high(k),
                          lane_points(run.path, run.rigid, offsets, run.span), near);
    };
    const auto tip_cost = [&](int end, const Vec3& offset) {
      const std::vector<Vec3> offsets = moved(offset);
      const bool at_start = (end == 0) != corners.reversed;
      const std::size_t from = at_start ? 0 : run.span.to;
      const std::size_t to = at_start ? run.span.from : run.path.points.size() - 1;
      return own_cost(index, from, to, offsets) +
             cost_of_legs(index, from, to, lane_points(run.path, run.rigid, offsets, run.span),
                          near);
    };
    return spread_offsets(run, corners,
                          stepped_offsets(directions, lattice_of(index), straight_cost, tip_cost));
  }

  const std::vector<LanePath>& paths_;
  const std::vector<std::vector<LaneLimits>>& limits_;
  const Room& room_;
  const Ends& ends_;
  std::vector<Vec3> axes_;
  int reach_ = 0;                      // of the run being placed
  std::vector<Vec3> rests_;            // of the run being placed, one an edge
  std::vector<Neighbour> neighbours_;  // of the run being placed
  std::vector<std::vector<Vec3>> placed_points_;
  std::vector<Lane> lanes_;
  std::vector<bool> placed_;
  std::vector<std::vector<Vec3>> offsets_;  // one a path: empty until it is placed
};

}  // namespace

std::vector<Lane> search_lanes(const std::vector<LanePath>& paths,
                               const std::vector<std::vector<LaneLimits>>& limits,
                               const Tracks& tracks, const Room& room, const Ends& ends) {
  return LaneSearch(paths, limits, tracks, room, ends).run();
}

}  // namespace roomloom
