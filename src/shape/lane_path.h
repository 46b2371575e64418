#pragma once

#include <array>
#include <set>
#include <vector>

#include "shape/path.h"
#include "shape/room_limits.h"

namespace roomloom {

/// A run's way with what is needed to find it a lane. Vectors are one an edge of `path`.
struct LanePath {
  int run = -1;   ///< into Ends::runs
  int rank = -1;  ///< of its id among all ids: what does not depend on the order of the runs
  double diameter_m = 0;
  double bend_radius_m = 0;
  TrackPath path;
  std::vector<int> tracks;   ///< all track edges it takes: those of `path` may stand for several
  std::vector<bool> shared;  ///< do other runs use it?
  std::vector<bool> rigid;   ///< a hole, in which no cable bends
  std::vector<bool> loose;   ///< the cable lies free there and has no lane
  std::vector<double>
      room_m2;  ///< clear section in which it may step aside; infinite on open faces
  std::vector<LaneLimits> limits;
  std::vector<int> lies_in;  ///< of raceways side by side: in which already; -1 = in none yet
};

/// Does a cable lie free on the edge: in a hidden place, or on its way from a track to a tip?
bool lies_loose(const TrackEdge& edge);

/// A place, to a micrometre.
using PlaceKey = std::array<long long, 3>;
PlaceKey place_key(const Vec3& place);

/// Corners and ends of the paths: places that make a fitting for every path that comes by.
std::set<PlaceKey> fitting_places(const std::vector<LanePath>& paths);

/// Within a fitting, this many diameters to either side of a bend, drawn cables may overlap.
constexpr double kFittingReach = 4;

}  // namespace roomloom
