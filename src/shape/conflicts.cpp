#include "shape/conflicts.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kTouch = 1e-6;  // metres: cables may touch

double fitting_reach(const LanePath& run, std::size_t point, double bend_radius_m) {
  const std::vector<Vec3>& points = run.path.points;
  double reach = 4 * run.diameter_m;
  if (point == 0 || point + 1 == points.size()) return reach;
  const double angle =
      angle_between(points[point] - points[point - 1], points[point + 1] - points[point]);
  if (angle < 0.9 * kPi) reach = std::max(reach, bend_radius_m * std::tan(angle / 2));
  return reach;
}

// What is left of [0, length] outside the ranges, which are sorted by their start.
std::vector<std::pair<double, double>> outside(std::vector<std::pair<double, double>> ranges,
                                               double from, double to) {
  std::vector<std::pair<double, double>> left;
  double at = from;
  for (const auto& [low, high] : ranges) {
    if (low > at) left.emplace_back(at, std::min(low, to));
    at = std::max(at, high);
    if (at >= to) break;
  }
  if (at < to) left.emplace_back(at, to);
  for (auto& [low, high] : left) {
    low = (low - from) / (to - from);
    high = (high - from) / (to - from);
  }
  return left;
}

// Does the path begin or cease to step aside at point i?
bool steps_at(const LanePath& run, std::size_t i) {
  return !run.steps_aside.empty() && run.steps_aside[i - 1] != run.steps_aside[i];
}

// Does a leg end at point i, for another reason than the path's own end?
bool leg_ends_at(const LanePath& run, std::size_t i, const Tracks& tracks) {
  if (i == run.span.from || i == run.span.to || is_corner(run.path.points, i) || steps_at(run, i))
    return true;
  const auto edge = [&](std::size_t e) -> const TrackEdge& {
    return tracks.edges[static_cast<std::size_t>(run.path.edges[e].edge)];
  };
  const TrackEdge& a = edge(i - 1);
  const TrackEdge& b = edge(i);
  return a.home != b.home || a.medium != b.medium || a.kind == EdgeKind::crossing ||
         b.kind == EdgeKind::crossing;
}

void cut_into_legs(LanePath& run, const Tracks& tracks) {
  run.legs.clear();
  run.rigid.clear();
  for (const PathEdge& step : run.path.edges)
    run.rigid.push_back(tracks.edges[static_cast<std::size_t>(step.edge)].kind ==
                        EdgeKind::crossing);
  std::size_t from = 0;
  for (std::size_t i = 1; i < run.path.points.size(); ++i) {
    if (i + 1 < run.path.points.size() && !leg_ends_at(run, i, tracks)) continue;
    const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(run.path.edges[from].edge)];
    run.legs.push_back(
        {from, i, edge.home, edge.medium == Medium::free, edge.kind == EdgeKind::crossing, {}});
    from = i;
  }
}

void mark(LanePath& run, double bend_radius_m, const std::set<PlaceKey>& places) {
  const std::vector<Vec3>& points = run.path.points;
  std::vector<double> along{0};
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    along.push_back(along.back() + distance(points[i], points[i + 1]));
  std::vector<std::pair<double, double>> ranges;
  run.fittings.clear();
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!places.contains(place_key(points[i]))) continue;
    const double reach = fitting_reach(run, i, bend_radius_m);
    run.fittings.push_back(i);
    ranges.emplace_back(along[i] - reach, along[i] + reach);
  }
  std::sort(ranges.begin(), ranges.end());
  for (LanePath::Leg& leg : run.legs)
    if (!leg.loose) leg.cores = outside(ranges, along[leg.from], along[leg.to]);
}

Vec3 between(const Vec3& a, const Vec3& b, double share) { return a + share * (b - a); }

bool cores_meet(const LanePath::Leg& a, const Vec3& a0, const Vec3& a1, const LanePath::Leg& b,
                const Vec3& b0, const Vec3& b1, double need) {
  for (const auto& [la, ha] : a.cores)
    for (const auto& [lb, hb] : b.cores)
      if (segment_distance(between(a0, a1, la), between(a0, a1, ha), between(b0, b1, lb),
                           between(b0, b1, hb)) < need)
        return true;
  return false;
}

// Cheap and never wrong when it says yes: the boxes round both segments are `need` apart.
bool boxes_apart(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1, double need) {
  const auto apart = [need](double a, double b, double c, double d) {
    return std::min(a, b) - std::max(c, d) >= need || std::min(c, d) - std::max(a, b) >= need;
  };
  return apart(a0.x, a1.x, b0.x, b1.x) || apart(a0.y, a1.y, b0.y, b1.y) ||
         apart(a0.z, a1.z, b0.z, b1.z);
}

// How far apart the lines are that two segments lie on; 0 unless they are parallel.
double apart_if_parallel(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  const Vec3 u = a1 - a0;
  const Vec3 v = b1 - b0;
  const Vec3 turn = cross(u, v);
  const double uu = dot(u, u);
  if (dot(turn, turn) > 1e-18 * uu * dot(v, v)) return 0;
  const Vec3 between = b0 - a0;
  const double along = dot(between, u);
  return std::sqrt(std::max(0.0, dot(between, between) - along * along / uu));
}

