#pragma once

#include <cstdint>

#include "network/network.h"

/// Small invented problems that look like rooms: a grid of tracks, a raceway price on each edge,
/// holes that several edges lead through, places to work at.
namespace roomloom::network {

struct GridSpec {
  std::uint64_t seed = 1;
  int wide = 4;
  int deep = 3;
  int high = 2;
  int runs = 5;
  int sources = 1;
  int classes = 1;
  int shared_charges = 0;   ///< each drawn on by a handful of edges
  bool masks = false;       ///< some edges are forbidden to some classes
  bool capacities = false;  ///< edges become two options, small and large
};

Problem grid_problem(const GridSpec& spec);

}  // namespace roomloom::network
