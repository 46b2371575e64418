#pragma once

#include "base/vec.h"

namespace roomloom {

/// Whether `p` lies in the box of `size` along the frame's axes from its origin, or within
/// `slack_m` of each of its sides. Metres.
inline bool in_framed_box(const Frame& frame, const Vec3& size, const Vec3& p, double slack_m) {
  const Vec3 local = frame.to_local(p);
  for (int axis = 0; axis < 3; ++axis)
    if (local[axis] < -slack_m || local[axis] > size[axis] + slack_m) return false;
  return true;
}

}  // namespace roomloom
