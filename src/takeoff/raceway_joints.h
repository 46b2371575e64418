#pragma once

#include <string>
#include <vector>

#include "types/ends.h"
#include "types/room.h"
#include "types/takeoff.h"

namespace roomloom {

/// A straight stretch of raceway of one size on one sheet.
struct Straight {
  int raceway = -1, sheet = -1;
  Vec3 from, to;
  Vec3 normal;            ///< away from the sheet
  std::vector<int> runs;  ///< ascending
  bool fixed = false;     ///< recorded as built
};

/// How one end of a straight is made.
struct StraightEnd {
  std::string words;    ///< "45 deg mitre, inside corner"
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

/// What is made where straights meet or stop: corners, joiners, reducers, tees; over a hole an end
/// piece, at a cable's end its box, else an end cap that lets the cables out. Unequal sizes are
/// never mitred: the larger runs through the corner and the smaller butts against it. Fittings
/// between straights that are all fixed are there and not counted.
Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const Ends& ends, const Job& job);

}  // namespace roomloom
