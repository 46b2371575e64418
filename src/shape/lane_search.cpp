#include "shape/lane_search.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "shape/lane_costs.h"
#include "shape/lane_lattice.h"
#include "shape/lane_steps.h"

namespace roomloom {
namespace {

constexpr int kSecondThoughts = 2;
constexpr int kConstantTries = 250;  // lanes of one offset that are looked at with all others

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
  Corners corners{straight_ends(run), false};
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

// The cheapest lane of one offset, among those that cost least by themselves.
Vec3 best_constant(const LanePath& run, const LaneCosts& costs, const OffsetLattice& lattice,
                   double& best) {
  std::vector<std::pair<double, Vec3>> candidates;
  for (const Vec3& offset : lattice_offsets(lattice))
    candidates.emplace_back(costs.alone(0, run.path.edges.size(), offset), offset);
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first - 1e-9; });
  Vec3 chosen;
  best = Box3::kInf;
  int tries = 0;
  for (const auto& [alone, offset] : candidates) {
    if (alone >= best || ++tries > kConstantTries) break;
    const double cost = costs.whole(std::vector<Vec3>(run.path.points.size(), offset), best);
    if (cost >= best - 1e-12) continue;
    best = cost;
    chosen = offset;
  }
  return chosen;
}

// The cheapest lane that may step aside within its straight stretches; nothing that alone costs
// `limit` or more is looked at closely.
std::vector<Vec3> best_stepped(const LanePath& run, const LaneCosts& costs,
                               const OffsetLattice& lattice, double limit) {
  const Corners corners = corners_of(run);
  std::vector<Stretch> stretches;
  for (std::size_t k = 0; k + 1 < corners.points.size(); ++k)
    stretches.push_back(
        {normalized(run.path.points[corners.points[k + 1]] - run.path.points[corners.points[k]]),
         !run.steps_aside.empty() && run.steps_aside[corners.low(k)]});
  const auto straight_cost = [&](std::size_t k, const Vec3& offset) {
    return costs.stretch(corners.low(k), corners.high(k), offset, limit);
  };
  const auto tip_cost = [&](int end, const Vec3& offset) {
    const bool at_start = (end == 0) != corners.reversed;
    return at_start ? costs.tip(0, run.span.from, offset, limit)
                    : costs.tip(run.span.to, run.path.points.size() - 1, offset, limit);
  };
  return spread_offsets(run, corners, stepped_offsets(stretches, lattice, straight_cost, tip_cost));
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
    int neighbours = 0;
    const LaneTask task{run, limits_[index], resting_places(index), near_by_leg(index, neighbours)};
    const LaneCosts costs(task, room_, ends_);
    const OffsetLattice lattice = offset_lattice(task, axes_, reach_for(neighbours));
    double cost = 0;
    std::vector<Vec3> offsets(run.path.points.size(), best_constant(run, costs, lattice, cost));
    if (cost > kStepsWorthwhile && run.span.from < run.span.to) {
      std::vector<Vec3> stepped = best_stepped(run, costs, lattice, cost);
      const double stepped_cost = costs.whole(stepped, cost);
      if (stepped_cost < cost - 1e-9) {
        offsets = std::move(stepped);
        cost = stepped_cost;
      }
    }
    // A second thought must not make it worse.
    const bool better =
        offsets_[index].empty() || costs.whole(offsets_[index], Box3::kInf) > cost + 1e-9;
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

  // Half diameters to search: enough for a square of so many cables, with some to spare.
  static int reach_for(int neighbours) {
    return std::clamp(static_cast<int>(std::ceil(std::sqrt(neighbours + 1.0))) + 2, 3, 8);
  }

  // The legs of placed runs that may come into the way of each leg.
  std::vector<std::vector<NearLeg>> near_by_leg(std::size_t index, int& neighbours) const {
    const LanePath& run = paths_[index];
    std::vector<std::vector<NearLeg>> near(run.legs.size());
    constexpr int kFurthest = 9;  // half diameters that a lane may lie off, and some
    neighbours = 0;
    for (std::size_t other = 0; other < paths_.size(); ++other) {
      if (!placed_[other] || paths_[other].path.empty()) continue;
      const LanePath& path = paths_[other];
      const double need = needed_distance(run, path);
      const NearPairs pairs =
          near_pairs(run, path, need + lanes_[other].furthest_m + kFurthest * run.diameter_m);
      if (!pairs.empty()) ++neighbours;
      for (const auto& [i, j] : pairs)
        near[i].push_back(
            {&path.legs[j], placed_points_[other][j], placed_points_[other][j + 1], need});
    }
    return near;
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

  const std::vector<LanePath>& paths_;
  const std::vector<std::vector<LaneLimits>>& limits_;
  const Room& room_;
  const Ends& ends_;
  std::vector<Vec3> axes_;
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
