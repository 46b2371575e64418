#pragma once

#include <string>
#include <vector>

#include "types/cable_shapes.h"
#include "types/catalogue.h"
#include "types/gauge_choice.h"
#include "types/table.h"

namespace roomloom {

/// One run of the cut list. Lengths in metres.
struct RunRow {
  int run = -1;  ///< into Ends::runs
  std::string id, from, to, cable, colour;
  std::string colour_why;  ///< "seen on Wall left: shows least there; bought"
  Service service = Service::loudspeaker;
  bool provision = false;
  bool installed = false;  ///< lies already: nothing to cut
  std::string takes_over;  ///< run whose lying cable it takes over; empty = it is cut for it
  /// Its cable lies already, as it is or to be led on: none is bought or cut for it.
  bool lies() const { return installed || !takes_over.empty(); }
  bool to_finish = false;  ///< lies already, and an end that was left open is fitted now
  bool routed = false;
  std::string blocked_by;  ///< when not routed
  double track_m = 0, drawn_m = 0;
  double cut_m = 0;   ///< to cut; of a ready-made lead the least length that it must have
  double lead_m = 0;  ///< length of the ready-made lead that serves it, uncut; 0 = it is cut
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
  double put_up_m = 0;  ///< length of the longest spool used; 0 = none is long enough, or unknown
  int spools = 0;       ///< that are cut from, the shelf's included; one run uncut
  double left_over_m = 0;     ///< on all spools that are cut from, together
  double price = 0;           ///< of what must be bought, in the job's currency; the shelf is free
  double shelf_m = 0;         ///< lies on the shelf in this colour
  bool shelf_enough = false;  ///< nothing needs to be bought
  bool proven = false;        ///< no cutting of these runs costs less or takes fewer spools
  std::vector<std::string> too_long;  ///< runs for which no spool is long enough
};

/// A run's length taken from a spool.
struct SpoolCut {
  int run = -1;  ///< into Ends::runs
  std::string id;
  double length_m = 0;
  int day = 0;  ///< of work on which it is pulled; 0 = not told
};

/// One spool (or ready-made lead) that is cut from.
struct Spool {
  std::string name;  ///< "A1": a letter for the cable, a number for the spool
  std::string cable, colour;
  double length_m = 0;
  double price = 0;  ///< 0 where it lies on the shelf
  bool on_shelf = false;
  bool lead = false;           ///< with its connectors on: taken whole, for one run
  std::vector<SpoolCut> cuts;  ///< in cutting order: as the days pull them
  double left_m = 0;
  bool nearly_out = false;  ///< less is left than the contingency of what is cut from it
};

struct HoleRow {
  std::string name, crossing, kind;
  std::string tile;  ///< "C4", or empty
  Vec3 centre;
  double from_edge_u_m = 0,
         from_edge_v_m = 0;  ///< of a tile: hole's centre from its low u, v sides
  double bundle_m = 0, diameter_m = 0, thickness_m = 0;
  double bare_m = 0;      ///< to cut if no grommet asked for more
  double built_m = 0;     ///< recorded as cut so wide; less than diameter_m: to widen; 0 = not told
  bool existing = false;  ///< nothing to cut
  bool cut_already = false;  ///< recorded as built and wide enough: nothing to cut either
  bool larger_than_allowed = false;
  std::string no_grommet;  ///< would line it, had it been cut as that asks: it is bare as it is
  std::vector<std::string> runs;
  bool to_widen() const { return built_m > 0 && built_m < diameter_m - 1e-6; }
};

/// Raceway of one size.
struct RacewayRow {
  std::string raceway;
  double width_m = 0, depth_m = 0;
  double length_m = 0;  ///< of all its pieces, each along its longest edge
  int pieces = 0;       ///< as they are cut, those there already among them
  int stocks = 0;       ///< lengths that are cut from, the shelf's included
  double stock_length_m = 0;
  int to_buy = 0;       ///< of those, from the shop
  bool proven = false;  ///< these pieces cannot be cut from fewer bought lengths
};

/// A box on a face that jacks sit in. Its sides are level and upright on the sheet. Metres.
struct OutletBox {
  std::string name;                   ///< "B2"; empty where it is there already
  int sheet = -1;                     ///< into Room::sheets
  Vec3 centre;                        ///< on the sheet
  double half_u_m = 0, half_v_m = 0;  ///< half its width and height, along the sheet's u and v
  std::vector<int> ends;              ///< that sit in it, into Ends::ends
  bool there = false;                 ///< it was put up with what lies there: nothing to mount
};

/// A piece of raceway as it is cut. Lengths in metres.
struct RacewayPiece {
  std::string name;  ///< "R3"
  std::string raceway;
  int type = -1;             ///< into Catalogue::raceways
  int sheet = -1;            ///< into Room::sheets
  Vec3 from, to;             ///< on its centreline, where its longest edge begins and ends
  double length_m = 0;       ///< along its longest edge, mitres included
  std::string start, end;    ///< how its ends are cut, and the fitting: "square, joiner 18 x 9"
  std::string ways_out;      ///< where cables leave between: "S4 at M+110, 1.20 m from the start"
  std::string stock;         ///< "40 x 25 no. 2": what it is cut from; empty: none is long enough
  double stock_m = 0;        ///< its whole length
  double stock_taken_m = 0;  ///< of that, by this cut with its kerf
  double stock_left_m = 0;   ///< after this cut
  int fixings = 0;
  int fittings = 0;       ///< put on with it: where pieces meet, one of them has the fitting
  std::vector<int> runs;  ///< that lie in it, into Ends::runs, ascending
  bool fixed = false;     ///< recorded as built: nothing to cut
  /// From the tracks that it is planned on to its own line; empty: it lies on its track.
  std::vector<Vec3> aside = {};
};

/// A spot of floor to stand on, with a ladder.
struct LadderPlace {
  std::string name;  ///< "L1"
  Vec3 floor;
  std::string tile;   ///< that is lifted above it; empty where there is none
  bool free = true;   ///< false: something stands there and must be moved first
  std::string where;  ///< "1.20 m from Wall left, 0.90 m from Wall back"
};

/// One thing to do, in the order of doing.
struct WorkStep {
  int day = 1;
  std::string place;                ///< "L1", "at the floor", "at the gear", "at the ends"
  std::string task;                 ///< of kStandardTasks
  std::string text;                 ///< for the person who does it
  std::vector<std::string> runs;    ///< in the order of handling
  std::vector<std::string> things;  ///< holes, tiles or pieces that it is about
  double count = 0;                 ///< of what the task's minutes are for
  double minutes = 0, least = 0, most = 0;
};

/// Fittings of one kind and size.
struct RacewayFitting {
  std::string raceway, kind;
  int count = 0;
  double price = 0;  ///< of one
};

/// What is seen of the work from one eye point. Metres of way: cables that lie together count once.
struct SeenFrom {
  std::string eye;
  double open_m = 0, closed_m = 0;                    ///< curtains open; closed
  double open_weighted_m = 0, closed_weighted_m = 0;  ///< those that blend in count less
  int open_things = 0, closed_things = 0;             ///< fittings and ends
  std::string words;  ///< a sentence: "From Seat left you will see 0.40 m, behind M+030."
  std::string where;  ///< of the longest stretch: "behind M+030"
};

/// A stretch of way, or a thing, that an eye sees.
struct SeenStretch {
  std::string eye;
  bool curtains_closed = false;
  std::string what;  ///< "cable", "raceway", "fitting" or "end"
  double metres = 0, weighted_m = 0;
  double contrast = 1;
  std::string where;
  Vec3 at;
  std::vector<std::string> runs;
};

/// Cable that crosses open floor under a ramp.
struct RampRow {
  std::string name, end, wall;  ///< from the foot of which wall to which end
  Vec3 from, to;
  double length_m = 0;
  double inside_m = 0;  ///< least clear height
  double inside_width_m = 0;
  bool on_walkway = false;
  bool there = false;  ///< laid with a recorded run: nothing to buy
  std::vector<std::string> runs;
};

/// What to buy, to cut and to drill.
struct Takeoff {
  std::vector<RunRow> runs;        ///< one for each of Ends::runs
  std::vector<CableTotal> totals;  ///< in the order of their first run
  std::vector<Spool> spools;       ///< by cable in the order of totals
  std::vector<HoleRow> holes;
  std::vector<OutletBox> boxes;                  ///< those to mount first, by name
  std::vector<RacewayRow> raceways;              ///< in the catalogue's order
  std::vector<RacewayPiece> raceway_pieces;      ///< by sheet, from left to right
  std::vector<RacewayFitting> raceway_fittings;  ///< by size, then kind
  std::vector<LadderPlace> ladder_places;
  std::vector<WorkStep> steps;  ///< the whole work, day by day
  int ladder_moves = 0;
  bool fewest_places = false;  ///< proven: no day could do with fewer places to stand
  bool fewest_moves = false;   ///< proven: no other days, or rounds of those places, take fewer
  int supports = 0;
  double cut_m = 0;            ///< all runs to cut
  double to_buy = 0;           ///< the shopping list's sum, in the job's currency
  std::vector<SeenFrom> seen;  ///< one for each of Ends::eyes
  std::vector<SeenStretch> seen_stretches;
  std::vector<RampRow> ramps;
  std::vector<GaugeChosen> gauges;  ///< of runs that left theirs open
  std::vector<Table> tables;        ///< every further list, in the order of a report
};

}  // namespace roomloom
