#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "geometry/triangles.h"

namespace roomloom {

/// Pieces [t0, t1] of a segment, sorted and disjoint, t from 0 to 1.
using Spans = std::vector<std::pair<double, double>>;
double total(const Spans& spans);
Spans united(const Spans& a, const Spans& b);
Spans common(const Spans& a, const Spans& b);
/// What of [0, 1] lies in none of them.
Spans rest_of(const Spans& spans);

/// What opaque triangles hide from an eye. Each throws a shadow on a segment: an interval, found
/// exactly; nothing is sampled.
class Sight {
 public:
  /// @param triangles  of `points`; both faces hide
  Sight(std::vector<Vec3> points, std::vector<std::array<std::uint32_t, 3>> triangles);
  Sight(const Sight&) = delete;
  Sight& operator=(const Sight&) = delete;

  bool empty() const { return triangles_.empty(); }
  /// The pieces of a -> b that something hides from the eye. What lies within 3 mm of the segment
  /// itself hides nothing: that is what it is fixed to.
  Spans hidden(const Vec3& eye, const Vec3& a, const Vec3& b) const;
  bool sees(const Vec3& eye, const Vec3& p) const;

 private:
  std::vector<Vec3> points_;
  std::vector<std::array<std::uint32_t, 3>> triangles_;
  TriangleTree tree_;
};

}  // namespace roomloom
