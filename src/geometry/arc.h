#pragma once

#include <vector>

#include "base/vec.h"

namespace roomloom {

/// A circular arc from `from` to `to` round `centre`, turning by `angle_rad` about `axis`.
struct Arc {
  Vec3 from, to, centre;
  Vec3 axis{0, 0, 1};  ///< unit; right-hand rule
  double radius_m = 0;
  double angle_rad = 0;  ///< 0..pi
  double length_m() const { return radius_m * angle_rad; }
};

/// Points along the arc, ends exact, so that the polyline's length falls short of the arc's by at
/// most `length_error_m`.
std::vector<Vec3> arc_points(const Arc& arc, double length_error_m);

/// Length that a fillet of radius r saves at a corner turning by `angle_rad`:
/// r (2 tan(angle/2) - angle). Geometry.
double fillet_saving(double radius_m, double angle_rad);

/// Angle between two directions, 0..pi.
double angle_between(const Vec3& a, const Vec3& b);

double polyline_length(const std::vector<Vec3>& points);

/// Where two segments come nearest: as shares of each, 0 at its first point and 1 at its second.
struct NearestShares {
  double on_a = 0, on_b = 0;
};
/// Of parallel segments any such place. Source: Ericson, "Real-Time Collision Detection" (2005),
/// section 5.1.9.
NearestShares nearest_shares(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1);
/// Shortest distance between two segments in space.
double segment_distance(const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1);
double point_segment_distance(const Vec3& p, const Vec3& a, const Vec3& b);

}  // namespace roomloom
