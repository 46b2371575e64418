#include "takeoff/cells.h"
#include "takeoff/spools.h"

namespace roomloom {
namespace {

std::string shelf_words(const CableTotal& total) {
  if (!total.too_long.empty()) return "no spool is long enough for " + listed(total.too_long, ", ");
  if (total.shelf_enough) return "yes";
  return total.shelf_m > 0 ? "no" : "nothing on the shelf";
}

/// Of a ready-made lead nothing is cut, and what is over stays on it.
Cell cut_cell(bool lead, double metres) { return lead ? Cell{} : Cell{metres}; }

std::string proof_words(const CableTotal& total) {
  return total.proven ? "proven least" : "not proven least";
}

}  // namespace

Table cable_table(const Takeoff& takeoff) {
  Table table{"cable",
              "Cable: what to buy, and is the shelf enough?",
              "No run is spliced. Proven least: no cutting of these runs costs less, and none of "
              "that cost takes fewer spools. Of cable that is sold as ready-made leads nothing is "
              "cut, a lead serves one run. Built-in prices are invented.",
              {{"cable", "Cable"},
               {"colour", "Colour"},
               {"runs", "Runs", ColumnKind::count},
               {"cut_m", "To cut", ColumnKind::length},
               {"longest_m", "Longest run", ColumnKind::length},
               {"shelf_m", "On the shelf", ColumnKind::length},
               {"shelf_enough", "Is the shelf enough?"},
               {"spools", "Spools or leads", ColumnKind::count},
               {"to_buy", "Of those, to buy", ColumnKind::count},
               {"price", "Price of those", ColumnKind::money},
               {"left_m", "Left over", ColumnKind::length},
               {"proof", "Cutting"}},
              {}};
  for (const CableTotal& total : takeoff.totals) {
    int to_buy = 0;
    bool leads = false;
    for (const Spool& spool : takeoff.spools) {
      if (spool.cable != total.cable || spool.colour != total.colour) continue;
      to_buy += spool.on_shelf ? 0 : 1;
      leads = spool.lead;
    }
    table.rows.push_back({total.cable, total.colour, number_cell(total.runs),
                          cut_cell(leads, total.cut_m), total.longest_m, total.shelf_m,
                          shelf_words(total), number_cell(total.spools), number_cell(to_buy),
                          total.price, cut_cell(leads, total.left_over_m), proof_words(total)});
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
                          number_cell(spool.cuts.size()),
                          cut_cell(spool.lead, spool.length_m - spool.left_m),
                          cut_cell(spool.lead, spool.left_m), spool.price,
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
    if (spool.lead) continue;
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

Table lead_table(const Takeoff& takeoff) {
  Table table{"leads",
              "Ready-made leads",
              "Sold with their connectors on, in fixed lengths: take each as it is and never cut "
              "it. Coil up what is over near its looser end.",
              {{"lead", "Lead"},
               {"run", "Run"},
               {"cable", "Cable"},
               {"colour", "Colour"},
               {"from", "From"},
               {"length_m", "Length of the lead", ColumnKind::length},
               {"least_m", "At least needed", ColumnKind::length},
               {"over_m", "Over, to coil up", ColumnKind::length},
               {"day", "Pulled on day", ColumnKind::count},
               {"done", "Done", ColumnKind::tick}},
              {}};
  for (const Spool& spool : takeoff.spools) {
    if (!spool.lead) continue;
    for (const SpoolCut& cut : spool.cuts)
      table.rows.push_back({spool.name, cut.id, spool.cable, spool.colour,
                            std::string(spool.on_shelf ? "the shelf" : "the shop"), spool.length_m,
                            cut.length_m, spool.left_m, number_cell(cut.day), tick_cell()});
  }
  return table;
}

}  // namespace roomloom
