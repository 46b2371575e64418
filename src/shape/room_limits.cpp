#include "shape/room_limits.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "geometry/arc.h"

namespace roomloom {
namespace {

const TrackEdge& edge_of(const PathEdge& step, const Tracks& tracks) {
  return tracks.edges[static_cast<std::size_t>(step.edge)];
}

// From the track to the middle of a raceway's section on a sheet.
Vec3 seat_of(const RacewayOnEdge& raceway, const TrackEdge& edge, const Vec3& a, const Vec3& b,
             const Room& room) {
  const Sheet& sheet = *sheet_of(edge, room);
  const Vec3& n = sheet.frame.n;
  Vec3 seat = (raceway.type->depth_m / 2 - sheet.frame.height(a)) * n;
  const double half = raceway.type->width_m / 2;
  const Vec3 across = normalized(cross(n, b - a));
  for (const Seam& seam : room.seams) {
    if (seam.convex || (seam.a != edge.home.index && seam.b != edge.home.index)) continue;
    const int other = seam.a == edge.home.index ? seam.b : seam.a;
    if (other < 0) continue;
    const Frame& next = room.sheets[static_cast<std::size_t>(other)].frame;
    const double height = next.height(a);
    const double lean = dot(next.n, across);
    const bool along = std::fabs(height - next.height(b)) < 1e-3 && height > -1e-3;
    const bool beside = point_segment_distance(0.5 * (a + b), seam.from, seam.to) < 2 * half;
    if (!along || !beside || std::fabs(lean) < 0.1) continue;
    const double reach =
        half * std::fabs(lean) + raceway.type->depth_m / 2 * std::fabs(dot(next.n, n));
    const double sunk = reach - height - dot(seat, next.n);
    if (sunk > 0) seat += (sunk / lean) * across;
  }
  return seat;
}

void limit_to_raceway(LaneLimits& limits, const RacewayOnEdge& raceway, const Sheet& sheet,
                      const Vec3& at, const Vec3& direction, double diameter_m) {
  const auto limit = [&](const Vec3& axis, double clear, RacewayPlaces places, double pitch) {
    const double first = dot(raceway.seat, axis);
    const double play = std::max(0.0, (clear - diameter_m) / 2);
    limits.intervals.push_back(
        {axis, first - play, first + play, places, pitch, false, raceway.capacity_m2});
  };
  limit(sheet.frame.n, raceway.type->inner_depth_m, kOnTrack, 0);
  limits.intervals.back().face = true;
  limit(side_by_side(sheet, at, direction), raceway.type->inner_width_m, raceway.places,
        raceway.type->width_m);
}

// A cable on a face may not sink into it.
void limit_to_front(LaneLimits& limits, const Sheet& sheet, const Vec3& at, double diameter_m) {
  limits.intervals.push_back(
      {sheet.frame.n, diameter_m / 2 - sheet.frame.height(at), Box3::kInf, kOnTrack, 0, true});
}

// A level way over tiles keeps its height above them, or what the track has of it.
void limit_over_tiles(LaneLimits& limits, const Void& space, const Vec3& at, const Vec3& direction,
                      double diameter_m, double clearance_m) {
  const Vec3& n = space.frame.n;
  if (space.kind != VoidKind::plenum || std::fabs(dot(direction, n)) > 0.5) return;
  const double height = space.frame.height(at);
  const double low = std::min(height, clearance_m + diameter_m / 2);
  const double high = std::max(height, space.height_m - diameter_m / 2);
  limits.intervals.push_back({n, low - height, high - height, kOnTrack, 0, false});
}

double hole_play(const TrackEdge& edge, const Room& room, double diameter_m) {
  const Crossing& crossing = room.crossings[static_cast<std::size_t>(edge.crossing)];
  return std::max(0.0, (crossing.largest_diameter_m - diameter_m) / 2);
}

// Does a -> b come into the box? Slabs.
bool meets_box(const Vec3& a, const Vec3& b, const Box3& box) {
  double t0 = 0;
  double t1 = 1;
  for (int axis = 0; axis < 3; ++axis) {
    const double step = b[axis] - a[axis];
    if (std::fabs(step) < 1e-12) {
      if (a[axis] <= box.low[axis] || a[axis] >= box.high[axis]) return false;
      continue;
    }
    double enter = (box.low[axis] - a[axis]) / step;
    double leave = (box.high[axis] - a[axis]) / step;
    if (enter > leave) std::swap(enter, leave);
    t0 = std::max(t0, enter);
    t1 = std::min(t1, leave);
    if (t0 >= t1) return false;
  }
  return true;
}

Segment local(const Frame& frame, const Segment& s) {
  return {frame.to_local(s.a), frame.to_local(s.b)};
}

double obstruction_in_void(const Void& space, const Segment& track, const Segment& moved,
                           double diameter_m) {
  const Segment before = local(space.frame, track);
  const Segment after = local(space.frame, moved);
  double worst = 0;
  for (const VoidObstacle& obstacle : space.obstacles) {
    const auto newly = [&](double margin) {
      const Box3 box = obstacle.box.grown(margin);
      return meets_box(after.a, after.b, box) && !meets_box(before.a, before.b, box);
    };
    if (newly(diameter_m / 2)) return 1;
    if (newly(obstacle.clearance_m + diameter_m / 2)) worst = 0.01;
  }
  const auto leaves = [&](const Vec3& from, const Vec3& to) {
    const Vec2 was{from.x, from.y};
    const Vec2 is{to.x, to.y};
    if (space.plan.outline.size() < 3 || !contains(space.plan, was)) return false;
    const double margin = std::min(diameter_m / 2, border_distance(space.plan, was)) - 1e-9;
    return !contains(space.plan, is) || border_distance(space.plan, is) < margin;
  };
  return leaves(before.a, after.a) || leaves(before.b, after.b) ? 1 : worst;
}

double obstruction_in_zone(const Zone& zone, const Segment& track, const Segment& moved) {
  const Box3 box = Box3{{0, 0, 0}, zone.size}.grown(1e-9);
  const auto leaves = [&](const Vec3& from, const Vec3& to) {
    return box.contains(zone.frame.to_local(from)) && !box.contains(zone.frame.to_local(to));
  };
  return leaves(track.a, moved.a) || leaves(track.b, moved.b) ? 0.01 : 0;
}

}  // namespace

double LaneLimits::broken_by(const Vec3& lane) const {
  double sum = 0;
  for (const Interval& limit : intervals) {
    double least = Box3::kInf;
    for (const int place : places_in(limit.places)) {
      const double along = dot(lane, limit.axis) - place * limit.pitch;
      least = std::min(least, std::max({0.0, limit.low - along, along - limit.high}));
    }
    sum += least;
  }
  for (const Round& limit : rounds) {
    const double off = norm(lane - dot(lane, limit.direction) * limit.direction);
    sum += std::max(0.0, off - limit.radius);
  }
  return sum < 1e-9 ? 0 : sum;
}

LaneLimits LaneLimits::in_one_raceway(int place) const {
  LaneLimits one = *this;
  for (Interval& limit : one.intervals) {
    const int k = nearest_place(limit.places, place);
    limit.low += k * limit.pitch;
    limit.high += k * limit.pitch;
    limit.places = kOnTrack;
  }
  return one;
}

std::pair<double, double> free_along(const std::vector<LaneLimits>& limits, const Vec3& axis) {
  double low = -Box3::kInf;
  double high = Box3::kInf;
  for (const LaneLimits& one : limits)
    for (const LaneLimits::Interval& limit : one.intervals) {
      const double same = dot(limit.axis, axis);
      if (std::fabs(same) < 1 - 1e-9) continue;
      low = std::max(low, same > 0 ? limit.low : -limit.high);
      high = std::min(high, same > 0 ? limit.high : -limit.low);
    }
  return {low, high};
}

namespace {

/// Those that cables lie in, then those that are fixed, then the nearest to the track.
RacewayPlaces places_of(const PlannedRaceway& planned, const EdgeOption& option,
                        const LyingPlaces& lying) {
  RacewayPlaces places = 0;
  for (const int run : planned.runs)
    if (const auto found = lying.find({run, planned.edge}); found != lying.end())
      places |= place_bit(found->second);
  for (const RacewayPlaces free : {option.installed, ~RacewayPlaces{0}})
    for (int k = 0; k < kMostPlaces && std::popcount(places) < std::max(1, planned.count); ++k)
      places |= free & place_bit(k);
  return places;
}

}  // namespace

std::vector<int> places_in(RacewayPlaces places) {
  std::vector<int> all;
  for (int k = 0; k < kMostPlaces; ++k)
    if ((places & place_bit(k)) != 0) all.push_back(k);
  return all;
}

int nearest_place(RacewayPlaces places, int wanted) {
  const std::vector<int> all = places_in(places);
  const auto after = std::upper_bound(all.begin(), all.end(), wanted);
  if (all.empty()) return 0;
  return after == all.begin() ? all.front() : *(after - 1);
}

std::map<int, RacewayOnEdge> raceways_by_edge(const Plan& plan, const Tracks& tracks,
                                              const Room& room, const Job& job,
                                              const LyingPlaces& lying) {
  std::map<int, RacewayOnEdge> by_edge;
  for (const PlannedRaceway& planned : plan.raceways) {
    if (planned.option < 0) continue;
    const EdgeOption& option = tracks.options[static_cast<std::size_t>(planned.option)];
    const int index = option.raceway;
    const TrackEdge& edge = tracks.edges[static_cast<std::size_t>(planned.edge)];
    if (index < 0) continue;
    RacewayOnEdge raceway{&job.catalogue.raceways[static_cast<std::size_t>(index)],
                          index,
                          places_of(planned, option, lying),
                          option.capacity_m2,
                          planned.runs,
                          {}};
    if (sheet_of(edge, room) != nullptr)
      raceway.seat = seat_of(raceway, edge, tracks.nodes[static_cast<std::size_t>(edge.a)].position,
                             tracks.nodes[static_cast<std::size_t>(edge.b)].position, room);
    by_edge[planned.edge] = raceway;
  }
  return by_edge;
}

Vec3 side_by_side(const Sheet& sheet, const Vec3& at, const Vec3& direction) {
  Vec2 middle;
  for (const Vec2& p : sheet.region.outline) middle = middle + p;
  middle = (1.0 / std::max<double>(1, static_cast<double>(sheet.region.outline.size()))) * middle;
  const Vec3 across = normalized(cross(sheet.frame.n, direction));
  const double towards = dot(across, sheet.frame.to_world(middle) - at);
  if (std::fabs(towards) > 1e-6) return towards > 0 ? across : -across;
  // On the sheet's own middle line: up, or on an upright to one side whichever way it is followed.
  const double up = std::fabs(across.z) > 1e-6 ? across.z : dot(across, sheet.frame.u);
  return up < 0 ? -across : across;
}

const Sheet* sheet_of(const TrackEdge& edge, const Room& room) {
  if (edge.home.kind != PlaceKind::sheet || edge.home.index < 0) return nullptr;
  return &room.sheets[static_cast<std::size_t>(edge.home.index)];
}

std::vector<LaneLimits> lane_limits(const TrackPath& path, double diameter_m, const Tracks& tracks,
                                    const std::map<int, RacewayOnEdge>& raceways, const Room& room,
                                    const Preferences& prefer) {
  std::vector<LaneLimits> all;
  for (std::size_t i = 0; i < path.edges.size(); ++i) {
    const TrackEdge& edge = edge_of(path.edges[i], tracks);
    const Vec3& at = path.points[i];
    const Vec3 direction = normalized(path.points[i + 1] - at);
    const Sheet* sheet = sheet_of(edge, room);
    const auto raceway = raceways.find(path.edges[i].edge);
    LaneLimits limits;
    if (edge.kind == EdgeKind::crossing && edge.crossing >= 0) {
      limits.rounds.push_back({direction, hole_play(edge, room, diameter_m)});
    } else if (edge.home.kind == PlaceKind::conduit && edge.home.index >= 0) {
      const Conduit& conduit = room.conduits[static_cast<std::size_t>(edge.home.index)];
      limits.rounds.push_back(
          {direction, std::max(0.0, (conduit.inside_diameter_m - diameter_m) / 2)});
    } else if (sheet != nullptr && std::fabs(dot(direction, sheet->frame.n)) > 0.5) {
      // leaves the face square to it: no section lies along it here
    } else if (sheet != nullptr && raceway != raceways.end()) {
      limit_to_raceway(limits, raceway->second, *sheet, at, direction, diameter_m);
    } else if (sheet != nullptr) {
      limit_to_front(limits, *sheet, at, diameter_m);
    } else if (edge.home.kind == PlaceKind::void_space && edge.home.index >= 0) {
      limit_over_tiles(limits, room.voids[static_cast<std::size_t>(edge.home.index)], at, direction,
                       diameter_m, prefer.tile_clearance_m);
    }
    all.push_back(limits);
  }
  return all;
}

double obstruction(const PlaceId& home, const Segment& track, const Segment& moved,
                   double diameter_m, const Room& room, const Ends& ends) {
  if (home.index < 0) return 0;
  const auto index = static_cast<std::size_t>(home.index);
  if (home.kind == PlaceKind::void_space)
    return obstruction_in_void(room.voids[index], track, moved, diameter_m);
  if (home.kind == PlaceKind::zone) return obstruction_in_zone(ends.zones[index], track, moved);
  return 0;
}

}  // namespace roomloom
