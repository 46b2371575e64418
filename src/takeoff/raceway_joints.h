#pragma once

#include <string>
#include <vector>

#include "takeoff/terminations.h"
#include "types/ends.h"
#include "types/room.h"
#include "types/takeoff.h"

namespace roomloom {

/// A part of a stretch in which the same cables lie.
struct StraightPart {
  Vec3 from, to;
  std::vector<int> runs;  ///< ascending
  Vec3 aside = {};        ///< from the track that it is planned on
};

/// A straight stretch of raceway of one size on one sheet.
struct Straight {
  int raceway = -1, sheet = -1;
  Vec3 from, to;
  Vec3 normal;            ///< away from the sheet
  std::vector<int> runs;  ///< that lie in any part of it, ascending
  bool fixed = false;     ///< recorded as built
  /// Boxes that it runs into at its ends, into Takeoff::boxes; -1 for none.
  int from_box = -1, to_box = -1;
  std::string start_is = {}, end_is = {};  ///< how the record says that its ends are made
  std::vector<StraightPart> parts = {};    ///< in no order; none: all its runs lie in all of it
};

/// Places along a stretch as far apart as this are one.
inline constexpr double kSamePoint_m = 0.005;

/// How far a run lies in a stretch, from the stretch's `from`.
struct RunStay {
  int run = -1;
  double from_m = 0, to_m = 0;
};
/// By run, then along the stretch.
std::vector<RunStay> stays_in(const Straight& straight);

void turn_round(Straight& straight);

/// How one end of a straight is made.
struct StraightEnd {
  /// How it is cut, then the fitting as it is bought or what it needs none for: "45 deg mitre, flat
  /// elbow 18 x 9"; "square, into box B2 of data 5, no fitting".
  std::string words;
  double longer_m = 0;  ///< of the longest edge, beyond the centreline's end; may be negative
  int fittings = 0;     ///< of the joint, counted here
};

/// Where a cable leaves a stretch, or comes into it, through no end that is made for it.
struct WayOut {
  double along_m = 0;  ///< from the stretch's `from`
  int run = -1;        ///< into Ends::runs
  int end = -1;        ///< into Ends::ends: the run's own, if it is here
  std::string hole;    ///< name of the hole that it goes through there
};

struct Joints {
  std::vector<StraightEnd> starts, ends;      ///< one a straight
  std::vector<std::vector<WayOut>> ways_out;  ///< likewise; along the stretch
  std::vector<RacewayFitting> fittings;       ///< without prices
};

/// Stretches in line, of the same size and sheet, are one, save that what is fixed already stays by
/// itself. What lies within a box is left out: raceway is cut at both its sides.
std::vector<Straight> straights_of(const CableShapes& shapes, const std::vector<OutletBox>& boxes,
                                   const Room& room, const Job& job);

/// What is made where straights meet or stop: corners, joiners, reducers, tees, crosses; over a
/// hole an end piece, at a box the box (`takeoff.boxes`), else an end cap that lets the cables out.
/// Cables that leave a stretch elsewhere, or end at a joint, have a way out of their own. Of
/// straights side by side, those that find nothing to go on in are capped and opened into the one
/// beside them. Unequal sizes are never mitred: the larger runs through the corner and the smaller
/// butts against it; likewise what runs along the edge of a corner, with what comes to it across.
/// Every end names the one fitting that it shares in, as the shopping list has it, or says that it
/// needs none; between straights that are all fixed it is there already and not counted. Lengths
/// are to where the centrelines cross, which is not where the tracks turn unless the raceway is as
/// deep as those lie off the wall.
Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const std::vector<Termination>& terminations, const Ends& ends,
                      const Job& job);

}  // namespace roomloom
