#pragma once

#include "room/airs.h"
#include "room/roles.h"

namespace roomloom {

/// Openings, furniture, vents and the like as keep-outs on the sheets they lie in or stand close
/// to.
void find_keep_outs(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                    const std::vector<Opening>& openings, Room& room);
/// Stud bays of walls that may be fished, with plates into them and holes out of them.
void find_bays(const Scene& scene, const Job& job, Room& room);
/// Existing holes and conduits.
void find_ready_ways(const Scene& scene, const Job& job, Room& room);
/// Hidden places; where doors, cupboards and seats move and people walk; mains.
void find_zones(const Scene& scene, const Job& job, Room& room);
void find_swept(const Scene& scene, const Job& job, Room& room);
/// Which parts stand between an eye and what is behind them.
void find_hiding(const Scene& scene, const Job& job, Room& room);
void find_power(const Scene& scene, const Job& job, const Vec3& ahead, Room& room);

/// The void that holds the point, or the sheet it touches (within `near_m`).
PlaceId place_at(const Room& room, const Vec3& point, double near_m);
/// The wall that runs along the box and is nearest to it, -1 if none is `within` metres.
int wall_beside(const Room& room, const UprightBox& box, double within);
/// The box's middle lies in the room, or all but.
bool in_room(const Room& room, const Box3& box);
/// A part's length in its extras, or 0.
double extra_length(const Part& part, const std::string& key);

}  // namespace roomloom
