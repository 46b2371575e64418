#pragma once

#include "takeoff/terminations.h"
#include "types/ends.h"
#include "types/scene.h"
#include "types/takeoff.h"

namespace roomloom {

/// Cuts the raceway: straight stretches of one size become one piece each (or several, joined,
/// where they are longer than a stock length), mitred or butted at corners as WorkSpec::corners
/// says, and the pieces are shared out over stock lengths at least cost, the kerf counted and the
/// shelf first.
///
/// Fills `takeoff.raceways`, `raceway_pieces` and `raceway_fittings`; `takeoff.holes`
/// and `takeoff.boxes` must be filled already.
void plan_raceway(Takeoff& takeoff, const CableShapes& shapes,
                  const std::vector<Termination>& terminations, const Ends& ends, const Room& room,
                  const Job& job);

Table raceway_piece_table(const Takeoff& takeoff, const Ends& ends, const Room& room,
                          const Scene* scene, const Job& job);
Table raceway_cut_table(const Takeoff& takeoff, const Job& job);
Table raceway_fitting_table(const Takeoff& takeoff);

}  // namespace roomloom
