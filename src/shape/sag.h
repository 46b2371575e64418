#pragma once

#include "base/result.h"
#include "base/vec.h"

namespace roomloom {

/// A cable hung from two fixings, bearing only its own weight. Stiffness and stretch are left out.
struct HangingSpan {
  double length_m = 0;     ///< along the cable, fixing to fixing
  double sag_m = 0;        ///< greatest plumb distance below the chord
  double parameter_m = 0;  ///< a of y = a cosh(x / a); infinite if taut, 0 if plumb
};

/// How `length_m` of cable hangs between two fixings in the room frame (Z up), level or not.
/// @error `sag.too-short` the cable is shorter than the straight distance;
///        `sag.not-finite` a number is not finite.
/// Source: catenary, length^2 - rise^2 = (2 a sinh(level / 2a))^2.
Result<HangingSpan> hang(const Vec3& from, const Vec3& to, double length_m);

/// Length of a catenary between level fixings `span_m` apart that sags by `sag_m` in the middle.
double catenary_length(double span_m, double sag_m);

/// Length of a parabola of that span and sag, exact:
/// L/2 sqrt(1 + 16 s^2) + L/(8 s) asinh(4 s), s = sag / L.
double parabola_length(double span_m, double sag_m);

/// The first two terms of its series, L + 8 h^2 / (3 L); fair while the sag stays below 5 % of the
/// span. Source: Beer & Johnston, "Vector Mechanics for Engineers: Statics", cables with
/// parabolic shape.
double parabola_series_length(double span_m, double sag_m);

/// Extra cable a metre of level way, for cable that sags by `sag_share` of every span between its
/// supports. Scale-free: it does not depend on how far apart the supports are.
double sag_extra_per_metre(double sag_share);

}  // namespace roomloom
