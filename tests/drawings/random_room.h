#pragma once

#include "drawings/hand_made.h"

namespace roomloom::testing {

/// What a random room is made of.
struct RandomRoomSpec {
  unsigned seed = 1;
  int ends_on_front = 12;   ///< sockets on the front wall, in one row or several
  int ends_on_ceiling = 6;  ///< each through a hole of its own
  bool long_names = false;
};

/// A room of random size, its furniture, doors and ducts anywhere, raceway along the front wall
/// that loses a run at each socket, runs below the ceiling, one over the floor and one in a
/// conduit. Nothing in it need be wise: it is there to be drawn.
HandMade random_room(const RandomRoomSpec& spec);

}  // namespace roomloom::testing
