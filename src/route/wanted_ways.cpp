#include <algorithm>
#include <limits>

#include "base/units.h"
#include "geometry/arc.h"
#include "route/rules.h"

namespace roomloom::route {
namespace {

constexpr double kBeside_m = 0.06;  ///< tracks so near to the way that is nearest stay open too
constexpr double kAlong = 0.05;     ///< metres off the path that a metre of way is worth
constexpr char kOffTheWay = 2;      ///< in RunNeeds::forbidden, beside 1 for `avoid`

Vec3 place_of(const Setting& setting, int node) {
  return setting.tracks.nodes[static_cast<std::size_t>(node)].position;
}

/// The path from end to end, turned so that it begins at the nearer one.
std::vector<Vec3> whole_path(const Setting& setting, const RunNeeds& needs,
                             const std::vector<Vec3>& way) {
  const Vec3 from = place_of(setting, needs.from_node), to = place_of(setting, needs.to_node);
  std::vector<Vec3> path = way;
  const double as_drawn = distance(from, way.front()) + distance(to, way.back());
  if (distance(from, way.back()) + distance(to, way.front()) < as_drawn)
    std::reverse(path.begin(), path.end());
  path.insert(path.begin(), from);
  path.push_back(to);
  return path;
}

double off_path(const std::vector<Vec3>& path, const Vec3& point) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 1; i < path.size(); ++i)
    least = std::min(least, point_segment_distance(point, path[i - 1], path[i]));
  return least;
}

/// By edge: how far its ends or its middle lie off the path.
std::vector<double> distances(const Setting& setting, const std::vector<Vec3>& path) {
  std::vector<double> node_off;
  for (const TrackNode& node : setting.tracks.nodes)
    node_off.push_back(off_path(path, node.position));
  std::vector<double> off;
  for (const TrackEdge& edge : setting.tracks.edges) {
    const Vec3 middle = 0.5 * (place_of(setting, edge.a) + place_of(setting, edge.b));
    off.push_back(std::max({node_off[static_cast<std::size_t>(edge.a)],
                            node_off[static_cast<std::size_t>(edge.b)], off_path(path, middle)}));
  }
  return off;
}

/// The places along the way that lies nearest to the path; empty if the run has no way at all.
std::vector<Vec3> nearest_way(const Setting& setting, int run, const std::vector<Vec3>& path) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const std::vector<double> off = distances(setting, path);
  const Search search = search_from(setting, needs.from_node, [&](int edge) {
    if (!may_use(setting, run, edge)) return kClosed;
    const auto e = static_cast<std::size_t>(edge);
    return setting.tracks.edges[e].length_m * (kAlong + off[e]) + 1e-6;
  });
  const auto way = way_to(setting, search, needs.to_node);
  std::vector<Vec3> places;
  if (!way) return places;
  places.push_back(place_of(setting, needs.from_node));
  for (const Step& step : *way) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
    places.push_back(place_of(setting, step.forward ? edge.b : edge.a));
  }
  return places;
}

}  // namespace

void keep_to_way(Setting& setting, int run, const RunSpec& spec, Told& told) {
  RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  if (spec.way.size() < 2 || needs.from_node < 0 || needs.to_node < 0) return;
  const std::vector<Vec3> places = nearest_way(setting, run, whole_path(setting, needs, spec.way));
  if (places.size() < 2) return;  // it has no way in any case, and that is told
  const std::vector<double> off = distances(setting, places);
  needs.forbidden.resize(off.size(), 0);
  for (std::size_t e = 0; e < off.size(); ++e)
    if (off[e] > kBeside_m && needs.forbidden[e] == 0) needs.forbidden[e] = kOffTheWay;
  double farthest = 0;
  for (const Vec3& corner : spec.way) farthest = std::max(farthest, off_path(places, corner));
  told.relaxations.push_back(spec.id + ": passes every corner of its wanted path within " +
                             format_length(farthest, setting.job.units, 2));
}

}  // namespace roomloom::route
