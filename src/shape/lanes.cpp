#include "shape/lanes.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/units.h"
#include "geometry/arc.h"

namespace roomloom {
namespace {

// What one thing weighs against another when no lane is free of all faults. Only their order of
// size matters: a broken limit or a shared straight stretch must never be bought for compactness.
constexpr double kStraightOverlap = 1e4;
constexpr double kBrokenLimit = 1e6;  // a metre
constexpr double kObstructed = 1e3;
constexpr double kFittingOverlap = 1;
constexpr double kLooseOverlap = 0.01;
constexpr double kSpread = 0.1;  // a diameter off the centreline

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

struct LatticePoint {
  int i, j, k;
  int norm2() const { return i * i + j * j + k * k; }
};

// By growing distance from the centreline.
std::vector<LatticePoint> lattice(int reach) {
  std::vector<LatticePoint> points;
  for (int i = -reach; i <= reach; ++i)
    for (int j = -reach; j <= reach; ++j)
      for (int k = -reach; k <= reach; ++k) points.push_back({i, j, k});
  std::stable_sort(points.begin(), points.end(), [](const LatticePoint& a, const LatticePoint& b) {
    return a.norm2() < b.norm2();
  });
  return points;
}

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

class LaneSearch {
 public:
  LaneSearch(const std::vector<LanePath>& paths, const std::vector<LaneLimits>& limits,
             const Tracks& tracks, const Room& room, const Ends& ends)
      : paths_(paths), limits_(limits), tracks_(tracks), room_(room), ends_(ends) {
    axes_ = lattice_axes(paths, tracks, room);
    lanes_.resize(paths.size());
    placed_.resize(paths.size(), false);
    placed_points_.resize(paths.size());
  }

  std::vector<Lane> run() {
    for (const std::size_t index : longest_shared_first(paths_)) {
      place(index);
      placed_[index] = true;
    }
    return std::move(lanes_);
  }

 private:
  void place(std::size_t index) {
    const LanePath& run = paths_[index];
    Lane& lane = lanes_[index];
    if (run.path.empty()) return;
    neighbours_ = placed_near(index, reach_for(0));
    const int reach = reach_for(neighbours_.size());
    neighbours_ = placed_near(index, reach);
    double best = Box3::kInf;
    for (const LatticePoint& point : points(reach)) {
      const double spread = kSpread * std::sqrt(point.norm2()) / 2;
      if (spread >= best) break;
      const Vec3 offset =
          (run.diameter_m / 2) * (point.i * axes_[0] + point.j * axes_[1] + point.k * axes_[2]);
      const double cost = spread + cost_of(index, offset, best - spread);
      if (cost >= best - 1e-12) continue;
      best = cost;
      lane.offset = offset;
    }
    placed_points_[index] = leg_points(run, lane.offset);
    lane.points = lane_points(run.path, lane.offset, run.span);
  }

  // Half diameters to search: enough for a square of so many cables, with as much again to spare.
  static int reach_for(std::size_t neighbours) {
    const double side = std::sqrt(static_cast<double>(neighbours) + 1);
    return std::clamp(static_cast<int>(std::ceil(side)) + 2, 3, 8);
  }

  const std::vector<LatticePoint>& points(int reach) {
    if (reach != points_reach_) {
      points_ = lattice(reach);
      points_reach_ = reach;
    }
    return points_;
  }

  std::vector<Neighbour> placed_near(std::size_t index, int reach) const {
    std::vector<Neighbour> found;
    const LanePath& run = paths_[index];
    for (std::size_t other = 0; other < paths_.size(); ++other) {
      if (!placed_[other] || paths_[other].path.empty()) continue;
      const double apart = (run.diameter_m + paths_[other].diameter_m) / 2 +
                           norm(lanes_[other].offset) + reach * run.diameter_m;
      Neighbour neighbour{other, near_pairs(run, paths_[other], apart)};
      if (!neighbour.near.empty()) found.push_back(std::move(neighbour));
    }
    return found;
  }

  double obstructed(const LanePath& run, const std::vector<Vec3>& points) const {
    double sum = 0;
    for (std::size_t i = 0; i < run.legs.size(); ++i) {
      const LanePath::Leg& leg = run.legs[i];
      if (leg.crossing) continue;
      sum += obstruction(leg.home, {run.path.points[leg.from], run.path.points[leg.to]},
                         {points[i], points[i + 1]}, run.diameter_m, room_, ends_);
    }
    return kObstructed * sum;
  }

