#pragma once

#include <vector>

#include "shape/lanes.h"

namespace roomloom {

/// A run's passage through a crossing: indices of its lane, and of the edge along the lane's line.
struct Passage {
  std::size_t path = 0;
  std::size_t edge = 0;
};

/// All that pass a crossing at one point of it.
struct HolePassages {
  int crossing = -1;
  Vec3 from, to;  ///< of the track, along the crossing's normal
  std::vector<Passage> passages;
};

std::vector<HolePassages> find_holes(const Lanes& lanes, const Tracks& tracks, const Room& room);

}  // namespace roomloom
