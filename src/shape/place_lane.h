#pragma once

#include <array>
#include <functional>
#include <vector>

#include "shape/room_limits.h"

namespace roomloom {

/// A cable beside a straight way, seen along it: no centre may lie nearer than `need_m`.
struct Beside {
  Vec2 at;
  double need_m = 0;
};

/// A cable that crosses a straight way, or runs aslant to it.
struct Across {
  Segment cable;  ///< as it lies
  Segment way;    ///< what it must keep off, in the middle of the section
  double need_m = 0;
};

/// A place that a lane would like to have, in the section.
struct Wish {
  Vec2 at;
  /// Which coordinates of it cost a step aside if they are missed: none, those along `axis` or all.
  enum class Kind { near, along_axis, both } kind = Kind::near;
  Vec2 axis;
};

/// A lane to be found for one cable on a straight way. Coordinates are along the two axes.
struct LaneTask {
  double diameter_m = 0;
  std::array<Vec3, 2> axes;
  std::vector<LaneLimits> limits;
  std::vector<Beside> beside;
  std::vector<Across> across;
  std::vector<Wish> wishes;
  Vec2 target;       ///< where it would lie by itself
  Vec3 from_anchor;  ///< from the anchor to the way: what is else equal lies nearer to it
  /// How badly an offset runs into what stands in the room: 1, or 0.01 if it is only too near.
  std::function<double(const Vec3& offset)> obstruction;

  /// Adds a cable beside, unless one there needs as much already.
  void keep_off(const Beside& cable);
};

struct FoundLane {
  Vec2 at;
  bool free = false;  ///< false: it is only the least bad
};

/// The cheapest free place: nearest to where wishes and target pull it, without a step aside if it
/// can be had. Exact for one target among discs in a rectangle: a nearest free place is the target
/// itself, or lies on one disc or side, or where two of them meet.
/// @cost  (discs and sides)^2
FoundLane find_lane(const LaneTask& task);

/// Cables that come together in a hole and lie at `now`: none where they lie apart and within it;
/// where the first left no room for the others, as one bundle about its middle.
std::vector<Vec2> bundled(const std::vector<const LaneTask*>& cables, const std::vector<Vec2>& now);

}  // namespace roomloom
