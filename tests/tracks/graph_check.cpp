#include "tracks/graph_check.h"

#include <gtest/gtest.h>

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <limits>
#include <sstream>

#include "tracks/tracks.h"

namespace roomloom::testing {
namespace {

constexpr double kTolerance_m = 0.002;

Vec3 at(const Tracks& tracks, int node) {
  return tracks.nodes[static_cast<std::size_t>(node)].position;
}

double ring_distance(const Ring& ring, const Vec2& p) {
  double nearest = 1e30;
  for (std::size_t i = 0; i < ring.size(); ++i)
    nearest = std::min(nearest, segment_distance(p, ring[i], ring[(i + 1) % ring.size()]));
  return contains(ring, p) ? -nearest : nearest;
}

std::string describe(const Tracks& tracks, const TrackEdge& edge) {
  std::ostringstream text;
  const Vec3 a = at(tracks, edge.a), b = at(tracks, edge.b);
  text << to_string(edge.medium) << " (" << a.x << ' ' << a.y << ' ' << a.z << ") to (" << b.x
       << ' ' << b.y << ' ' << b.z << ")";
  return text.str();
}

/// Points along an edge, ends included.
std::vector<Vec3> samples(const Tracks& tracks, const TrackEdge& edge) {
  std::vector<Vec3> points;
  for (int i = 0; i <= 20; ++i)
    points.push_back(at(tracks, edge.a) + (i / 20.0) * (at(tracks, edge.b) - at(tracks, edge.a)));
  return points;
}

void check_on_sheet(const Tracks& tracks, const Case& c, const TrackEdge& edge,
                    std::vector<std::string>& found) {
  const Sheet& sheet = c.room.sheets[static_cast<std::size_t>(edge.home.index)];
  const double stand_off = track_stand_off_m(c.job.catalogue);
  for (const Vec3& p : samples(tracks, edge)) {
    if (std::abs(sheet.frame.height(p) - stand_off) > kTolerance_m)
      found.push_back(describe(tracks, edge) + " is off " + sheet.name);
    const Vec2 q = sheet.frame.to_plane(p);
    if (ring_distance(sheet.region.outline, q) > 3 * stand_off)
      found.push_back(describe(tracks, edge) + " leaves " + sheet.name);
    for (const SheetKeepOut& keep_out : sheet.keep_outs) {
      const double needed = edge.kind == EdgeKind::lead_in ? 0 : keep_out.clearance_m;
      if (ring_distance(keep_out.ring, q) < needed - kTolerance_m)
        found.push_back(describe(tracks, edge) + " is too near " + keep_out.name);
    }
  }
}

void check_in_void(const Tracks& tracks, const Case& c, const TrackEdge& edge,
                   std::vector<std::string>& found) {
  const Void& v = c.room.voids[static_cast<std::size_t>(edge.home.index)];
  for (const Vec3& p : samples(tracks, edge)) {
    const Vec3 q = v.frame.to_local(p);
    if (q.z < -kTolerance_m || q.z > v.height_m + kTolerance_m ||
        ring_distance(v.plan.outline, {q.x, q.y}) > -0.02)
      found.push_back(describe(tracks, edge) + " leaves " + v.name);
    for (const VoidObstacle& obstacle : v.obstacles)
      if (obstacle.box.grown(c.job.prefer.obstacle_clearance_m - kTolerance_m).contains(q))
        found.push_back(describe(tracks, edge) + " is too near " + obstacle.name);
  }
}

void check_crossing(const Tracks& tracks, const Case& c, const TrackEdge& edge,
                    std::vector<std::string>& found) {
  const Crossing& crossing = c.room.crossings[static_cast<std::size_t>(edge.crossing)];
  if (crossing.kind != CrossingKind::tile_cut) return;
  double squares = 0;
  for (const Run& run : c.ends.runs) {
    const double d = c.job.catalogue.cables[static_cast<std::size_t>(run.cable)].diameter_m;
    squares += d * d;
  }
  const double radius =
      std::min({std::sqrt(2 * squares), crossing.largest_diameter_m, c.job.prefer.largest_hole_m}) /
      2;
  const Vec2 p = crossing.frame.to_plane(at(tracks, edge.a));
  if (ring_distance(crossing.region.outline, p) >
      -(radius + c.job.prefer.tee_margin_m) + kTolerance_m)
    found.push_back("the hole in " + crossing.name + " is too near the grid");
  for (const SheetKeepOut& keep_out : crossing.keep_outs)
    if (ring_distance(keep_out.ring, p) < radius + keep_out.clearance_m - kTolerance_m)
      found.push_back("the hole in " + crossing.name + " is too near " + keep_out.name);
}

void check_in_zone(const Tracks& tracks, const Case& c, const TrackEdge& edge,
                   std::vector<std::string>& found) {
  const Zone& zone = c.ends.zones[static_cast<std::size_t>(edge.home.index)];
  for (const Vec3& p : samples(tracks, edge)) {
    const Vec3 q = zone.frame.to_local(p);
    for (int axis = 0; axis < 3; ++axis)
      if (q[axis] < -0.003 || q[axis] > zone.size[axis] + 0.003)
        found.push_back(describe(tracks, edge) + " leaves " + zone.name);
  }
}

}  // namespace

const Terminal& terminal_of(const Tracks& tracks, int end, int alternative) {
  static const Terminal none;
  for (const Terminal& terminal : tracks.terminals)
    if (terminal.end == end && terminal.alternative == alternative) return terminal;
  return none;
}

double shortest_m(const Tracks& tracks, int from, int to) {
  using Graph =
      boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                            boost::property<boost::edge_weight_t, double>>;
  Graph graph(tracks.nodes.size());
  for (const TrackEdge& edge : tracks.edges)
    boost::add_edge(static_cast<std::size_t>(edge.a), static_cast<std::size_t>(edge.b),
                    edge.length_m, graph);
  const int start = terminal_of(tracks, from).node, goal = terminal_of(tracks, to).node;
  if (start < 0 || goal < 0) return std::numeric_limits<double>::infinity();
  std::vector<double> away(tracks.nodes.size());
  boost::dijkstra_shortest_paths(graph, static_cast<std::size_t>(start),
                                 boost::distance_map(boost::make_iterator_property_map(
                                     away.begin(), boost::get(boost::vertex_index, graph))));
  const double found = away[static_cast<std::size_t>(goal)];
  return found > 1e9 ? std::numeric_limits<double>::infinity() : found;
}

std::vector<std::string> faults(const Tracks& tracks, const Case& c) {
  std::vector<std::string> found;
  for (const TrackEdge& edge : tracks.edges) {
    if (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold) {
      if (distance(at(tracks, edge.a), at(tracks, edge.b)) > 1e-9)
        found.push_back(describe(tracks, edge) + ": a turn has a length");
      continue;
    }
    if (std::abs(edge.length_m - distance(at(tracks, edge.a), at(tracks, edge.b))) > 1e-9)
      found.push_back(describe(tracks, edge) + ": its length is wrong");
    if (edge.kind == EdgeKind::crossing)
      check_crossing(tracks, c, edge, found);
    else if (edge.home.kind == PlaceKind::zone)
      check_in_zone(tracks, c, edge, found);
    else if (edge.home.kind == PlaceKind::void_space)
      check_in_void(tracks, c, edge, found);
    else if (edge.home.kind == PlaceKind::sheet && edge.medium != Medium::free)
      check_on_sheet(tracks, c, edge, found);
  }
  return found;
}

int count(const Tracks& tracks, EdgeKind kind, Medium medium) {
  int number = 0;
  for (const TrackEdge& edge : tracks.edges)
    number += edge.kind == kind && edge.medium == medium ? 1 : 0;
  return number;
}

Tracks tracks_of(const Case& c) { return build_tracks(c.scene, c.room, c.ends, c.job); }

void expect_sound(const Tracks& tracks, const Case& c) {
  const auto found = faults(tracks, c);
  EXPECT_TRUE(found.empty()) << found.size() << " faults, the first: " << found.front();
}

}  // namespace roomloom::testing
