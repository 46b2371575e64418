#pragma once

#include <vector>

#include "types/scene.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// What decides the colour of a run's jacket.
struct JacketWish {
  std::string colour;    ///< the run must have it; empty: whatever is on the shelf
  std::string why;       ///< in words, where it has a colour
  bool exposed = false;  ///< some of it lies open to view
};

/// One for each of Ends::runs: the job's own colour; else, where cable lies bare on an open face,
/// the offered colour nearest to that face's, and the darkest offered where its colour is not
/// known; else none.
/// @param scene  for the colours of the faces; may be null
std::vector<JacketWish> jacket_wishes(const Plan& plan, const Tracks& tracks, const Ends& ends,
                                      const Room& room, const Job& job, const Scene* scene);

/// Shares the runs out over spools: no run spliced, at least cost, then from the fewest spools. The
/// shelf is free; what is bought comes in the job's offers of that cable, else in the catalogue's
/// put-ups. Cable that is sold with its connectors on is bought as whole leads, one a run.
///
/// Gives `takeoff.runs` their colours with the reasons, and fills `takeoff.totals`,
/// `takeoff.spools` and `takeoff.cut_m`. Installed runs and those without a way are left out.
void plan_spools(Takeoff& takeoff, const std::vector<JacketWish>& wishes, const Ends& ends,
                 const Job& job);

/// What to buy of each cable and colour, and whether the shelf is enough.
Table cable_table(const Takeoff& takeoff);
/// Each spool that is cut from, with what is left.
Table spool_table(const Takeoff& takeoff);
/// Which run is cut from which spool, in which order; ready-made leads are not cut.
Table spool_cut_table(const Takeoff& takeoff);
/// Which ready-made lead serves which run, and what of it is over.
Table lead_table(const Takeoff& takeoff);

}  // namespace roomloom
