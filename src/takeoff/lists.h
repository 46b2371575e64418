#pragma once

#include "types/takeoff.h"

namespace roomloom {

/// One row a run; between the columns Drawn and Cut stand the addends, so that each row sums up.
Table length_table(const Takeoff& takeoff);
/// One row a hole, as the model holds it. The hole schedule tells how to mark it.
Table hole_list(const Takeoff& takeoff, const CableShapes& shapes, const Room& room,
                DisplayUnits units);
/// One row a size.
Table raceway_list(const Takeoff& takeoff);

}  // namespace roomloom
