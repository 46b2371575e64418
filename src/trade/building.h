#pragma once

/// What may be cut and drilled, and what carries cable.
namespace roomloom::trade {

/// Greatest hole in a stud or plate of this depth: 40 % if it bears, 60 % if not (or doubled).
/// Source: IRC R602.6 (flipbuilder mewf/mima p203; studylib.net 13373209).
double greatest_stud_hole_m(double depth_m, bool bearing);
/// Deepest notch in its edge: 25 % if it bears, 40 % if not. Source: as above.
double greatest_stud_notch_m(double depth_m, bool bearing);
/// From a hole's rim to the stud's edge: 5/8 in. Source: as above.
constexpr double kStudEdge_m = 0.016;
/// Nearer than this to the edge of the framing a steel plate of 1.6 mm guards the cable: 1 1/4 in.
/// Source: NEC 300.4 (ecmweb whats-wrong-here-66); cable fished into finished walls is exempt.
constexpr double kNailGuard_m = 0.032;
/// A top plate cut by more than half its width gets a steel strap, 1.37 x 38 mm. Source: IRC
/// R602.6.1.
constexpr double kPlateStrapShare = 0.5;

/// A joist's hole: a third of its depth, its rim at least 2 in from both edges; never in engineered
/// members without the maker's word. Source: hinarratives.com notching.
double greatest_joist_hole_m(double depth_m);
constexpr double kJoistEdge_m = 0.051;

/// Hooks: 48 to 60 in apart. Source: TIA-569-A 4.6.5 (cablinginstall.com 16466910).
constexpr double kSupportSpacing_m = 1.524;
/// Cable over tiles: 3 in clear. Source: BICSI TDMM (Panduit p8-10rht6-t p112).
constexpr double kOverTiles_m = 0.075;
/// Cables in one bundle. Source: montana.edu/uit/wiringguidelines.
constexpr int kBundleGreatest = 24;

/// A hole of more than this share of a tile's shorter side leaves too little tile. Common practice,
/// no source.
constexpr double kTileHoleShare = 1.0 / 3;
/// Cable that lies coiled on one tile. A tile of 600 x 600 mm weighs some 1.5 kg itself. Common
/// practice, no source.
constexpr double kTileCoil_kg = 0.5;

/// Wiring is presumed straight above, below and beside an outlet or switch, this far either side.
/// Common practice, no source; national rules name such zones.
constexpr double kPresumedWiring_m = 0.075;
/// Tiles and coatings older than this are tested before they are cut (spray1.com,
/// instceil.blogspot.com); paint older than the second by lead-safe work (diyproject.ai).
constexpr int kAsbestosYear = 1980, kLeadYear = 1978;

}  // namespace roomloom::trade
