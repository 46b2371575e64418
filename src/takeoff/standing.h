#pragma once

#include <vector>

#include "types/takeoff.h"

namespace roomloom {

/// Where one may stand with a ladder.
struct Spot {
  Vec3 floor;
  std::string tile;  ///< that can be lifted above it
  int grid = -1;     ///< of that tile, into Room::grids
  bool free = true;  ///< nothing stands there
};

/// The middles of tiles that can be lifted and, where there is no suspended ceiling, points of a
/// grid over the floor; each with whether gear, furniture or a door stands or moves there.
std::vector<Spot> standing_spots(const Room& room, const Ends& ends);

/// Something high that must be reached; over a ceiling only through a lifted tile.
struct HighPoint {
  Vec3 at;
  bool over_ceiling = false;
};

struct Standing {
  std::vector<int> spots;    ///< chosen, into the spots
  std::vector<int> spot_of;  ///< for each point, the chosen spot that it is reached from
  bool proven = false;       ///< fewest spots
};

/// Spots from which a point is within reach sideways, ascending: those that are free, others where
/// none of these is, and the nearest where nothing is within reach.
std::vector<int> spots_for(const HighPoint& point, const std::vector<Spot>& spots, double reach_m);

/// The fewest spots that reach all points.
/// @param reached_from  by point, as spots_for() has them
Standing choose_standing(const std::vector<HighPoint>& points,
                         const std::vector<std::vector<int>>& reached_from,
                         const std::vector<Spot>& spots);

/// "1.20 m from Wall left, 0.90 m from Wall back".
std::string spot_words(const Spot& spot, const Room& room, DisplayUnits units);

}  // namespace roomloom
