#include "shape/ways.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>

#include "shape/ease.h"

namespace roomloom {
namespace {

std::vector<bool> shared_edges(const TrackPath& path, const std::map<int, int>& users) {
  std::vector<bool> shared;
  for (const PathEdge& step : path.edges) {
    const auto found = users.find(step.edge);
    shared.push_back(found != users.end() && found->second > 1);
  }
  return shared;
}

LanePath planned_way(const Inputs& in, std::size_t index) {
  const PlannedRun& planned = in.plan.runs[index];
  const Run& run = in.ends.runs[index];
  if (!planned.routed) {
    LanePath way;
    way.run = static_cast<int>(index);
    way.diameter_m = in.cable(way.run).diameter_m;
    return way;
  }
  return way_of(in, static_cast<int>(index), planned.steps, in.tip(run.from), in.tip(run.to));
}

// Does a raceway, or none, go on from one edge to the next as it is?
bool same_raceway(const Inputs& in, int a, int b) {
  const auto on_a = in.raceways.find(a);
  const auto on_b = in.raceways.find(b);
  if (on_a == in.raceways.end() || on_b == in.raceways.end()) return on_a == on_b;
  return on_a->second.index == on_b->second.index && on_a->second.places == on_b->second.places &&
         distance(on_a->second.seat, on_b->second.seat) < 1e-9;
}

/// In which of raceways side by side a run lies on an edge; -1 = in none yet.
int lies_in(const Inputs& in, int run, int edge) {
  const auto found = in.lying.find({run, edge});
  return found == in.lying.end() ? -1 : found->second;
}

// Puts one segment for each stretch on which nothing changes in place of one for each edge.
void merge_ways(const Inputs& in, std::vector<LanePath>& ways) {
  const std::set<PlaceKey> places = fitting_places(ways);
  const auto same = [&](const PathEdge& one, const PathEdge& next) {
    const TrackEdge& a = in.edge(one.edge);
    const TrackEdge& b = in.edge(next.edge);
    return a.home == b.home && a.medium == b.medium && a.kind == b.kind &&
           a.kind != EdgeKind::crossing && same_raceway(in, one.edge, next.edge);
  };
  for (LanePath& way : ways) {
    way.path = merge_straight(way.path, same,
                              [&](const Vec3& point) { return places.contains(place_key(point)); });
    way.shared = shared_edges(way.path, in.users);
  }
}

// The place of each run's id among all ids.
std::vector<int> ranks_of(const Ends& ends) {
  std::vector<std::size_t> order(ends.runs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return ends.runs[a].id < ends.runs[b].id; });
  std::vector<int> ranks(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) ranks[order[i]] = static_cast<int>(i);
  return ranks;
}

// Clear section on an edge in which a cable may step aside.
double room_on(const Inputs& in, int index) {
  const auto raceway = in.raceways.find(index);
  if (raceway != in.raceways.end()) {
    const RacewayType& type = *raceway->second.type;
    return std::popcount(raceway->second.places) * type.inner_width_m * type.inner_depth_m;
  }
  const TrackEdge& edge = in.edge(index);
  double across = Box3::kInf;
  if (edge.kind == EdgeKind::crossing && edge.crossing >= 0)
    across = in.room.crossings[static_cast<std::size_t>(edge.crossing)].largest_diameter_m;
  if (edge.home.kind == PlaceKind::conduit && edge.home.index >= 0)
    across = in.room.conduits[static_cast<std::size_t>(edge.home.index)].inside_diameter_m;
  return across * across;
}

void describe_edges(const Inputs& in, LanePath& way) {
  for (const PathEdge& step : way.path.edges) {
    const TrackEdge& edge = in.edge(step.edge);
    way.rigid.push_back(edge.kind == EdgeKind::crossing);
    way.loose.push_back(lies_loose(edge));
    way.room_m2.push_back(room_on(in, step.edge));
    way.lies_in.push_back(lies_in(in, way.run, step.edge));
  }
  way.limits =
      lane_limits(way.path, way.diameter_m, in.tracks, in.raceways, in.room, in.job.prefer);
}

}  // namespace

std::map<int, int> count_users(const Plan& plan) {
  std::map<int, int> users;
  for (const PlannedRun& run : plan.runs) {
    std::vector<int> edges;
    for (const Step& step : run.steps) edges.push_back(step.edge);
    std::sort(edges.begin(), edges.end());
    edges.erase(std::unique(edges.begin(), edges.end()), edges.end());
    for (const int edge : edges) ++users[edge];
  }
  return users;
}

LanePath way_of(const Inputs& in, int run, const std::vector<Step>& steps, const Vec3& from,
                const Vec3& to) {
  LanePath way;
  way.run = run;
  way.diameter_m = in.cable(run).diameter_m;
  way.bend_radius_m = in.cable(run).bend_radius_m;
  way.path = track_path(steps, in.tracks);
  reach_tips(way.path, from, to);
  way.shared = shared_edges(way.path, in.users);
  pull_straight(way.path, way.shared, in.tracks,
                [&](const Vec3& a, const Vec3& b) { return sheets_passed(a, b, in.room) == 0; });
  ease_ends(way.path, way.shared, way.bend_radius_m, in.tracks);
  for (const PathEdge& step : way.path.edges) way.tracks.push_back(step.edge);
  return way;
}

std::vector<LanePath> planned_ways(const Inputs& in) {
  std::vector<LanePath> ways;
  for (std::size_t i = 0; i < in.plan.runs.size(); ++i) ways.push_back(planned_way(in, i));
  merge_ways(in, ways);
  const std::vector<int> ranks = ranks_of(in.ends);
  for (LanePath& way : ways) {
    way.rank = ranks[static_cast<std::size_t>(way.run)];
    describe_edges(in, way);
  }
  return ways;
}

}  // namespace roomloom
