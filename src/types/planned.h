#pragma once

#include "types/cable_shapes.h"
#include "types/ends.h"
#include "types/job.h"
#include "types/plan.h"
#include "types/room.h"
#include "types/scene.h"
#include "types/takeoff.h"
#include "types/tracks.h"

namespace roomloom {

/// Everything that a plan consists of, by reference; who reports or draws it only reads it.
struct Planned {
  const Job& job;
  const Scene& scene;
  const Room& room;
  const Ends& ends;
  const Tracks& tracks;
  const Plan& plan;
  const CableShapes& shapes;
  const Takeoff& takeoff;
};

}  // namespace roomloom
