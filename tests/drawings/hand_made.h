#pragma once

#include <filesystem>

#include "drawings/drawings.h"

namespace roomloom::testing {

/// A room of 4 x 3 x 2.4 m, its front toward +y: a suspended ceiling of 0.6 m tiles, a void above
/// it, a stand with `runs` ports, each run going up the front wall, through hole H1 and the void to
/// an end of its own at the ceiling.
struct HandMade {
  explicit HandMade(int runs);
  DrawingRequest request(const std::filesystem::path& folder, Paper paper = Paper::a3) const;
  Job job;
  Scene scene;
  Room room;
  Ends ends;
  Tracks tracks;
  Plan plan;
  CableShapes shapes;
  Takeoff takeoff;
};

}  // namespace roomloom::testing