// The fitting of the path nearest to a leg of another, among those on leg i or next to it.
std::size_t nearest_fitting(const LanePath& a, const LanePath::Leg& leg, const Vec3& b0,
                            const Vec3& b1) {
  std::size_t best = leg.from;
  double least = Box3::kInf;
  for (const std::size_t point : a.fittings) {
    const double off = point_segment_distance(a.path.points[point], b0, b1);
    const bool on_leg = point >= leg.from && point <= leg.to;
    if (!on_leg || off >= least) continue;
    least = off;
    best = point;
  }
  return best;
}

Box3 box_of(const LanePath& run, const LanePath::Leg& leg) {
  Box3 box;
  box.add(run.path.points[leg.from]);
  box.add(run.path.points[leg.to]);
  return box;
}

}  // namespace

PlaceKey place_key(const Vec3& place) {
  const auto round = [](double x) { return std::llround(x * 1e6); };
  return {round(place.x), round(place.y), round(place.z)};
}

std::set<PlaceKey> fitting_places(const std::vector<LanePath>& paths) {
  std::set<PlaceKey> places;
  for (const LanePath& run : paths) {
    const TrackPath& path = run.path;
    if (path.empty()) continue;
    places.insert(place_key(path.points.front()));
    places.insert(place_key(path.points.back()));
    for (std::size_t i = 1; i + 1 < path.points.size(); ++i)
      if (is_corner(path.points, i) || steps_at(run, i)) places.insert(place_key(path.points[i]));
  }
  return places;
}

void mark_legs(std::vector<LanePath>& paths, const std::vector<double>& bend_radius_m,
               const Tracks& tracks) {
  const std::set<PlaceKey> places = fitting_places(paths);
  for (std::size_t i = 0; i < paths.size(); ++i) {
    paths[i].span = lane_span(paths[i].path, paths[i].shared);
    cut_into_legs(paths[i], tracks);
    mark(paths[i], bend_radius_m[i], places);
  }
}

std::vector<Vec3> leg_points(const LanePath& path, const std::vector<Vec3>& points) {
  std::vector<Vec3> ends;
  if (path.legs.empty()) return ends;
  ends.push_back(points[path.legs.front().from]);
  for (const LanePath::Leg& leg : path.legs) ends.push_back(points[leg.to]);
  return ends;
}

double needed_distance(const LanePath& a, const LanePath& b) {
  return (a.diameter_m + b.diameter_m) / 2 - kTouch;
}

Meeting leg_meeting(const LanePath::Leg& a, const Vec3& a0, const Vec3& a1, const LanePath::Leg& b,
                    const Vec3& b0, const Vec3& b1, double need_m) {
  if (boxes_apart(a0, a1, b0, b1, need_m) || apart_if_parallel(a0, a1, b0, b1) >= need_m ||
      segment_distance(a0, a1, b0, b1) >= need_m)
    return Meeting::none;
  if (a.loose || b.loose) return Meeting::loose;
  return cores_meet(a, a0, a1, b, b0, b1, need_m) ? Meeting::straight : Meeting::fitting;
}

NearPairs near_pairs(const LanePath& a, const LanePath& b, double reach_m) {
  NearPairs pairs;
  std::vector<Box3> boxes;
  for (const LanePath::Leg& leg : b.legs) boxes.push_back(box_of(b, leg));
  for (std::size_t i = 0; i < a.legs.size(); ++i) {
    const Box3 grown = box_of(a, a.legs[i]).grown(reach_m);
    const Vec3& a0 = a.path.points[a.legs[i].from];
    const Vec3& a1 = a.path.points[a.legs[i].to];
    for (std::size_t j = 0; j < b.legs.size(); ++j) {
      if (!grown.overlaps(boxes[j])) continue;
      const Vec3& b0 = b.path.points[b.legs[j].from];
      const Vec3& b1 = b.path.points[b.legs[j].to];
      if (segment_distance(a0, a1, b0, b1) < reach_m) pairs.emplace_back(i, j);
    }
  }
  return pairs;
}

Conflict find_conflict(const LanePath& a, const std::vector<Vec3>& a_points, const LanePath& b,
                       const std::vector<Vec3>& b_points, const NearPairs& near,
                       bool stop_at_straight) {
  Conflict conflict;
  const double need = needed_distance(a, b);
  for (const auto& [i, j] : near) {
    const Meeting meeting = leg_meeting(a.legs[i], a_points[i], a_points[i + 1], b.legs[j],
                                        b_points[j], b_points[j + 1], need);
    if (meeting == Meeting::none) continue;
    const std::size_t nearest = nearest_fitting(a, a.legs[i], b_points[j], b_points[j + 1]);
    if (meeting == Meeting::fitting) conflict.fittings.insert(nearest);
    if (meeting > conflict.worst) {
      conflict.worst = meeting;
      conflict.at = a.path.points[nearest];
    }
    if (meeting == Meeting::straight && stop_at_straight) return conflict;
  }
  return conflict;
}

}  // namespace roomloom
