#include "takeoff/takeoff.h"

#include <algorithm>
#include <cmath>

#include "takeoff/spools.h"

namespace roomloom {
namespace {

template <typename T>
const T& at(const std::vector<T>& all, int index) {
  return all[static_cast<std::size_t>(index)];
}

const RunSpec* spec_of(const Run& run, const Job& job) {
  return run.spec >= 0 ? &at(job.runs, run.spec) : nullptr;
}

std::string colour_of(const Run& run, const CableType& cable, const Job& job) {
  const RunSpec* spec = spec_of(run, job);
  if (spec != nullptr && !spec->colour.empty()) return spec->colour;
  return cable.colours.empty() ? "" : cable.colours.front();
}

std::vector<std::string> run_ids(const std::vector<int>& runs, const Ends& ends, int except = -1) {
  std::vector<std::string> ids;
  for (const int run : runs)
    if (run != except) ids.push_back(at(ends.runs, run).id);
  return ids;
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
  const Run& run = at(ends.runs, index);
  const CableShape& shape = at(shapes.cables, index);
  const CableType& cable = at(job.catalogue.cables, run.cable);
  RunRow row;
  row.run = index;
  row.id = run.id;
  row.from = at(ends.ends, run.from).id;
  row.to = at(ends.ends, run.to).id;
  row.cable = cable.id;
  row.colour = colour_of(run, cable, job);
  row.service = run.service;
  row.provision = run.provision;
  const RunSpec* spec = spec_of(run, job);
  row.installed = spec != nullptr && spec->installed;
  row.routed = shape.routed;
  if (!shape.routed) row.blocked_by = at(plan.runs, index).blocked_by;
  row.track_m = shape.track_m;
  row.drawn_m = shape.drawn_m;
  row.cut_m = shape.cut_m;
  row.addends = shape.addends;
  count_bends(row, shape);
  row.shared_with = sharers_of(index, plan, ends);
  return row;
}

// A length of spool that may be had, with its price and how many of it at most.
struct PutUp {
  double length_m = 0;
  double price = 0;
};

std::vector<PutUp> put_ups_of(const CableTotal& total, const CableType& cable, const Job& job) {
  std::vector<PutUp> put_ups;
  for (const SpoolSpec& spool : job.spools)
    if (spool.cable == total.cable && (spool.colour.empty() || spool.colour == total.colour))
      put_ups.push_back({spool.length_m, spool.price});
  if (!put_ups.empty()) return put_ups;
  for (const double length : cable.put_ups_m)
    put_ups.push_back({length, length * cable.price_per_m});
  return put_ups;
}

// The put-up whose count costs least; of equal ones that with the least cable, then the fewest.
void count_spools(CableTotal& total, const std::vector<double>& cuts, const CableType& cable,
                  const Job& job) {
  double best_price = 0;
  for (const PutUp& put_up : put_ups_of(total, cable, job)) {
    const int count = put_up.length_m > 0 ? first_fit_decreasing(cuts, put_up.length_m) : -1;
    if (count <= 0) continue;
    const double price = count * put_up.price;
    const double bought = count * put_up.length_m;
    const double best_bought = total.spools * total.put_up_m;
    const bool better =
        total.spools == 0 || price < best_price - 1e-9 ||
        (price < best_price + 1e-9 &&
         (bought < best_bought - 1e-9 || (bought < best_bought + 1e-9 && count < total.spools)));
    if (!better) continue;
    best_price = price;
    total.put_up_m = put_up.length_m;
    total.spools = count;
    total.left_over_m = bought - total.cut_m;
  }
}

std::vector<CableTotal> cable_totals(const std::vector<RunRow>& rows, const Ends& ends,
                                     const Job& job) {
  std::vector<CableTotal> totals;
  std::vector<std::vector<double>> cuts;
  std::vector<const CableType*> types;
  for (const RunRow& row : rows) {
    if (!row.routed || row.installed) continue;
    auto found = std::find_if(totals.begin(), totals.end(), [&](const CableTotal& total) {
      return total.cable == row.cable && total.colour == row.colour;
    });
    if (found == totals.end()) {
      CableTotal total;
      total.cable = row.cable;
      total.colour = row.colour;
      total.service = row.service;
      totals.push_back(total);
      cuts.emplace_back();
      types.push_back(&at(job.catalogue.cables, at(ends.runs, row.run).cable));
      found = totals.end() - 1;
    }
    ++found->runs;
    found->drawn_m += row.drawn_m;
    found->cut_m += row.cut_m;
    found->longest_m = std::max(found->longest_m, row.cut_m);
    cuts[static_cast<std::size_t>(found - totals.begin())].push_back(row.cut_m);
  }
  for (std::size_t i = 0; i < totals.size(); ++i) count_spools(totals[i], cuts[i], *types[i], job);
  return totals;
}

const Tile* tile_of(const Crossing& crossing, const Room& room) {
  if (!crossing.tile) return nullptr;
  for (const TileGrid& grid : room.grids)
    for (const Tile& tile : grid.tiles)
      if (tile.id == *crossing.tile &&
          (crossing.from.kind != PlaceKind::sheet || crossing.from.index == grid.sheet))
        return &tile;
  return nullptr;
}

// From the tile's low sides in the ceiling's own u, v: what a person measures on the tile.
void measure_in_tile(HoleRow& row, const Tile& tile, const Crossing& crossing, const Room& room) {
  row.tile = tile.name;
  if (crossing.from.kind != PlaceKind::sheet || tile.ring.empty()) return;
  const Vec2 centre = at(room.sheets, crossing.from.index).frame.to_plane(row.centre);
  Vec2 low = tile.ring.front();
  for (const Vec2& p : tile.ring) low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  row.from_edge_u_m = centre.x - low.x;
  row.from_edge_v_m = centre.y - low.y;
}

HoleRow hole_row(const HoleShape& hole, const Ends& ends, const Room& room) {
  const Crossing& crossing = at(room.crossings, hole.crossing);
  HoleRow row;
  row.name = hole.name;
  row.crossing = crossing.name;
  row.kind = to_string(crossing.kind);
  row.centre = hole.centre;
  row.bundle_m = hole.bundle_m;
  row.diameter_m = hole.diameter_m;
  row.thickness_m = hole.thickness_m;
  row.existing = crossing.existing;
  row.larger_than_allowed =
      !crossing.existing && hole.diameter_m > crossing.largest_diameter_m + 1e-6;
  row.runs = run_ids(hole.runs, ends);
  if (const Tile* tile = tile_of(crossing, room)) measure_in_tile(row, *tile, crossing, room);
  return row;
}

// Pieces longer than a stock are joined from whole stocks and a rest.
std::vector<double> pieces_to_cut(const std::vector<double>& lengths, double stock_m) {
  std::vector<double> pieces;
  for (double length : lengths) {
    while (length > stock_m + 1e-9) {
      pieces.push_back(stock_m);
      length -= stock_m;
    }
    if (length > 1e-9) pieces.push_back(length);
  }
  return pieces;
}

std::vector<RacewayRow> raceway_rows(const CableShapes& shapes, const Job& job) {
  std::vector<RacewayRow> rows;
  for (std::size_t i = 0; i < job.catalogue.raceways.size(); ++i) {
    const RacewayType& type = job.catalogue.raceways[i];
    std::vector<double> lengths;
    for (const RacewayShape& piece : shapes.raceways)
      if (piece.raceway == static_cast<int>(i)) lengths.push_back(distance(piece.from, piece.to));
    if (lengths.empty()) continue;
    RacewayRow row;
    row.raceway = type.id;
    row.width_m = type.width_m;
    row.depth_m = type.depth_m;
    row.pieces = static_cast<int>(lengths.size());
    row.stock_length_m = type.stock_length_m;
    for (const double length : lengths) row.length_m += length;
    if (type.stock_length_m > 0)
      row.stocks =
          first_fit_decreasing(pieces_to_cut(lengths, type.stock_length_m), type.stock_length_m);
    rows.push_back(row);
  }
  return rows;
}

}  // namespace

Takeoff take_off(const CableShapes& shapes, const Plan& plan, const Tracks& /*tracks*/,
                 const Ends& ends, const Room& room, const Job& job) {
  Takeoff takeoff;
  for (std::size_t i = 0; i < ends.runs.size(); ++i)
    takeoff.runs.push_back(run_row(static_cast<int>(i), shapes, plan, ends, job));
  takeoff.totals = cable_totals(takeoff.runs, ends, job);
  for (const CableTotal& total : takeoff.totals) takeoff.cut_m += total.cut_m;
  for (const HoleShape& hole : shapes.holes) takeoff.holes.push_back(hole_row(hole, ends, room));
  takeoff.raceways = raceway_rows(shapes, job);
  takeoff.supports = static_cast<int>(shapes.supports.size());
  return takeoff;
}

}  // namespace roomloom
