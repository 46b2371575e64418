#include "takeoff/high_work.h"

#include <algorithm>
#include <cmath>

#include "takeoff/built.h"
#include "takeoff/cells.h"

namespace roomloom {
namespace {

/// A point that is over a suspended ceiling: in a void over one, as far as its plan goes.
bool over_ceiling(const Vec3& at, const Room& room) {
  return std::any_of(room.voids.begin(), room.voids.end(), [&](const Void& space) {
    if (space.kind != VoidKind::plenum || space.below < 0) return false;
    const Vec3 local = space.frame.to_local(at);
    return local.z > -0.001 && local.z < space.height_m + 0.001 &&
           contains(space.plan, Vec2{local.x, local.y});
  });
}

/// How far along the run's tracks a point lies: at the place of its way that is nearest.
double along_way(const PlannedRun& run, const Tracks& tracks, const Vec3& at) {
  double best = 1e30, best_along = 0, done = 0;
  for (const Step& step : run.steps) {
    const TrackEdge& edge = element(tracks.edges, step.edge);
    const Vec3 a = element(tracks.nodes, step.forward ? edge.a : edge.b).position;
    const Vec3 b = element(tracks.nodes, step.forward ? edge.b : edge.a).position;
    const double length = distance(a, b);
    const double t =
        length > 0 ? std::clamp(dot(at - a, b - a) / (length * length), 0.0, 1.0) : 0.0;
    const double away = distance(at, a + t * (b - a));
    if (away < best - 1e-9) {
      best = away;
      best_along = done + t * length;
    }
    done += length;
  }
  return best_along;
}

/// The part of a piece that is above one's reach, if any: where it is fixed and closed from.
Vec3 high_middle(const RacewayPiece& piece, double reach) {
  Vec3 low = piece.from, high = piece.to;
  if (low.z > high.z) std::swap(low, high);
  if (high.z > reach && low.z < reach)
    low = low + (reach - low.z) / (high.z - low.z) * (high - low);
  return 0.5 * (low + high);
}

bool nothing_to_do(const RunRow& row, HighThing::Kind kind, const Vec3& at, const Ends& ends,
                   const AsBuilt& built) {
  if (!row.routed) return true;
  if (kind == HighThing::Kind::end) return row.installed && !row.to_finish;
  return needs_nothing_at(row, at, ends, built);
}

/// Whether an end of a run was moved since its cable was recorded.
bool has_moved_end(const RunRow& row, const BuiltRun& lying, const Ends& ends) {
  const Run& run = element(ends.runs, row.run);
  const auto moved = [&](int end) {
    return ends_elsewhere(lying, element(ends.ends, end).place.position);
  };
  return moved(run.from) || moved(run.to);
}

}  // namespace

bool needs_nothing_at(const RunRow& row, const Vec3& at, const Ends& ends, const AsBuilt& built) {
  // What takes over a lying cable, or lies itself and has an end that was moved, is led on; one
  // that but awaits its plugs stays as it lies.
  const BuiltRun* lying = row.lies() ? built_run(row, built) : nullptr;
  const bool stays = row.installed && (lying == nullptr || !has_moved_end(row, *lying, ends));
  return stays || (lying != nullptr && on_recorded_way(at, *lying));
}

bool is_laid_in(const RacewayPiece& piece, const RunRow& row, const Ends& ends,
                const AsBuilt& built) {
  return !nothing_to_do(row, HighThing::Kind::piece, 0.5 * (piece.from + piece.to), ends, built);
}

std::vector<HighThing> high_things(const Takeoff& takeoff, const CableShapes& shapes,
                                   const Ends& ends, const Room& room, const Job& job) {
  const double reach = room.floor_z_m + job.work.reach_up_m;
  std::vector<HighThing> things;
  const auto add = [&](HighThing::Kind kind, std::size_t index, const Vec3& at, bool over,
                       std::vector<int> runs) {
    std::erase_if(runs, [&](int run) {
      return nothing_to_do(element(takeoff.runs, run), kind, at, ends, job.as_built);
    });
    if (runs.empty() || (!over && at.z <= reach)) return;
    things.push_back({kind, static_cast<int>(index), {at, over}, std::move(runs)});
  };
  for (std::size_t i = 0; i < shapes.holes.size(); ++i) {
    const Crossing& crossing = element(room.crossings, shapes.holes[i].crossing);
    const bool tile = crossing.kind == CrossingKind::tile_cut;
    add(HighThing::Kind::hole, i, shapes.holes[i].centre, tile, shapes.holes[i].runs);
  }
  for (std::size_t i = 0; i < shapes.supports.size(); ++i)
    add(HighThing::Kind::support, i, shapes.supports[i].at,
        over_ceiling(shapes.supports[i].at, room), shapes.supports[i].runs);
  for (std::size_t i = 0; i < takeoff.raceway_pieces.size(); ++i) {
    const RacewayPiece& piece = takeoff.raceway_pieces[i];
    add(HighThing::Kind::piece, i, high_middle(piece, reach), false, piece.runs);
  }
  for (std::size_t i = 0; i < ends.runs.size(); ++i)
    for (const int end : {ends.runs[i].from, ends.runs[i].to}) {
      const Vec3& at = element(ends.ends, end).place.position;
      add(HighThing::Kind::end, static_cast<std::size_t>(end), at, over_ceiling(at, room),
          {static_cast<int>(i)});
    }
  return things;
}

std::vector<std::vector<int>> things_along(const std::vector<HighThing>& things,
                                           const Takeoff& takeoff, const Plan& plan,
                                           const Tracks& tracks, const Ends& ends) {
  constexpr double kLast_m = 1e30;
  std::vector<std::vector<std::pair<double, int>>> along(plan.runs.size());
  for (std::size_t t = 0; t < things.size(); ++t) {
    const HighThing& thing = things[t];
    const bool is_end = thing.kind == HighThing::Kind::end;
    for (const int run : thing.runs) {
      if (element(takeoff.runs, run).lies()) continue;  // led on, not handed on
      const double at = !is_end ? along_way(element(plan.runs, run), tracks, thing.point.at)
                        : element(ends.runs, run).from == thing.index ? -1
                                                                      : kLast_m;
      along[static_cast<std::size_t>(run)].emplace_back(at, static_cast<int>(t));
    }
  }
  std::vector<std::vector<int>> ways(plan.runs.size());
  for (std::size_t r = 0; r < along.size(); ++r) {
    std::stable_sort(along[r].begin(), along[r].end());
    for (const auto& [metres, thing] : along[r]) ways[r].push_back(thing);
  }
  return ways;
}

}  // namespace roomloom
