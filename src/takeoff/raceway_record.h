#pragma once

#include <string>
#include <vector>

#include "takeoff/raceway_joints.h"

namespace roomloom {

/// How the ends of straights that are fixed are made, as the record of their pieces says: sets
/// Straight::start_is and end_is.
void tell_recorded_ends(std::vector<Straight>& straights, const Room& room, const Job& job);

/// Names of pieces, "R1" in their order; those that the record or the plan that this one starts
/// from named before, where they lie for the most part, keep their name.
void name_pieces(std::vector<RacewayPiece>& pieces, const Room& room, const Job& job);

/// What lies is as the record has it: as long, and with the fittings that it was put up with,
/// though the joints of this plan would be others. An end that no longer is where it was stays as
/// planned.
void lie_as_recorded(std::vector<RacewayPiece>& pieces, const Room& room, const Job& job);

/// Pieces that are recorded as fixed and that no piece of the plan is, into AsBuilt::raceway.
std::vector<int> pieces_unused(const std::vector<RacewayPiece>& pieces, const Room& room,
                               const AsBuilt& built);

/// Names of recorded pieces that go on where a new box is to be, so that they must be cut for it.
std::vector<std::string> pieces_through(const OutletBox& box, const Room& room,
                                        const AsBuilt& built);

}  // namespace roomloom
