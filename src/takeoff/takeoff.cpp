#include "takeoff/takeoff.h"

#include <algorithm>
#include <cmath>

#include "takeoff/boxes.h"
#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/holes.h"
#include "takeoff/ladder.h"
#include "takeoff/lists.h"
#include "takeoff/minutes.h"
#include "takeoff/raceway.h"
#include "takeoff/ramps.h"
#include "takeoff/seen.h"
#include "takeoff/shopping.h"
#include "takeoff/spools.h"
#include "takeoff/terminations.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

const RunSpec* spec_of(const Run& run, const Job& job) {
  return run.spec >= 0 ? &element(job.runs, run.spec) : nullptr;
}

std::string colour_of(const Run& run, const CableType& cable, const Job& job) {
  const RunSpec* spec = spec_of(run, job);
  if (spec != nullptr && !spec->colour.empty()) return spec->colour;
  return cable.colours.empty() ? "" : cable.colours.front();
}

std::vector<std::string> sharers_of(int run, const Plan& plan, const Ends& ends) {
  std::vector<int> sharers;
  for (const Trunk& trunk : plan.trunks)
    if (std::find(trunk.runs.begin(), trunk.runs.end(), run) != trunk.runs.end())
      sharers.insert(sharers.end(), trunk.runs.begin(), trunk.runs.end());
  std::sort(sharers.begin(), sharers.end());
  sharers.erase(std::unique(sharers.begin(), sharers.end()), sharers.end());
  return run_ids(sharers, ends, run);
}

void count_bends(RunRow& row, const CableShape& shape) {
  for (const Bend& bend : shape.bends) {
    if (bend.angle_rad >= radians(15)) ++row.bends;
    if (bend.used_m < bend.required_m - 1e-6) ++row.tight_bends;
  }
}

RunRow run_row(int index, const CableShapes& shapes, const Plan& plan, const Ends& ends,
               const Job& job) {
  const Run& run = element(ends.runs, index);
  const CableShape& shape = element(shapes.cables, index);
  const CableType& cable = element(job.catalogue.cables, run.cable);
  RunRow row;
  row.run = index;
  row.id = run.id;
  row.from = element(ends.ends, run.from).id;
  row.to = element(ends.ends, run.to).id;
  row.cable = cable.id;
  row.colour = colour_of(run, cable, job);
  row.service = run.service;
  row.provision = run.provision;
  const RunSpec* spec = spec_of(run, job);
  row.installed = spec != nullptr && spec->installed;
  if (spec != nullptr) row.takes_over = spec->takes_over;
  row.routed = shape.routed;
  if (!shape.routed) row.blocked_by = element(plan.runs, index).blocked_by;
  row.track_m = shape.track_m;
  row.drawn_m = shape.drawn_m;
  row.cut_m = shape.cut_m;
  row.addends = shape.addends;
  count_bends(row, shape);
  const BuiltRun* built = row.lies() ? built_run(row, job.as_built) : nullptr;
  for (const int end : {run.from, run.to})
    row.to_finish = row.to_finish || (row.installed && built != nullptr &&
                                      element(ends.ends, end).state == EndState::fitted &&
                                      left_open(*built, element(ends.ends, end).place.position));
  row.shared_with = sharers_of(index, plan, ends);
  return row;
}

// From the tile's low sides in the ceiling's own u, v: what a person measures on the tile.
void measure_in_tile(HoleRow& row, const Tile& tile, const Crossing& crossing, const Room& room) {
  row.tile = tile.name;
  if (crossing.from.kind != PlaceKind::sheet || tile.ring.empty()) return;
  const Vec2 centre = element(room.sheets, crossing.from.index).frame.to_plane(row.centre);
  Vec2 low = tile.ring.front();
  for (const Vec2& p : tile.ring) low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  row.from_edge_u_m = centre.x - low.x;
  row.from_edge_v_m = centre.y - low.y;
}

