#pragma once

#include "types/ends.h"
#include "types/job.h"
#include "types/room.h"
#include "types/scene.h"

namespace roomloom {

/// Puts gear, ports and ends where they are in the room, and resolves every run to two of them.
///
/// A place on a wall is measured as one sees it from inside the room: from its left (or right) edge
/// at that height, up from the floor. On floors and ceilings alike `up` counts from the edge near
/// one who stands with the plan's y ahead, and the left edge is the one at that depth; how far from
/// which walls such ends lie is told. A loudspeaker label or a direction is a ray from the listener
/// to the first sheet; where it lands in an opening, a keep-out or behind an obstacle, the nearest
/// place within the label's allowed range is taken, and said. Points and markers belong to the
/// sheet within `kReachOfSurface_m` of them; from `kHeldBySheet_m` on, a short zone reaches from
/// the sheet to the end. One behind a face is brought to the face, and told.
///
/// Gear stands with its back to its wall, its ports on its back; behind it, as far as the wall, is
/// a free zone. An end that stands on the floor, neither in a hidden place nor within
/// `kHugsWall_m` of a wall, gets a `FloorWay` from the nearest wall from whose foot the floor is
/// clear, with its two zones and a guess that warns of the crossing. A run that names only a
/// component takes the port named as the run or its other end, else the first that is free.
///
/// @return  every problem at once in `problems`, each with the job's path and a JSON pointer; a run
///          with an end that has no place is left out of `runs` and named there. Deterministic.
///          Codes: `place.part` · `place.marker` · `place.outside` · `place.opening` ·
///          `place.surface` · `place.listener` · `place.facing` · `place.label` · `place.range` ·
///          `place.gear` · `place.port` · `place.name` · `place.same` · `place.alternative` ·
///          `place.run`
/// @cost    milliseconds: a tree of the model's triangles and a ray for each direction tried.
Ends place_ends(const Scene& scene, const Room& room, const Job& job);

/// Runs that no piece of their cable reaches along, even straight: `place.spool`. Such a run is
/// planned all the same and told by the check piece-length; where other problems stop the job, this
/// is told with them.
std::vector<Error> short_cables(const Ends& ends, const Job& job);

/// A point further than this from every surface is not mounted on one. Common practice, no source.
constexpr double kReachOfSurface_m = 0.30;

/// Cable to an end this near its sheet lies at the sheet; farther off it hangs free. Metres.
constexpr double kHeldBySheet_m = 0.06;

/// Nothing that stands on the floor has its socket higher than this. Common practice, no source.
constexpr double kTallestStand_m = 1.2;

/// Gear farther than this from every wall stands free: its cable goes over the floor. Metres.
constexpr double kFarthestWall_m = 1.2;

/// An end on the floor this near a wall hugs it: cable goes straight to it. Metres.
constexpr double kHugsWall_m = 0.08;

}  // namespace roomloom
