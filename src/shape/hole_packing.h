#pragma once

#include <vector>

#include "shape/lanes.h"

namespace roomloom {

/// A run's passage through a crossing: indices into the paths, and of the edge along the path.
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

std::vector<HolePassages> find_holes(const std::vector<LanePath>& paths, const Tracks& tracks,
                                     const Room& room);

/// Draws the cables of a hole together, as a bundle round its axis, where their lanes would need a
/// wider hole: each goes to the place of its size that makes all of them step aside least. Holes in
/// which a run ends are left as they are.
void pack_holes(const std::vector<LanePath>& paths, Lanes& lanes, const Tracks& tracks,
                const Room& room);

}  // namespace roomloom
