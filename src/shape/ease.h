#pragma once

#include <functional>
#include <vector>

#include "shape/path.h"
#include "types/ends.h"

namespace roomloom {

/// How many sheets the straight way from a to b passes through; touching one is not passing.
int sheets_passed(const Vec3& a, const Vec3& b, const Room& room);

/// What one run's drawn line must keep to.
struct EaseRules {
  double radius_m = 0;  ///< least radius of the cable's centreline
  /// One a segment of the path: no cable bends there.
  std::function<bool(const PathEdge&)> is_rigid;
  /// One a segment: the cable stays within the section of a raceway there.
  std::function<bool(const PathEdge&)> in_raceway;
  /// What the place allows at a corner of the path (0 < i < points.size() - 1); may be infinite.
  std::function<double(const TrackPath&, std::size_t i)> cap_m;
  /// Whether a cable may lie along a -> b, which belongs to that edge.
  std::function<bool(const PathEdge&, const Vec3& a, const Vec3& b)> is_clear;
};

/// One segment for each straight stretch that `same` tells to lie in one place, instead of one an
/// edge. Points for which `keep` holds stay.
TrackPath merge_straight(const TrackPath& path,
                         const std::function<bool(const PathEdge&, const PathEdge&)>& same,
                         const std::function<bool(const Vec3&)>& keep);

/// Lays the corners of a path so that the cable's radius fits, as a person would: where a leg is
/// too short, its corners move apart along the legs before and after it, so that the jog becomes a
/// slant; before and behind a hole the cable comes onto the hole's axis; points that only make a
/// jog are left out. Only corners that are tight for want of room move, none moves further than it
/// must by much, and both ends and all holes stay where they are. Corners that nothing helps stay
/// as they are.
///
/// A corner between two raceways moves only if the jog stays within their section.
/// @cost   the path's corners squared times some 30.
TrackPath ease_corners(TrackPath path, const EaseRules& rules);

}  // namespace roomloom
