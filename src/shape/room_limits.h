#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "shape/lying.h"
#include "shape/path.h"
#include "types/ends.h"

namespace roomloom {

/// Those of a set, ascending.
std::vector<int> places_in(RacewayPlaces places);
/// `wanted` if there is one; else the last before it, else the first.
int nearest_place(RacewayPlaces places, int wanted);

/// How far a lane may lie from the trunk's centreline.
struct LaneLimits {
  /// low <= dot(lane, axis) <= high; or within one of several such intervals, each so many times
  /// `pitch` further along: the clear widths of raceways side by side, each for cables of
  /// `capacity_m2` in all.
  struct Interval {
    Vec3 axis;
    double low = 0, high = 0;
    RacewayPlaces places = kOnTrack;
    double pitch = 0;
    bool face = false;  ///< the axis is a sheet's normal, and below `low` the cable sinks into it
    double capacity_m2 = 0;
  };
  /// At most `radius` off a line of that direction.
  struct Round {
    Vec3 direction;
    double radius = 0;
  };
  std::vector<Interval> intervals;
  std::vector<Round> rounds;

  /// By how many metres a lane breaks the limits, all added up; 0 if none.
  double broken_by(const Vec3& lane) const;

  /// The same, but of raceways side by side only the one in that place (the last before it, or else
  /// the first, if it has none).
  LaneLimits in_one_raceway(int place) const;
};

/// Low and high end of what the limits leave free along an axis.
std::pair<double, double> free_along(const std::vector<LaneLimits>& limits, const Vec3& axis);

/// The raceway bought on an edge, if any.
struct RacewayOnEdge {
  const RacewayType* type = nullptr;
  int index = -1;  ///< into Catalogue::raceways
  RacewayPlaces places = kOnTrack;
  double capacity_m2 = 0;  ///< of cable that each may hold
  std::vector<int> runs;
  /// From the track to the middle of the section: its back lies on the sheet, and in a corner
  /// its side does not sink into the next sheet.
  Vec3 seat;
};
/// Where what is there already does, none is put beside it.
std::map<int, RacewayOnEdge> raceways_by_edge(const Plan& plan, const Tracks& tracks,
                                              const Room& room, const Job& job,
                                              const LyingPlaces& lying);

/// Where raceways lie side by side the first lies on the track and the others beside it, each a
/// width further this way: square to the track at `at`, on the sheet, towards the sheet's middle.
Vec3 side_by_side(const Sheet& sheet, const Vec3& at, const Vec3& direction);

/// The sheet an edge is fixed to, or none.
const Sheet* sheet_of(const TrackEdge& edge, const Room& room);

/// Limits of a cable of that diameter along its way, one an edge: the raceway's clear section, the
/// hole or conduit it passes, the face it lies on, the height over the tiles.
std::vector<LaneLimits> lane_limits(const TrackPath& path, double diameter_m, const Tracks& tracks,
                                    const std::map<int, RacewayOnEdge>& raceways, const Room& room,
                                    const Preferences& prefer);

struct Segment {
  Vec3 a, b;
};

/// How badly a straight stretch, as moved from `track` into its lane, runs into what stands in the
/// void or zone that is its home: 1 if it does, 0.01 if it only comes closer than the clearance, 0
/// if neither. What the track itself does already does not count.
double obstruction(const PlaceId& home, const Segment& track, const Segment& moved,
                   double diameter_m, const Room& room, const Ends& ends);

}  // namespace roomloom
