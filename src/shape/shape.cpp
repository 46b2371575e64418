#include "shape/shape.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "shape/addends.h"
#include "shape/ease.h"
#include "shape/fillet.h"
#include "shape/fixings.h"
#include "shape/hole_packing.h"

namespace roomloom {
namespace {

struct Inputs {
  const Plan& plan;
  const Tracks& tracks;
  const Ends& ends;
  const Room& room;
  const Job& job;
  std::map<int, RacewayOnEdge> raceways;
  std::map<int, int> users;  ///< of an edge: how many runs take it
};

const TrackEdge& edge_of(const Inputs& in, int edge) {
  return in.tracks.edges[static_cast<std::size_t>(edge)];
}

const CableType& cable_of(const Inputs& in, int run) {
  const int cable = in.ends.runs[static_cast<std::size_t>(run)].cable;
  return in.job.catalogue.cables[static_cast<std::size_t>(cable)];
}

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

std::vector<bool> shared_edges(const TrackPath& path, const std::map<int, int>& users) {
  std::vector<bool> shared;
  for (const PathEdge& step : path.edges) {
    const auto found = users.find(step.edge);
    shared.push_back(found != users.end() && found->second > 1);
  }
  return shared;
}

// The way from tip to tip, with stubs too short to bend in taken out.
LanePath way_of(const Inputs& in, int run, const std::vector<Step>& steps, const Vec3& from,
                const Vec3& to) {
  LanePath way;
  way.run = run;
  way.diameter_m = cable_of(in, run).diameter_m;
  way.path = track_path(steps, in.tracks);
  reach_tips(way.path, from, to);
  way.shared = shared_edges(way.path, in.users);
  pull_straight(way.path, way.shared, in.tracks,
                [&](const Vec3& a, const Vec3& b) { return sheets_passed(a, b, in.room) == 0; });
  ease_ends(way.path, way.shared, cable_of(in, run).bend_radius_m, in.tracks);
  for (const PathEdge& step : way.path.edges) way.tracks.push_back(step.edge);
  return way;
}

const Vec3& tip(const Inputs& in, int end) {
  return in.ends.ends[static_cast<std::size_t>(end)].place.position;
}

LanePath planned_way(const Inputs& in, std::size_t index) {
  const PlannedRun& planned = in.plan.runs[index];
  const Run& run = in.ends.runs[index];
  if (!planned.routed) {
    LanePath way;
    way.run = static_cast<int>(index);
    way.diameter_m = cable_of(in, way.run).diameter_m;
    return way;
  }
  return way_of(in, static_cast<int>(index), planned.steps, tip(in, run.from), tip(in, run.to));
}

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
    const Sheet* sheet = sheet_of(edge_of(in, edges[leg]), in.room);
    if (raceway == in.raceways.end() || sheet == nullptr) return Box3::kInf;
    clear = std::min(
        clear, clear_size(raceway->second, sheet->frame.n, directions[leg], directions[1 - leg]));
  }
  return largest_raceway_radius(clear, diameter_m, angle_between(directions[0], directions[1]));
}

