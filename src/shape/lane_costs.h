#pragma once

#include <vector>

#include "shape/lane_lattice.h"

namespace roomloom {

/// From this cost on it is worth looking for a lane that changes on the way.
constexpr double kStepsWorthwhile = 0.9;

/// What a lane of one run costs, given those that have theirs. Of what counts only the order of
/// size matters: a broken limit or a shared straight stretch is never bought for compactness.
class LaneCosts {
 public:
  /// All of it must outlive this.
  LaneCosts(const LaneTask& task, const Room& room, const Ends& ends);

  /// Apart from other runs, of the edges first..last - 1 in a lane of one offset: broken limits,
  /// and lying off the resting place.
  double alone(std::size_t first, std::size_t last, const Vec3& offset) const;

  /// Of a straight stretch from point `low` to `high` of the path in a lane of one offset. Exact
  /// below `limit`; above it, some number not below it.
  double stretch(std::size_t low, std::size_t high, const Vec3& offset, double limit) const;

  /// Of the slant between a tip of the path and the point at which its lane is reached.
  double tip(std::size_t from, std::size_t to, const Vec3& offset, double limit) const;

  /// Of the whole way, one offset a point. Exact below `limit`.
  double whole(const std::vector<Vec3>& offsets, double limit) const;

 private:
  double edge_alone(std::size_t edge, const Vec3& offset) const;
  double leg(std::size_t index, const Vec3& a, const Vec3& b) const;

  const LaneTask& task_;
  const LanePath& run_;
  const Room& room_;
  const Ends& ends_;
  std::vector<Vec3> ways_;  // unit direction of each edge
};

}  // namespace roomloom
