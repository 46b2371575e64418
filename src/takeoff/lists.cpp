#include "takeoff/lists.h"

#include "base/words.h"
#include "takeoff/cells.h"
#include "takeoff/holes.h"
#include "takeoff/where.h"

namespace roomloom {
namespace {

std::string key_of(std::string name) {
  for (char& c : name)
    if (c == ' ' || c == '-') c = '_';
  return name + "_m";
}

std::string state_of(const RunRow& row) {
  if (!row.routed) return "no way: " + (row.blocked_by.empty() ? "unknown" : row.blocked_by);
  if (row.installed) return "installed";
  if (!row.takes_over.empty()) return "to lead on: the cable of " + row.takes_over;
  return row.provision ? "provision" : "to pull";
}

std::vector<Column> length_columns() {
  std::vector<Column> columns{{"run", "Run"},
                              {"from", "From"},
                              {"to", "To"},
                              {"cable", "Cable"},
                              {"colour", "Colour"},
                              {"colour_why", "Why that colour"},
                              {"service", "Service"},
                              {"state", "State"},
                              {"track_m", "Way along the tracks", ColumnKind::length},
                              {"drawn_m", "Drawn", ColumnKind::length}};
  for (const char* name : kAddendNames)
    columns.push_back({key_of(name), capitalised(name), ColumnKind::length});
  columns.push_back({"cut_m", "Cut", ColumnKind::length});
  columns.push_back({"lead_m", "Ready-made lead", ColumnKind::length});
  columns.push_back({"bends", "Bends", ColumnKind::count});
  columns.push_back({"tight_bends", "Tight bends", ColumnKind::count});
  columns.push_back({"shares", "Shares its way with"});
  return columns;
}

}  // namespace

Table length_table(const Takeoff& takeoff) {
  Table table{"lengths",
              "Cut list",
              "Drawn and what is added to it make the cut length. A ready-made lead is never cut: "
              "\"Cut\" is then the least that it must have.",
              length_columns(),
              {}};
  for (const RunRow& row : takeoff.runs) {
    std::vector<Cell> cells{row.id,
                            row.from,
                            row.to,
                            row.cable,
                            row.colour,
                            row.colour_why,
                            std::string(to_string(row.service)),
                            state_of(row),
                            row.track_m,
                            row.drawn_m};
    for (std::size_t i = 0; i < kAddendNames.size(); ++i)
      cells.emplace_back(i < row.addends.size() ? row.addends[i].metres : 0.0);
    cells.emplace_back(row.cut_m);
    cells.push_back(row.lead_m > 0 ? Cell{row.lead_m} : Cell{});
    cells.push_back(number_cell(row.bends));
    cells.push_back(number_cell(row.tight_bends));
    cells.emplace_back(listed(row.shared_with));
    table.rows.push_back(std::move(cells));
  }
  return table;
}

Table hole_list(const Takeoff& takeoff, const CableShapes& shapes, const Room& room,
                DisplayUnits units) {
  Table table{"holes",
              "Holes",
              "",
              {{"hole", "Hole"},
               {"in", "In"},
               {"kind", "Kind"},
               {"tile", "Tile"},
               {"side_1", "First side of the tile"},
               {"from_side_1_m", "From the first side", ColumnKind::length},
               {"side_2", "Second side of the tile"},
               {"from_side_2_m", "From the second side", ColumnKind::length},
               {"diameter_m", "Diameter", ColumnKind::size},
               {"bundle_m", "Bundle", ColumnKind::size},
               {"thickness_m", "Thickness", ColumnKind::size},
               {"state", "State"},
               {"x_m", "X", ColumnKind::length},
               {"y_m", "Y", ColumnKind::length},
               {"z_m", "Z", ColumnKind::length},
               {"runs", "Runs"}},
              {}};
  for (std::size_t i = 0; i < takeoff.holes.size(); ++i) {
    const HoleRow& row = takeoff.holes[i];
    const bool in_tile = !row.tile.empty();
    const TileOf in = tile_of(element(room.crossings, shapes.holes[i].crossing), room);
    const TileSides sides =
        in_tile && in.grid != nullptr ? tile_sides(room, *in.grid, row.centre) : TileSides{};
    table.rows.push_back({row.name, row.crossing, row.kind, row.tile, sides.first,
                          in_tile ? Cell{row.from_edge_u_m} : Cell{}, sides.second,
                          in_tile ? Cell{row.from_edge_v_m} : Cell{}, row.diameter_m, row.bundle_m,
                          row.thickness_m, hole_state(row, units), row.centre.x, row.centre.y,
                          row.centre.z, listed(row.runs)});
  }
  return table;
}

Table raceway_list(const Takeoff& takeoff) {
  Table table{"raceway",
              "Raceway",
              "Stock lengths are proven fewest for the pieces listed, the kerf counted, unless the "
              "last column says otherwise.",
              {{"raceway", "Raceway"},
               {"width_m", "Width", ColumnKind::size},
               {"depth_m", "Depth", ColumnKind::size},
               {"length_m", "Length", ColumnKind::length},
               {"pieces", "Straight pieces", ColumnKind::count},
               {"stock_length_m", "Stock length", ColumnKind::length},
               {"stocks", "Stocks (upper bound)", ColumnKind::count},
               {"to_buy", "To buy", ColumnKind::count},
               {"proof", "Cutting"}},
              {}};
  for (const RacewayRow& row : takeoff.raceways) {
    table.rows.push_back({row.raceway, row.width_m, row.depth_m, row.length_m,
                          number_cell(row.pieces), row.stock_length_m, number_cell(row.stocks),
                          number_cell(row.to_buy),
                          std::string(row.proven ? "proven least" : "not proven least")});
  }
  return table;
}

}  // namespace roomloom
