#pragma once

#include <array>
#include <set>
#include <utility>
#include <vector>

#include "shape/path.h"
#include "types/ends.h"

namespace roomloom {

/// A run's way with what is needed to tell whether it gets into another's.
struct LanePath {
  int run = -1;  ///< into Ends::runs
  double diameter_m = 0;
  TrackPath path;
  std::vector<int> tracks;   ///< all track edges it takes: those of `path` may stand for several
  std::vector<bool> shared;  ///< one an edge: do other runs use it?
  /// One an edge: may the cable step aside here, because a raceway changes its size or because it
  /// is the way between a raceway and a hole? Or empty.
  std::vector<bool> steps_aside;
  std::vector<bool> rigid;  ///< one an edge: a hole, in which no cable bends
  LaneSpan span;

  /// A stretch that stays straight in any lane, lies in one place and is loose or not throughout.
  struct Leg {
    std::size_t from = 0, to = 0;  ///< points of the path
    PlaceId home;
    bool loose = false;     ///< the cable lies free
    bool crossing = false;  ///< through a hole
    /// The shares [low, high] of it, 0..1, outside every fitting; none if it is loose.
    std::vector<std::pair<double, double>> cores;
  };
  std::vector<Leg> legs;
  std::vector<std::size_t> fittings;  ///< points of the path at which there is one
};

/// A place, to a micrometre.
using PlaceKey = std::array<long long, 3>;
PlaceKey place_key(const Vec3& place);

/// Corners and ends of the paths, and where raceways change their size: places that make a fitting
/// for every path that comes by.
std::set<PlaceKey> fitting_places(const std::vector<LanePath>& paths);

/// Cuts the paths into legs and finds the fittings, where cables may overlap as drawn: a corner or
/// an end of any of the paths, four diameters (or the bend, if it is longer) to either side.
/// `bend_radius_m` is one a path.
void mark_legs(std::vector<LanePath>& paths, const std::vector<double>& bend_radius_m,
               const Tracks& tracks);

/// The ends of the legs of a path whose points lie at `points`: legs.size() + 1 of them.
std::vector<Vec3> leg_points(const LanePath& path, const std::vector<Vec3>& points);

/// How two cables get into each other's way, from harmless to not allowed.
enum class Meeting { none, loose, fitting, straight };

/// Of two legs as they lie, whose cables need `need_m` between their centres.
Meeting leg_meeting(const LanePath::Leg& a, const Vec3& a0, const Vec3& a1, const LanePath::Leg& b,
                    const Vec3& b0, const Vec3& b1, double need_m);

/// Least distance between the centres of two cables that touch, less a micrometre.
double needed_distance(const LanePath& a, const LanePath& b);

struct Conflict {
  Meeting worst = Meeting::none;
  Vec3 at;                         ///< of the worst
  std::set<std::size_t> fittings;  ///< points of the first path nearest to overlaps in fittings
};

/// Pairs of legs of two paths that come within `reach_m` of each other.
using NearPairs = std::vector<std::pair<std::size_t, std::size_t>>;
NearPairs near_pairs(const LanePath& a, const LanePath& b, double reach_m);

/// Compares two paths by their leg points. Stops at the first conflict on a straight stretch if
/// `stop_at_straight`.
Conflict find_conflict(const LanePath& a, const std::vector<Vec3>& a_points, const LanePath& b,
                       const std::vector<Vec3>& b_points, const NearPairs& near,
                       bool stop_at_straight);

}  // namespace roomloom
