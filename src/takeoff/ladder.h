#pragma once

#include <vector>

#include "takeoff/terminations.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// The order in which cables are pulled: moulded heads first, the largest before the others, since
/// a hole is widest when it is empty; then by length times thickness, so that the longest and
/// stiffest go first. Of cables that lie, those to be led on or finished. Indices into Ends::runs.
std::vector<int> pull_order(const Takeoff& takeoff, const Ends& ends, const Job& job);

/// Orders all work: days that each leave the room usable (what is opened is closed again, what was
/// pulled that day is fitted and tested), in each the bases of raceway first, then the ladder from
/// place to place, ends and tests, and last lids and fittings of raceway and the ceiling.
///
/// The work for one cable that is too long for a day is divided where a day before can prepare it.
/// Runs through one first hole are done together, and the days are those that move the ladder
/// least (see divide_into_days). Each day takes the fewest places to stand. Places are visited so
/// that every cable is handed on outwards, in the fewest stops (see round_of).
///
/// Fills `takeoff.ladder_places`, `steps`, `ladder_moves`, `fewest_places` and `fewest_moves`;
/// spools, holes and raceway pieces must be there already. Orders the cuts of each spool by the
/// days.
void plan_work(Takeoff& takeoff, const std::vector<Termination>& terminations,
               const CableShapes& shapes, const Plan& plan, const Tracks& tracks, const Ends& ends,
               const Room& room, const Job& job);

/// The ladder sheet; its note tells the days that are longer than the job allows.
Table ladder_table(const Takeoff& takeoff, const Job& job);
Table ladder_place_table(const Takeoff& takeoff);
/// Which tiles are cut, and which are only lifted.
Table tile_table(const Takeoff& takeoff, const Room& room);
/// The cables in the order in which the ladder sheet's steps come to them.
Table pull_table(const Takeoff& takeoff, const Ends& ends, const Job& job);
/// For those who pull from open boxes and cut after: how many boxes of a cable are open at once.
Table box_table(const Takeoff& takeoff, const Ends& ends, const Job& job);

}  // namespace roomloom