// The outside corner between the sheets of the two edges that meet at point i, if it is one.
const Seam* outside_seam(const Inputs& in, const TrackPath& path, std::size_t i) {
  const PlaceId& a = edge_of(in, path.edges[i - 1].edge).home;
  const PlaceId& b = edge_of(in, path.edges[i].edge).home;
  if (a.kind != PlaceKind::sheet || b.kind != PlaceKind::sheet || a == b) return nullptr;
  const auto found = std::find_if(in.room.seams.begin(), in.room.seams.end(), [&](const Seam& s) {
    return s.convex && ((s.a == a.index && s.b == b.index) || (s.a == b.index && s.b == a.index));
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

double corner_cap(const Inputs& in, double diameter_m, const TrackPath& path, std::size_t i) {
  return std::min(raceway_cap(in, diameter_m, path, i), solid_cap(in, diameter_m, path, i));
}

bool is_hole(const Inputs& in, const PathEdge& step) {
  return edge_of(in, step.edge).kind == EdgeKind::crossing;
}

FilletedPath round_off(const Inputs& in, int run, const TrackPath& path) {
  const CableType& cable = cable_of(in, run);
  std::vector<double> caps(path.points.size(), Box3::kInf);
  for (std::size_t i = 1; i + 1 < path.points.size(); ++i)
    caps[i] = corner_cap(in, cable.diameter_m, path, i);
  std::vector<bool> rigid;
  for (const PathEdge& step : path.edges) rigid.push_back(is_hole(in, step));
  return fillet_path(path.points, rigid, caps, cable.bend_radius_m);
}

// The way as drawn before its corners are rounded: in its lane, with its jogs eased.
TrackPath laid_path(const Inputs& in, const LanePath& way, const Lane& lane) {
  EaseRules rules;
  rules.radius_m = cable_of(in, way.run).bend_radius_m;
  rules.is_rigid = [&](const PathEdge& step) { return is_hole(in, step); };
  rules.in_raceway = [&](const PathEdge& step) { return in.raceways.contains(step.edge); };
  rules.cap_m = [&](const TrackPath& path, std::size_t i) {
    return corner_cap(in, way.diameter_m, path, i);
  };
  rules.is_clear = [&](const PathEdge& step, const Vec3& a, const Vec3& b) {
    return sheets_passed(a, b, in.room) == 0 &&
           obstruction(edge_of(in, step.edge).home, {a, a}, {a, b}, way.diameter_m, in.room,
                       in.ends) < 1;
  };
  return ease_corners({way.path.edges, lane.points}, rules);
}

double length_of(const std::vector<Piece>& pieces) {
  double sum = 0;
  for (const Piece& piece : pieces) sum += length_m(piece);
  return sum;
}

// Length of the way by the track's own line, with its arcs and what it hangs through.
double plain_length(const Inputs& in, const LanePath& way) {
  return length_of(round_off(in, way.run, way.path).pieces) +
         sag_m(way.path, in.tracks, in.job.prefer) + drop_m(way.path, in.tracks, in.room, in.ends);
}

// The furthest place that each end may move to, beyond the present one.
double movable_end(const Inputs& in, const LanePath& way) {
  const PlannedRun& planned = in.plan.runs[static_cast<std::size_t>(way.run)];
  const Run& run = in.ends.runs[static_cast<std::size_t>(way.run)];
  const double present = plain_length(in, way);
  double extra[2] = {0, 0};
  for (std::size_t i = 0; i < planned.alternative_steps.size(); ++i) {
    if (planned.alternative_steps[i].empty() || i >= planned.alternative_terminals.size()) continue;
    const int index = planned.alternative_terminals[i];
    if (index < 0) continue;
    const Terminal& terminal = in.tracks.terminals[static_cast<std::size_t>(index)];
    const bool moves_from = terminal.end == run.from;
    if (terminal.alternative < 0 || (!moves_from && terminal.end != run.to)) continue;
    const Vec3& place = in.ends.ends[static_cast<std::size_t>(terminal.end)]
                            .may_move_to[static_cast<std::size_t>(terminal.alternative)]
                            .position;
    const LanePath other =
        way_of(in, way.run, planned.alternative_steps[i], moves_from ? place : tip(in, run.from),
               moves_from ? tip(in, run.to) : place);
    double& most = extra[moves_from ? 0 : 1];
    most = std::max(most, plain_length(in, other) - present);
  }
  return extra[0] + extra[1];
}

AddendParts addend_parts(const Inputs& in, const LanePath& way, const Lane& lane) {
  const Run& run = in.ends.runs[static_cast<std::size_t>(way.run)];
  const End& from = in.ends.ends[static_cast<std::size_t>(run.from)];
  const End& to = in.ends.ends[static_cast<std::size_t>(run.to)];
  const Preferences& prefer = in.job.prefer;
  AddendParts parts;
  parts.lane = lane.overlap_bound_m;
  parts.sag = sag_m(way.path, in.tracks, prefer);
  parts.drop = drop_m(way.path, in.tracks, in.room, in.ends);
  parts.loop_from = loop_m(from, prefer);
  parts.loop_to = loop_m(to, prefer);
  for (const End* end : {&from, &to})
    if (end->state == EndState::fitted) parts.termination += prefer.termination_m;
  parts.pull_out = from.pull_out_m + to.pull_out_m;
  parts.movable_end = movable_end(in, way);
  return parts;
}

std::vector<Addend> addends_of(const Inputs& in, const LanePath& way, const Lane& lane,
                               double drawn_m) {
  const int spec = in.ends.runs[static_cast<std::size_t>(way.run)].spec;
  if (spec >= 0) {
    const RunSpec& said = in.job.runs[static_cast<std::size_t>(spec)];
    if (said.installed && said.measured_m) return measured_addends(drawn_m, *said.measured_m);
  }
  return make_addends(addend_parts(in, way, lane), drawn_m, in.job.prefer);
}

// Straight on in the same place: one piece, not two.
bool continues(const Inputs& in, const CableShape& shape, const Piece& piece, int edge) {
  if (shape.pieces.empty()) return false;
  const auto* last = std::get_if<Line3>(&shape.pieces.back());
  const auto* next = std::get_if<Line3>(&piece);
  if (last == nullptr || next == nullptr) return false;
  const TrackEdge& a = edge_of(in, shape.edges.back());
  const TrackEdge& b = edge_of(in, edge);
  return a.home == b.home && a.medium == b.medium && a.kind != EdgeKind::crossing &&
         b.kind != EdgeKind::crossing &&
         angle_between(last->to - last->from, next->to - next->from) < kStraightRad;
}

void add_pieces(const Inputs& in, CableShape& shape, const TrackPath& path,
                const FilletedPath& rounded) {
  for (std::size_t i = 0; i < rounded.pieces.size(); ++i) {
    const int edge = path.edges[rounded.segments[i]].edge;
    if (continues(in, shape, rounded.pieces[i], edge)) {
      std::get<Line3>(shape.pieces.back()).to = std::get<Line3>(rounded.pieces[i]).to;
      continue;
    }
    shape.pieces.push_back(rounded.pieces[i]);
    shape.homes.push_back(edge_of(in, edge).home);
    shape.edges.push_back(edge);
  }
}

void add_bends(const Inputs& in, CableShape& shape, const LanePath& way, const Lane& lane,
               const TrackPath& path, const FilletedPath& rounded) {
  for (std::size_t i = 0; i < rounded.bends.size(); ++i) {
    Bend bend = rounded.bends[i];
    const std::size_t vertex = rounded.vertices[i];
    const int before = path.edges[vertex - 1].edge;
    const int after = path.edges[vertex].edge;
    bend.home = edge_of(in, before).home;
    const bool in_raceway = in.raceways.contains(before) && in.raceways.contains(after);
    const bool overlapped =
        std::any_of(lane.overlapped.begin(), lane.overlapped.end(), [&](std::size_t point) {
          return distance(lane.points[point], bend.at) < 4 * way.diameter_m;
        });
    bend.in_fitting = in_raceway || overlapped;
    shape.bends.push_back(bend);
  }
}

CableShape shape_of(const Inputs& in, const LanePath& way, const Lane& lane) {
  CableShape shape;
  shape.run = way.run;
  if (way.path.empty()) return shape;
  shape.routed = true;
  shape.lane = lane.offset;
  shape.track_m = way.path.length_m();
  const TrackPath path = laid_path(in, way, lane);
  const FilletedPath rounded = round_off(in, way.run, path);
  add_pieces(in, shape, path, rounded);
  add_bends(in, shape, way, lane, path, rounded);
  shape.drawn_m = length_of(shape.pieces);
  shape.addends = addends_of(in, way, lane, shape.drawn_m);
  shape.cut_m = shape.drawn_m;
  for (const Addend& addend : shape.addends) shape.cut_m += addend.metres;
  return shape;
}

// Does a raceway, or none, go on from one edge to the next as it is?
bool same_raceway(const Inputs& in, int a, int b) {
  const auto on_a = in.raceways.find(a);
  const auto on_b = in.raceways.find(b);
  if (on_a == in.raceways.end() || on_b == in.raceways.end()) return on_a == on_b;
  return on_a->second.index == on_b->second.index && on_a->second.count == on_b->second.count &&
         distance(on_a->second.seat, on_b->second.seat) < 1e-9;
}

// Where a raceway changes its size on a straight stretch, marks a short piece of the larger one in
// which cables may step aside, so that those that go on fit into the smaller one.
void mark_steps(const Inputs& in, LanePath& way) {
  constexpr double kPiece = 0.06;  // metres: within the fittings at both its ends
  TrackPath& path = way.path;
  const auto area = [&](std::size_t edge) {
    const auto found = in.raceways.find(path.edges[edge].edge);
    if (found == in.raceways.end()) return 0.0;
    const RacewayType& type = *found->second.type;
    return found->second.count * type.inner_width_m * type.inner_depth_m;
  };
  way.steps_aside.assign(path.edges.size(), false);
  for (std::size_t i = 1; i + 1 < path.edges.size(); ++i)
    way.steps_aside[i] = edge_of(in, path.edges[i].edge).kind == EdgeKind::lead_in;
  for (std::size_t i = 1; i + 1 < path.points.size(); ++i) {
    const double before = area(i - 1);
    const double after = area(i);
    if (before <= 0 || after <= 0 || std::fabs(before - after) < 1e-12) continue;
    const std::size_t larger = before > after ? i - 1 : i;
    const Vec3& far = path.points[larger == i ? i + 1 : i - 1];
    const double length = distance(path.points[i], far);
    if (is_corner(path.points, i) || way.steps_aside[larger] || length < 1.5 * kPiece) continue;
    const Vec3 end = path.points[i] + (kPiece / length) * (far - path.points[i]);
    const auto at = static_cast<std::ptrdiff_t>(larger);
    path.points.insert(path.points.begin() + at + 1, end);
    path.edges.insert(path.edges.begin() + at, path.edges[larger]);
    way.steps_aside.insert(way.steps_aside.begin() + at, false);
    way.steps_aside[larger == i ? larger : larger + 1] = true;
    ++i;  // the piece is done
  }
}

// Puts one segment for each stretch on which nothing changes in place of one for each edge.
void merge_ways(const Inputs& in, std::vector<LanePath>& ways) {
  const std::set<PlaceKey> places = fitting_places(ways);
  const auto same = [&](const PathEdge& one, const PathEdge& next) {
    const TrackEdge& a = edge_of(in, one.edge);
    const TrackEdge& b = edge_of(in, next.edge);
    return a.home == b.home && a.medium == b.medium && a.kind == b.kind &&
           a.kind != EdgeKind::crossing && same_raceway(in, one.edge, next.edge);
  };
  for (LanePath& way : ways) {
    TrackPath merged = merge_straight(
        way.path, same, [&](const Vec3& point) { return places.contains(place_key(point)); });
    // A lane needs a point between the ends.
    if (merged.edges.size() > 1) way.path = std::move(merged);
    mark_steps(in, way);
    way.shared = shared_edges(way.path, in.users);
  }
}

}  // namespace

CableShapes shape_cables(const Plan& plan, const Tracks& tracks, const Ends& ends, const Room& room,
                         const Job& job) {
  const Inputs in{
      plan, tracks, ends, room, job, raceways_by_edge(plan, tracks, room, job), count_users(plan)};
  std::vector<LanePath> ways;
  for (std::size_t i = 0; i < plan.runs.size(); ++i) ways.push_back(planned_way(in, i));
  merge_ways(in, ways);
  std::vector<double> radii;
  std::vector<std::vector<LaneLimits>> limits;
  for (const LanePath& way : ways) {
    radii.push_back(cable_of(in, way.run).bend_radius_m);
    limits.push_back(lane_limits(way.path, way.diameter_m, tracks, in.raceways, room, job.prefer));
  }
  Lanes lanes = assign_lanes(ways, radii, limits, tracks, room, ends);
  pack_holes(ways, lanes, tracks, room);
  CableShapes shapes;
  for (std::size_t i = 0; i < ways.size(); ++i)
    shapes.cables.push_back(shape_of(in, ways[i], lanes.lanes[i]));
  shapes.holes = shape_holes(ways, lanes, tracks, room, ends, job);
  shapes.raceways = shape_raceways(in.raceways, tracks, room);
  shapes.supports = place_supports(ways, tracks, job.prefer);
  shapes.overlaps = lanes.overlaps;
  return shapes;
}

}  // namespace roomloom
