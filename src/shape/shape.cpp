#include "shape/shape.h"

#include <algorithm>
#include <cmath>

#include "geometry/arc.h"
#include "shape/addends.h"
#include "shape/corners.h"
#include "shape/fixings.h"
#include "shape/ways.h"

namespace roomloom {
namespace {

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

/// A place that an end may move to, and how much longer its way gets there.
struct Move {
  Vec3 to;
  double extra_m = 0;
};

double longest_of(const std::vector<Move>& moves) {
  double most = 0;
  for (const Move& move : moves) most = std::max(most, move.extra_m);
  return most;
}

/// How fast a way can grow when its end moves by a metre: on tracks by the sum of both coordinates.
double growth(const Inputs& in, const End& end, const Vec3& step) {
  if (end.place.home.kind != PlaceKind::sheet) return norm(step);
  const Sheet& sheet = in.room.sheets[static_cast<std::size_t>(end.place.home.index)];
  // Which way tracks lie on a ceiling only its outline tells: the most for any direction.
  if (std::abs(sheet.frame.n.z) > 0.9) return std::sqrt(2.0) * norm(step);
  return std::abs(dot(step, sheet.frame.u)) + std::abs(dot(step, sheet.frame.v));
}

// Any one way's length is convex in the end's place, so its greatest is at one of the places tried.
// Where another way takes over in between, the least of the two rises to a ridge: two opposite
// places that are nearer than convexity allows tell it, and the ridge is at most as high as the way
// can grow from the present place on the one side and from the place tried on the other.
double ridge_of(const Inputs& in, const End& end, const std::vector<Move>& moves) {
  constexpr double kOpposite = -0.999, kSlack_m = 0.001;
  double most = 0;
  for (const Move& a : moves)
    for (const Move& b : moves) {
      const Vec3 to_a = a.to - end.place.position, to_b = b.to - end.place.position;
      const double la = norm(to_a), lb = norm(to_b);
      if (la < kSlack_m || lb < kSlack_m || dot(to_a, to_b) > kOpposite * la * lb) continue;
      if (a.extra_m / la + b.extra_m / lb >= -kSlack_m) continue;
      most = std::max(most, 0.5 * (a.extra_m + growth(in, end, to_a)));
    }
  return most;
}

// The furthest place that each end may move to, beyond the present one.
double movable_end(const Inputs& in, const LanePath& way) {
  const PlannedRun& planned = in.plan.runs[static_cast<std::size_t>(way.run)];
  const Run& run = in.ends.runs[static_cast<std::size_t>(way.run)];
  const double present = plain_length(in, way);
  std::vector<Move> moves[2];
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
        way_of(in, way.run, planned.alternative_steps[i], moves_from ? place : in.tip(run.from),
               moves_from ? in.tip(run.to) : place);
    moves[moves_from ? 0 : 1].push_back({place, plain_length(in, other) - present});
  }
  double sum = 0;
  for (const int side : {0, 1}) {
    const int index = side == 0 ? run.from : run.to;
    const End& end = in.ends.ends[static_cast<std::size_t>(index)];
    sum += std::max(longest_of(moves[side]), end.moves_within ? ridge_of(in, end, moves[side]) : 0);
  }
  return sum;
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
  // What joins two components of one rack comes out with it.
  const bool together = !from.gear.empty() && from.gear == to.gear;
  if (!together) parts.pull_out = from.pull_out_m + to.pull_out_m;
  parts.movable_end = movable_end(in, way);
  return parts;
}

std::vector<Addend> addends_of(const Inputs& in, const LanePath& way, const Lane& lane,
                               double drawn_m) {
  const int spec = in.ends.runs[static_cast<std::size_t>(way.run)].spec;
  if (spec >= 0) {
    const RunSpec& said = in.job.runs[static_cast<std::size_t>(spec)];
    if ((said.installed || !said.takes_over.empty()) && said.measured_m)
      return measured_addends(drawn_m, *said.measured_m);
  }
  return make_addends(addend_parts(in, way, lane), drawn_m, in.job.prefer);
}

// Straight on in the same place: one piece, not two.
bool continues(const Inputs& in, const CableShape& shape, const Piece& piece, int edge) {
  if (shape.pieces.empty()) return false;
  const auto* last = std::get_if<Line3>(&shape.pieces.back());
  const auto* next = std::get_if<Line3>(&piece);
  if (last == nullptr || next == nullptr) return false;
  const TrackEdge& a = in.edge(shape.edges.back());
  const TrackEdge& b = in.edge(edge);
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
    shape.homes.push_back(in.edge(edge).home);
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
    bend.home = in.edge(before).home;
    const bool in_raceway = in.raceways.contains(before) && in.raceways.contains(after);
    const bool overlapped =
        std::any_of(lane.overlapped.begin(), lane.overlapped.end(), [&](const Vec3& point) {
          return distance(point, bend.at) < kFittingReach * way.diameter_m;
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

}  // namespace

CableShapes shape_cables(const Plan& plan, const Tracks& tracks, const Ends& ends, const Room& room,
                         const Job& job) {
  const LyingPlaces lying = find_lying_places(plan, tracks, ends, room, job);
  const Inputs in{plan,
                  tracks,
                  ends,
                  room,
                  job,
                  lying,
                  raceways_by_edge(plan, tracks, room, job, lying),
                  count_users(plan)};
  const std::vector<LanePath> ways = planned_ways(in);
  const Lanes lanes = assign_lanes(ways, tracks, room, ends, job.units);
  CableShapes shapes;
  for (std::size_t i = 0; i < ways.size(); ++i)
    shapes.cables.push_back(shape_of(in, ways[i], lanes.lanes[i]));
  shapes.holes = shape_holes(ways, lanes, tracks, room, ends, job);
  shapes.raceways = shape_raceways(in.raceways, shapes.cables, tracks, room);
  shapes.supports = place_supports(ways, tracks, job.prefer);
  shapes.overlaps = lanes.overlaps;
  return shapes;
}

}  // namespace roomloom
