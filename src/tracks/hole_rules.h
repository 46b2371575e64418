#pragma once

#include <limits>
#include <utility>
#include <vector>

#include "geometry/polygon.h"

namespace roomloom::tracks {

/// Which of several places is taken: the nearest to what is wished; of places as near as each
/// other, such as either side of a tee, the one nearer to `also`.
struct Nearness {
  double away_m = std::numeric_limits<double>::infinity();
  double also_m = std::numeric_limits<double>::infinity();

  bool operator<(const Nearness& other) const;
};

/// Where a hole's centre may be, in the crossing's plane. Metres.
struct HoleRules {
  std::vector<std::pair<Ring, double>> inside;   ///< in the ring, this far from its edge
  std::vector<std::pair<Ring, double>> outside;  ///< out of the ring, this far from its edge
};

double ring_distance(const Ring& ring, const Vec2& p);

/// The allowed point nearest to the wish, and of those then to `also`: the wish itself, or all but
/// it, its foot on an offset line, or a corner of two offset lines. False where none is allowed.
bool nearest_allowed(const HoleRules& rules, const Vec2& wish, const Vec2& also, Vec2& best);

}  // namespace roomloom::tracks
