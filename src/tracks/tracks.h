#pragma once

#include "types/ends.h"
#include "types/scene.h"
#include "types/tracks.h"

namespace roomloom {

/// Most edges a room's graph may have; past it, tracks are merged more coarsely and
/// Tracks::coarsened says so.
constexpr int kTrackEdgeBudget = 20000;

/// Lays the graph on which cables may lie into a room.
///
/// On each sheet that can be fixed to, tracks run in the sheet's own two directions (level and up)
/// where something demands them: seams, edges of openings and keep-outs, ends, holes. They stand
/// off the face by half the depth of the nominal raceway (the catalogue's middle size), so that the
/// tracks of two sheets meet on a common line at their seam. In a void they run in the void's two
/// directions at each support level. Every edge keeps clear of keep-outs, obstacles and swept
/// boxes; holes in tiles keep their edge `tee_margin_m` off the grid and clear of what a tile
/// holds. Floors are not crossed, save by the ways declared
/// in `Ends::floor_ways`: at the height of the skirting tracks, then upright to the tip.
///
/// No direction depends on the world's axes except up: turning the room about the vertical,
/// mirroring it or moving it changes no length.
///
/// @return  terminals for every end and every place it may move to; one that reaches no track has
///          node -1 and names what stands in the way. Deterministic.
/// @cost    below 0.1 s for a room within the budget of `kTrackEdgeBudget` edges.
Tracks build_tracks(const Scene& scene, const Room& room, const Ends& ends, const Job& job);

/// Half the depth of the nominal raceway: how far tracks stand off the faces they lie on. Metres.
double track_stand_off_m(const Catalogue& catalogue);

}  // namespace roomloom
