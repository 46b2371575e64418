#pragma once

#include <vector>

#include "takeoff/raceway_joints.h"

namespace roomloom {

/// No piece is cut shorter: a mitre box does not hold it, nor do two screws. Common practice, no
/// source.
inline constexpr double kLeastPiece_m = 0.02;

/// As it is cut, ends included. Metres; may be negative where fittings overlap.
double net_length_m(const Straight& straight, const StraightEnd& start, const StraightEnd& end);

/// Joins straights once those are taken out of them that would be cut shorter than kLeastPiece_m.
/// Where one goes on in its line in no smaller size, that one is as much longer; else what it
/// stood between touches, or a fitting covers it. What is fixed stays, and so does one that holds a
/// cable which lies in no other.
Joints join_without_stubs(std::vector<Straight>& straights, const Takeoff& takeoff,
                          const std::vector<Termination>& terminations, const Ends& ends,
                          const Job& job);

}  // namespace roomloom
