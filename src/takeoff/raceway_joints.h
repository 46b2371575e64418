#pragma once

#include <string>
#include <vector>

#include "types/ends.h"
#include "types/takeoff.h"

namespace roomloom {

/// A straight stretch of raceway of one size on one sheet.
struct Straight {
  int raceway = -1, sheet = -1;
  Vec3 from, to;
  Vec3 normal;            ///< away from the sheet
  std::vector<int> runs;  ///< ascending
};

/// How one end of a straight is made.
struct StraightEnd {
  std::string words;    ///< "45 deg mitre, inside corner"
  double longer_m = 0;  ///< of the longest edge, beyond the centreline's end; may be negative
};

struct Joints {
  std::vector<StraightEnd> starts, ends;  ///< one a straight
  std::vector<RacewayFitting> fittings;   ///< without prices
};

/// Stretches in line, of the same size and sheet, are one.
std::vector<Straight> straights_of(const CableShapes& shapes);

/// What is made where straights meet or stop: corners, joiners, reducers, tees; over a hole an end
/// piece, at a cable's end its box, else an end cap.
Joints join_straights(const std::vector<Straight>& straights, const Takeoff& takeoff,
                      const Ends& ends, const Job& job);

}  // namespace roomloom
