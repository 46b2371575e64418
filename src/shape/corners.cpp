#include "shape/corners.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "shape/ease.h"

namespace roomloom {
namespace {

constexpr double kBesideEdge = 0.15;  // metres: round an edge farther off any bend goes clear

// Clear size of the raceway on an edge in the plane in which a cable turns towards `aside`.
double clear_size(const RacewayOnEdge& raceway, const Vec3& normal, const Vec3& along,
                  const Vec3& aside) {
  const Vec3 across = normalized(aside - dot(aside, along) * along);
  return std::fabs(dot(across, normal)) > 0.7 ? raceway.type->inner_depth_m
                                              : raceway.type->inner_width_m;
}

// What a mitred raceway corner at point i allows; infinite where not both legs lie in raceway.
double raceway_cap(const Inputs& in, double diameter_m, const TrackPath& path, std::size_t i) {
  const int edges[] = {path.edges[i - 1].edge, path.edges[i].edge};
  const std::vector<Vec3>& points = path.points;
  const Vec3 directions[] = {normalized(points[i] - points[i - 1]),
                             normalized(points[i + 1] - points[i])};
  double clear = Box3::kInf;
  for (int leg = 0; leg < 2; ++leg) {
    const auto raceway = in.raceways.find(edges[leg]);
    const Sheet* sheet = sheet_of(in.edge(edges[leg]), in.room);
    if (raceway == in.raceways.end() || sheet == nullptr) return Box3::kInf;
    clear = std::min(
        clear, clear_size(raceway->second, sheet->frame.n, directions[leg], directions[1 - leg]));
  }
  return largest_raceway_radius(clear, diameter_m, angle_between(directions[0], directions[1]));
}

// Does the cable turn at point i round the solid whose edge the seam is?
bool turns_round(const Seam& seam, const TrackPath& path, std::size_t i) {
  const Vec3& at = path.points[i];
  const Vec3 before = normalized(at - path.points[i - 1]);
  const Vec3 after = normalized(path.points[i + 1] - at);
  const Vec3 edge = normalized(seam.to - seam.from);
  const Vec3 to_edge = seam.from + dot(at - seam.from, edge) * edge - at;
  return point_segment_distance(at, seam.from, seam.to) < kBesideEdge &&
         norm(cross(cross(before, after), edge)) < 0.1 * norm(cross(before, after)) &&
         dot(to_edge, after - before) > 0;
}

// The outside corner between the sheets of the two edges that meet at point i, or that they turn
// round on a third, as a ceiling is; if there is one.
const Seam* outside_seam(const Inputs& in, const TrackPath& path, std::size_t i) {
  const PlaceId& a = in.edge(path.edges[i - 1].edge).home;
  const PlaceId& b = in.edge(path.edges[i].edge).home;
  if (a.kind != PlaceKind::sheet || b.kind != PlaceKind::sheet) return nullptr;
  const auto found = std::find_if(in.room.seams.begin(), in.room.seams.end(), [&](const Seam& s) {
    if (!s.convex || s.a < 0 || s.b < 0) return false;
    const bool between = (s.a == a.index && s.b == b.index) || (s.a == b.index && s.b == a.index);
    return between || (a == b && turns_round(s, path, i));
  });
  return found == in.room.seams.end() ? nullptr : &*found;
}

// What keeps the cable off the edge of the solid at an outside corner; infinite elsewhere.
double solid_cap(const Inputs& in, double diameter_m, const TrackPath& path, std::size_t i) {
  const Seam* seam = outside_seam(in, path, i);
  if (seam == nullptr) return Box3::kInf;
  const std::vector<Vec3>& points = path.points;
  double stand_off = Box3::kInf;
  for (const int sheet : {seam->a, seam->b})
    stand_off = std::min(stand_off,
                         in.room.sheets[static_cast<std::size_t>(sheet)].frame.height(points[i]));
  return largest_radius_round_solid(
      stand_off, diameter_m, angle_between(points[i] - points[i - 1], points[i + 1] - points[i]));
}

// The same where a face simply ends, as a wall does under the eaves, and the cable goes on behind
// its plane past that end.
double border_cap(const Inputs& in, double diameter_m, const TrackPath& path, std::size_t i) {
  const Vec3& at = path.points[i];
  const Vec3 before = normalized(at - path.points[i - 1]);
  const Vec3 after = normalized(path.points[i + 1] - at);
  double cap = Box3::kInf;
  const auto limit = [&](const PathEdge& step, const Vec3& way_off) {
    const Sheet* sheet = sheet_of(in.edge(step.edge), in.room);
    if (sheet == nullptr || dot(way_off, sheet->frame.n) > -0.5) return;
    const Vec2 seen = sheet->frame.to_plane(at);
    if (contains(sheet->region, seen)) return;
    const double past = border_distance(sheet->region, seen);
    const double off = sheet->frame.height(at);
    if (past > kBesideEdge || off <= 0) return;
    // How far the end of the face is from the leg along it, and from the leg behind it.
    const double turn = angle_between(before, after);
    const double from_behind = past * std::sin(turn) + off * std::cos(turn);
    cap = std::min(cap, largest_radius_round_solid(std::min(off, from_behind), diameter_m, turn));
  };
  limit(path.edges[i - 1], after);
  limit(path.edges[i], -before);
  return cap;
}

double corner_cap(const Inputs& in, double diameter_m, const TrackPath& path, std::size_t i) {
  return std::min({raceway_cap(in, diameter_m, path, i), solid_cap(in, diameter_m, path, i),
                   border_cap(in, diameter_m, path, i)});
}

bool is_hole(const Inputs& in, const PathEdge& step) {
  return in.edge(step.edge).kind == EdgeKind::crossing;
}

}  // namespace

FilletedPath round_off(const Inputs& in, int run, const TrackPath& path) {
  const CableType& cable = in.cable(run);
  std::vector<double> caps(path.points.size(), Box3::kInf);
  for (std::size_t i = 1; i + 1 < path.points.size(); ++i)
    caps[i] = corner_cap(in, cable.diameter_m, path, i);
  std::vector<bool> rigid;
  for (const PathEdge& step : path.edges) rigid.push_back(is_hole(in, step));
  // Out of a hole that it ends in, a cable may lean.
  rigid.front() = rigid.back() = false;
  return fillet_path(path.points, rigid, caps, cable.bend_radius_m);
}

TrackPath laid_path(const Inputs& in, const LanePath& way, const Lane& lane) {
  EaseRules rules;
  rules.radius_m = in.cable(way.run).bend_radius_m;
  rules.is_rigid = [&](const PathEdge& step) { return is_hole(in, step); };
  rules.in_raceway = [&](const PathEdge& step) { return in.raceways.contains(step.edge); };
  rules.cap_m = [&](const TrackPath& path, std::size_t i) {
    return corner_cap(in, way.diameter_m, path, i);
  };
  rules.is_clear = [&](const PathEdge& step, const Vec3& a, const Vec3& b) {
    return sheets_passed(a, b, in.room) == 0 && obstruction(in.edge(step.edge).home, {a, a}, {a, b},
                                                            way.diameter_m, in.room, in.ends) < 1;
  };
  return ease_corners(lane.line, rules);
}

}  // namespace roomloom
