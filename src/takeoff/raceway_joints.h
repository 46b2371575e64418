#pragma once

#include <string>
#include <vector>

#include "takeoff/terminations.h"
#include "types/ends.h"
#include "types/room.h"
#include "types/takeoff.h"

namespace roomloom {

/// A straight stretch of raceway of one size on one sheet.
struct Straight {
  int raceway = -1, sheet = -1;
  Vec3 from, to;
  Vec3 normal;                             ///< away from the sheet
  std::vector<int> runs;                   ///< ascending
  bool fixed = false;                      ///< recorded as built
  std::string start_is = {}, end_is = {};  ///< how the record says that its ends are made
};

/// How one end of a straight is made.
struct StraightEnd {
  /// How it is cut, then the fitting as it is bought or what it needs none for: "45 deg mitre, flat
  /// elbow 18 x 9"; "square, into box B2 of data 5, no fitting".
  std::string words;
  double longer_m = 0;  ///< of the longest edge, beyond the centreline's end; may be negative
  int fittings = 0;     ///< of the joint, counted here
};

struct Joints {
  std::vector<StraightEnd> starts, ends;  ///< one a straight
  std::vector<RacewayFitting> fittings;   ///< without prices
};

/// Stretches in line, of the same size and sheet, are one, save that what is fixed already stays by
/// itself.
std::vector<Straight> straights_of(const CableShapes& shapes, const Room& room, const Job& job);

/// What is made where straights meet or stop: corners, joiners, reducers, tees, crosses; over a
/// hole an end piece, at a cable's end the box that it has, else an end cap that lets the cables
/// out. Of straights side by side, those that find nothing to go on in are capped and opened into
/// the one beside them. Unequal sizes are never mitred: the larger runs through the corner and the
/// smaller butts against it. Every end names the one fitting that it shares in, as the shopping
/// list has it, or says that it needs none; between straights that are all fixed it is there
/// already and not counted. Lengths are to where the centrelines cross, which is not where the
/// tracks turn unless the raceway is as deep as those lie off the wall.
Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const std::vector<Termination>& terminations, const Ends& ends,
                      const Job& job);

}  // namespace roomloom
