#include <algorithm>

#include "report/plan_parts.h"

namespace roomloom {

Json run_ids_json(const std::vector<int>& runs, const Ends& ends) {
  Json ids = Json::array();
  for (const int run : runs) ids.push_back(ends.runs[static_cast<std::size_t>(run)].id);
  return ids;
}

Json holes_json(const Planned& planned) {
  Json all = Json::array();
  for (std::size_t i = 0; i < planned.shapes.holes.size(); ++i) {
    const HoleShape& hole = planned.shapes.holes[i];
    const Crossing& crossing = planned.room.crossings[static_cast<std::size_t>(hole.crossing)];
    all.push_back({{"name", hole.name},
                   {"crossing", crossing.name},
                   {"kind", to_string(crossing.kind)},
                   {"existing", crossing.existing},
                   {"cut_already", planned.takeoff.holes[i].cut_already},
                   {"centre", to_json(hole.centre)},
                   {"passed_at", to_json(hole.passed_at)},
                   {"normal", to_json(hole.normal)},
                   {"bundle_m", hole.bundle_m},
                   {"diameter_m", hole.diameter_m},
                   {"bare_m", hole.bare_m},
                   {"built_m", hole.built_m},
                   {"thickness_m", hole.thickness_m},
                   {"runs", run_ids_json(hole.runs, planned.ends)}});
    if (const std::string& without = planned.takeoff.holes[i].no_grommet; !without.empty())
      all.back()["no_grommet"] = without;
  }
  return all;
}

Json tiles_json(const Room& room) {
  Json all = Json::array();
  for (const Crossing& crossing : room.crossings) {
    if (crossing.kind != CrossingKind::tile_cut || !crossing.tile) continue;
    for (const TileGrid& grid : room.grids)
      for (const Tile& tile : grid.tiles) {
        if (!(tile.id == *crossing.tile) || tile.ring.empty() ||
            (crossing.from.kind == PlaceKind::sheet && crossing.from.index != grid.sheet))
          continue;
        const Frame& frame = room.sheets[static_cast<std::size_t>(grid.sheet)].frame;
        Vec2 low = tile.ring.front(), high = low;
        for (const Vec2& p : tile.ring) {
          low = {std::min(low.x, p.x), std::min(low.y, p.y)};
          high = {std::max(high.x, p.x), std::max(high.y, p.y)};
        }
        const Vec2 size = high - low;
        all.push_back({{"name", tile.name},
                       {"crossing", crossing.name},
                       {"corner", to_json(frame.to_world(low))},
                       {"side_1", to_json(size.x * frame.u)},
                       {"side_2", to_json(size.y * frame.v)}});
      }
  }
  return all;
}

Json pieces_json(const Planned& planned) {
  Json all = Json::array();
  for (const RacewayPiece& piece : planned.takeoff.raceway_pieces) {
    all.push_back({{"name", piece.name},
                   {"fixed", piece.fixed},
                   {"runs", run_ids_json(piece.runs, planned.ends)}});
    for (const Vec3& aside : piece.aside) all.back()["aside"].push_back(to_json(aside));
  }
  return all;
}

Json raceways_json(const Planned& planned) {
  Json all = Json::array();
  for (const RacewayShape& piece : planned.shapes.raceways) {
    const RacewayType& type =
        planned.job.catalogue.raceways[static_cast<std::size_t>(piece.raceway)];
    all.push_back({{"size", type.id},
                   {"sheet", planned.room.sheets[static_cast<std::size_t>(piece.sheet)].name},
                   {"from", to_json(piece.from)},
                   {"to", to_json(piece.to)},
                   {"metres", distance(piece.from, piece.to)},
                   {"runs", run_ids_json(piece.runs, planned.ends)}});
  }
  return all;
}

}  // namespace roomloom