  // Exact below `limit`; above it, some number not below it.
  double cost_of(std::size_t index, const Vec3& offset, double limit) {
    const LanePath& run = paths_[index];
    double cost = kBrokenLimit * limits_[index].broken_by(offset);
    if (cost >= limit) return cost;
    const std::vector<Vec3> points = leg_points(run, offset);
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
    return cost + obstructed(run, points);
  }

  const std::vector<LanePath>& paths_;
  const std::vector<LaneLimits>& limits_;
  const Tracks& tracks_;
  const Room& room_;
  const Ends& ends_;
  std::vector<Vec3> axes_;
  std::vector<Neighbour> neighbours_;  // of the run being placed
  std::vector<std::vector<Vec3>> placed_points_;
  std::vector<LatticePoint> points_;
  int points_reach_ = 0;
  std::vector<Lane> lanes_;
  std::vector<bool> placed_;
};

std::string place_text(const Vec3& at) {
  return "(" + format_number(at.x, 2) + ", " + format_number(at.y, 2) + ", " +
         format_number(at.z, 2) + ") m";
}

std::string overlap_text(const std::string& a, const std::string& b, const Conflict& conflict) {
  const std::string pair = "Runs " + a + " and " + b;
  if (conflict.worst == Meeting::straight)
    return pair + " found no lanes of their own near " + place_text(conflict.at);
  return pair + " overlap as drawn inside " +
         (conflict.fittings.size() == 1
              ? "a fitting near "
              : std::to_string(conflict.fittings.size()) + " fittings, one near ") +
         place_text(conflict.at);
}

void add_overlap(Lane& lane, const LanePath& run, const LanePath& other, const Conflict& conflict) {
  const double step = (run.diameter_m + other.diameter_m) / 2;
  const auto count = static_cast<int>(conflict.fittings.size());
  lane.overlaps_in_fittings += count;
  lane.overlap_bound_m += count * step_over_extra(step, 4 * run.diameter_m);
  lane.overlapped.insert(lane.overlapped.end(), conflict.fittings.begin(), conflict.fittings.end());
}

// After all are placed: what is left, told for both runs.
void tell_overlaps(Lanes& result, const std::vector<LanePath>& paths, const Ends& ends) {
  int loose_pairs = 0;
  std::vector<std::vector<Vec3>> points;
  for (std::size_t i = 0; i < paths.size(); ++i)
    points.push_back(leg_points(paths[i], result.lanes[i].offset));
  for (std::size_t a = 0; a < paths.size(); ++a) {
    for (std::size_t b = a + 1; b < paths.size(); ++b) {
      Lane& la = result.lanes[a];
      Lane& lb = result.lanes[b];
      const double reach =
          (paths[a].diameter_m + paths[b].diameter_m) / 2 + norm(la.offset) + norm(lb.offset);
      const NearPairs near = near_pairs(paths[a], paths[b], reach);
      const Conflict there = find_conflict(paths[a], points[a], paths[b], points[b], near, false);
      if (there.worst == Meeting::none) continue;
      if (there.worst == Meeting::loose) ++loose_pairs;
      if (there.worst == Meeting::loose) continue;
      NearPairs turned;
      for (const auto& [i, j] : near) turned.emplace_back(j, i);
      const Conflict back = find_conflict(paths[b], points[b], paths[a], points[a], turned, false);
      add_overlap(la, paths[a], paths[b], there);
      add_overlap(lb, paths[b], paths[a], back);
      const auto id = [&](const LanePath& run) {
        return ends.runs[static_cast<std::size_t>(run.run)].id;
      };
      result.overlaps.push_back(overlap_text(id(paths[a]), id(paths[b]), there));
    }
  }
  if (loose_pairs > 0)
    result.overlaps.push_back(std::to_string(loose_pairs) +
                              " pairs of runs overlap as drawn only where they lie loose");
}

}  // namespace

double step_over_extra(double step_m, double reach_m) {
  if (step_m <= 0 || reach_m <= 0) return 0;
  // Two arcs of opposite turn, each of half the step over half the reach: the chord makes half the
  // turn with the way.
  const double turn = 2 * std::atan(step_m / reach_m);
  return 2 * reach_m * (turn / std::sin(turn) - 1);
}

Lanes assign_lanes(std::vector<LanePath>& paths, const std::vector<double>& bend_radius_m,
                   const std::vector<LaneLimits>& limits, const Tracks& tracks, const Room& room,
                   const Ends& ends) {
  mark_legs(paths, bend_radius_m, tracks);
  Lanes result;
  result.lanes = LaneSearch(paths, limits, tracks, room, ends).run();
  tell_overlaps(result, paths, ends);
  return result;
}

}  // namespace roomloom
