#pragma once

#include <vector>

#include "takeoff/standing.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// What must be done from a ladder, and which runs it is for.
struct HighThing {
  enum class Kind { hole, support, end, piece };
  Kind kind = Kind::hole;
  int index = -1;  ///< into Takeoff::holes, CableShapes::supports, Ends::ends, raceway_pieces
  HighPoint point;
  std::vector<int> runs;  ///< into Ends::runs
};

/// Every hole above one's reach, every support in a void, and ends and raceway above one's reach,
/// each for the runs that need something done there: not what lies or hangs there already.
std::vector<HighThing> high_things(const Takeoff& takeoff, const CableShapes& shapes,
                                   const Ends& ends, const Room& room, const Job& job);

/// Whether a run needs nothing of what is at a place of its way: its cable lies there, and if it is
/// led on, from elsewhere.
bool needs_nothing_at(const RunRow& row, const Vec3& at, const Ends& ends, const AsBuilt& built);

/// Whether the cable of a run is still to be laid in a piece of raceway that is on its way.
bool is_laid_in(const RacewayPiece& piece, const RunRow& row, const Ends& ends,
                const AsBuilt& built);

/// For each of Ends::runs the high things on its way (holes, supports, raceway and its own ends),
/// outwards from its first end; none of cables that lie already: they are led on, not handed on.
std::vector<std::vector<int>> things_along(const std::vector<HighThing>& things,
                                           const Takeoff& takeoff, const Plan& plan,
                                           const Tracks& tracks, const Ends& ends);

}  // namespace roomloom
