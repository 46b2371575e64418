#pragma once

#include <string>
#include <vector>

#include "tracks/box_room.h"
#include "types/tracks.h"

namespace roomloom::testing {

const Terminal& terminal_of(const Tracks& tracks, int end, int alternative = -1);
/// Shortest length between two ends' present places, by Boost.Graph; infinite if there is no way.
double shortest_m(const Tracks& tracks, int from, int to);
/// Everything that is wrong with the graph as geometry, one sentence each: edges off their sheet,
/// in keep-outs, through obstacles, holes too near the grid, free stretches out of their zone.
std::vector<std::string> faults(const Tracks& tracks, const Case& c);
int count(const Tracks& tracks, EdgeKind kind, Medium medium);
Tracks tracks_of(const Case& c);
/// Fails the test with the first of the faults.
void expect_sound(const Tracks& tracks, const Case& c);

}  // namespace roomloom::testing
