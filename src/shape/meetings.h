#pragma once

#include <string>
#include <vector>

#include "base/vec.h"

namespace roomloom {

/// A drawn way, straight from point to point.
struct DrawnWay {
  double diameter_m = 0;
  double bend_radius_m = 0;
  std::vector<Vec3> points;
  std::vector<bool> loose;  ///< one a stretch: the cable lies free there
};

/// Round the way, with the cable's diameter about it.
Box3 box_of(const DrawnWay& way);

/// How two cables get into each other's way, from harmless to not allowed.
enum class Meeting { none, loose, fitting, straight };

/// The worst of two ways, and where; and the points of the first at whose fittings they overlap.
struct Conflict {
  Meeting worst = Meeting::none;
  Vec3 at;
  std::vector<std::size_t> fittings;
};

/// A fitting reaches kFittingReach diameters of the thicker cable beyond the arc of each bend, and
/// to either side of each tip, of either way.
Conflict find_conflict(const DrawnWay& a, const DrawnWay& b);

}  // namespace roomloom
