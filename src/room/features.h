#pragma once

#include "room/airs.h"

namespace roomloom {

/// Openings, furniture, vents and the like as keep-outs on the sheets they lie in or stand close
/// to.
void find_keep_outs(const Scene& scene, const Job& job, const std::vector<Plane>& planes,
                    const std::vector<Opening>& openings, Room& room);
/// Stud bays of walls that may be fished, with plates into them and holes out of them.
void find_bays(const Scene& scene, const Job& job, Room& room);
/// Existing holes and conduits.
void find_ready_ways(const Scene& scene, const Job& job, Room& room);
/// Hidden places, what doors and seats sweep, and mains.
void find_zones(const Scene& scene, const Job& job, Room& room);
void find_swept(const Scene& scene, const Job& job, Room& room);
void find_power(const Scene& scene, const Job& job, const Vec3& ahead, Room& room);

/// The void that holds the point, or the sheet it touches (within `near_m`).
PlaceId place_at(const Room& room, const Vec3& point, double near_m);
/// A part's length in its extras, or 0.
double extra_length(const Part& part, const std::string& key);

}  // namespace roomloom
