#pragma once

#include <string>
#include <vector>

#include "types/cable_shapes.h"
#include "types/catalogue.h"
#include "types/table.h"

namespace roomloom {

/// One run of the cut list. Lengths in metres.
struct RunRow {
  int run = -1;  ///< into Ends::runs
  std::string id, from, to, cable, colour;
  Service service = Service::loudspeaker;
  bool provision = false;
  bool installed = false;  ///< lies already: nothing to cut
  bool routed = false;
  std::string blocked_by;  ///< when not routed
  double track_m = 0, drawn_m = 0, cut_m = 0;
  std::vector<Addend> addends;           ///< kAddendNames in order: drawn + addends = cut
  int bends = 0;                         ///< turns of 15 degrees and more
  int tight_bends = 0;                   ///< of all bends, those below the cable's least radius
  std::vector<std::string> shared_with;  ///< ids of runs with which it shares a way, in job order
};

/// What to buy or take of one type and colour of cable.
struct CableTotal {
  std::string cable, colour;
  Service service = Service::loudspeaker;
  int runs = 0;        ///< to cut; installed ones are left out
  double drawn_m = 0;  ///< sum over those runs
  double cut_m = 0;    ///< sum over those runs
  double longest_m = 0;
  double put_up_m = 0;  ///< length of the spool counted below; 0 = none is long enough, or unknown
  int spools = 0;       ///< an upper bound, not proven least: first-fit decreasing, one run uncut
  double left_over_m = 0;  ///< spools * put_up - cut
};

struct HoleRow {
  std::string name, crossing, kind;
  std::string tile;  ///< "C4", or empty
  Vec3 centre;
  double from_edge_u_m = 0,
         from_edge_v_m = 0;  ///< of a tile: hole's centre from its low u, v sides
  double bundle_m = 0, diameter_m = 0, thickness_m = 0;
  bool existing = false;  ///< nothing to cut
  bool larger_than_allowed = false;
  std::vector<std::string> runs;
};

/// Raceway of one size.
struct RacewayRow {
  std::string raceway;
  double width_m = 0, depth_m = 0;
  double length_m = 0;  ///< along the centrelines
  int pieces = 0;       ///< straight pieces
  int stocks = 0;       ///< whole lengths to buy: an upper bound, first-fit decreasing
  double stock_length_m = 0;
};

/// What to buy, to cut and to drill.
struct Takeoff {
  std::vector<RunRow> runs;        ///< one for each of Ends::runs
  std::vector<CableTotal> totals;  ///< in the order of their first run
  std::vector<HoleRow> holes;
  std::vector<RacewayRow> raceways;  ///< in the catalogue's order
  int supports = 0;
  double cut_m = 0;           ///< all runs to cut
  std::vector<Table> tables;  ///< every further list, in the order of a report
};

}  // namespace roomloom