HoleRow hole_row(const HoleShape& hole, const Ends& ends, const Room& room, const Job& job) {
  const Crossing& crossing = element(room.crossings, hole.crossing);
  HoleRow row;
  row.name = hole.name;
  row.crossing = crossing.name;
  row.kind = to_string(crossing.kind);
  row.centre = hole.centre;
  row.bundle_m = hole.bundle_m;
  row.diameter_m = hole.diameter_m;
  row.bare_m = hole.bare_m;
  row.built_m = hole.built_m;
  row.thickness_m = hole.thickness_m;
  row.existing = crossing.existing;
  row.larger_than_allowed = !crossing.existing && hole.bare_m > crossing.largest_diameter_m + 1e-6;
  row.runs = run_ids(hole.runs, ends);
  row.cut_already = !row.existing && hole.is_cut();
  if (hole.no_grommet >= 0) row.no_grommet = element(job.catalogue.grommets, hole.no_grommet).id;
  if (const Tile* tile = tile_of(crossing, room).tile) measure_in_tile(row, *tile, crossing, room);
  return row;
}

}  // namespace

Takeoff take_off(const CableShapes& shapes, const Plan& plan, const Tracks& tracks,
                 const Ends& ends, const Room& room, const Job& job, const Scene* scene) {
  Takeoff takeoff;
  for (std::size_t i = 0; i < ends.runs.size(); ++i)
    takeoff.runs.push_back(run_row(static_cast<int>(i), shapes, plan, ends, job));
  const std::vector<JacketWish> wishes = jacket_wishes(plan, tracks, ends, room, job, scene);
  plan_spools(takeoff, wishes, ends, job);
  for (const HoleShape& hole : shapes.holes)
    takeoff.holes.push_back(hole_row(hole, ends, room, job));
  const std::vector<Termination> terminations = terminations_of(takeoff, ends, room, job);
  takeoff.boxes = boxes_of(terminations, ends, room);
  plan_raceway(takeoff, shapes, terminations, ends, room, job);
  takeoff.supports = static_cast<int>(shapes.supports.size());
  list_ramps(takeoff, plan, tracks, ends, room, job);
  if (scene != nullptr) look_from_eyes(takeoff, shapes, plan, tracks, ends, room, job, *scene);
  plan_work(takeoff, terminations, shapes, plan, tracks, ends, room, job);
  const std::vector<Purchase> purchases = purchases_of(takeoff, terminations, shapes, ends, job);
  takeoff.to_buy = cost_to_buy(purchases);
  takeoff.tables = {
      shopping_table(purchases, takeoff, job),
      quote_table(purchases, takeoff, job),
      length_table(takeoff),
      cable_table(takeoff),
      spool_table(takeoff),
      spool_cut_table(takeoff),
      lead_table(takeoff),
      hole_list(takeoff, shapes, room, job.units),
      hole_table(takeoff, shapes, ends, room, job),
      tile_table(takeoff, room),
      raceway_list(takeoff),
      raceway_piece_table(takeoff, ends, room, scene, job),
      raceway_cut_table(takeoff, job),
      raceway_fitting_table(takeoff),
      end_table(terminations, ends, room),
      pin_table(terminations),
      cord_table(takeoff, ends),
      label_table(takeoff, ends, job),
      ladder_table(takeoff, job),
      ladder_place_table(takeoff),
      pull_table(takeoff, ends, job),
      box_table(takeoff, ends, job),
      minutes_table(job),
      stock_left_table(takeoff, job),
      raceway_left_table(takeoff, job),
  };
  if (!takeoff.ramps.empty()) takeoff.tables.push_back(ramp_table(takeoff));
  if (!takeoff.seen.empty()) takeoff.tables.push_back(seen_table(takeoff, job));
  if (!job.as_built.empty()) {
    takeoff.tables.push_back(built_table(job));
    takeoff.tables.push_back(minutes_built_table(job));
    takeoff.tables.push_back(use_first_table(takeoff, plan, tracks, room, job));
    Table unused = unused_table(takeoff, shapes, room, job);
    if (!unused.rows.empty()) takeoff.tables.push_back(std::move(unused));
  }
  return takeoff;
}

}  // namespace roomloom
