#include "takeoff/cells.h"
#include "takeoff/spools.h"

namespace roomloom {
namespace {

std::string shelf_words(const CableTotal& total) {
  if (!total.too_long.empty()) return "no spool is long enough for " + listed(total.too_long, ", ");
  if (total.shelf_enough) return "yes";
  return total.shelf_m > 0 ? "no" : "nothing on the shelf";
}

std::string proof_words(const CableTotal& total) {
  return total.proven ? "proven least" : "not proven least";
}

}  // namespace

Table cable_table(const Takeoff& takeoff) {
  Table table{"cable",
              "Cable: what to buy, and is the shelf enough?",
              "No run is spliced. Proven least: no cutting of these runs costs less, and none of "
              "that cost takes fewer spools. Built-in prices are invented.",
              {{"cable", "Cable"},
               {"colour", "Colour"},
               {"runs", "Runs", ColumnKind::count},
               {"cut_m", "To cut", ColumnKind::length},
               {"longest_m", "Longest run", ColumnKind::length},
               {"shelf_m", "On the shelf", ColumnKind::length},
               {"shelf_enough", "Is the shelf enough?"},
               {"spools", "Spools cut from", ColumnKind::count},
               {"to_buy", "Spools to buy", ColumnKind::count},
               {"price", "Price of those", ColumnKind::money},
               {"left_m", "Left over", ColumnKind::length},
               {"proof", "Cutting"}},
              {}};
  for (const CableTotal& total : takeoff.totals) {
    int to_buy = 0;
    for (const Spool& spool : takeoff.spools)
      if (spool.cable == total.cable && spool.colour == total.colour && !spool.on_shelf) ++to_buy;
    table.rows.push_back({total.cable, total.colour, number_cell(total.runs), total.cut_m,
                          total.longest_m, total.shelf_m, shelf_words(total),
                          number_cell(total.spools), number_cell(to_buy), total.price,
                          total.left_over_m, proof_words(total)});
  }
  return table;
}

Table spool_table(const Takeoff& takeoff) {
  Table table{"spools",
              "Spools",
              "Nearly out: less is left than the contingency of what is cut from it, so measure "
              "before you cut.",
              {{"spool", "Spool"},
               {"cable", "Cable"},
               {"colour", "Colour"},
               {"from", "From"},
               {"length_m", "Length", ColumnKind::length},
               {"runs", "Runs", ColumnKind::count},
               {"cut_m", "Cut from it", ColumnKind::length},
               {"left_m", "Left over", ColumnKind::length},
               {"price", "Price", ColumnKind::money},
               {"remark", "Remark"}},
              {}};
  for (const Spool& spool : takeoff.spools) {
    table.rows.push_back({spool.name, spool.cable, spool.colour,
                          std::string(spool.on_shelf ? "the shelf" : "the shop"), spool.length_m,
                          number_cell(spool.cuts.size()), spool.length_m - spool.left_m,
                          spool.left_m, spool.price,
                          std::string(spool.lead         ? "ready-made lead, not cut"
                                      : spool.nearly_out ? "nearly out"
                                                         : "")});
  }
  return table;
}

Table spool_cut_table(const Takeoff& takeoff) {
  Table table{
      "spool_cuts",
      "Cutting the spools",
      "From each spool in this order: as the days of the ladder sheet pull, within a day the "
      "longest and stiffest first. Left: on the spool after the cut.",
      {{"spool", "Spool"},
       {"cut", "Cut", ColumnKind::count},
       {"day", "Pulled on day", ColumnKind::count},
       {"run", "Run"},
       {"cable", "Cable"},
       {"colour", "Colour"},
       {"length_m", "Length", ColumnKind::length},
       {"left_m", "Left", ColumnKind::length},
       {"done", "Done", ColumnKind::tick}},
      {}};
  for (const Spool& spool : takeoff.spools) {
    double left = spool.length_m;
    for (std::size_t i = 0; i < spool.cuts.size(); ++i) {
      left -= spool.cuts[i].length_m;
      table.rows.push_back({spool.name, number_cell(i + 1), number_cell(spool.cuts[i].day),
                            spool.cuts[i].id, spool.cable, spool.colour, spool.cuts[i].length_m,
                            left, tick_cell()});
    }
  }
  return table;
}

}  // namespace roomloom
