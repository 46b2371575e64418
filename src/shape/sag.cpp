#include "shape/sag.h"

#include <cmath>
#include <limits>

namespace roomloom {
namespace {

// The root of a falling or rising function on [low, high], where its sign changes.
template <typename Function>
double bisected(Function f, double low, double high) {
  const bool rising = f(high) > f(low);
  for (int i = 0; i < 200 && high - low > 1e-16 * (1 + std::fabs(low)); ++i) {
    const double middle = 0.5 * (low + high);
    ((f(middle) > 0) == rising ? high : low) = middle;
  }
  return 0.5 * (low + high);
}

// u = level / 2a with sinh(u) / u = ratio > 1.
double solve_sinh_ratio(double ratio) {
  double high = 1;
  while (std::sinh(high) / high < ratio) high *= 2;
  return bisected([&](double u) { return u > 0 ? std::sinh(u) / u - ratio : 1 - ratio; }, 0, high);
}

// Greatest plumb distance between the chord and the catenary of parameter a: where its slope is
// the chord's. The curve's lowest point lies `offset` from the middle of the span.
double sag_below_chord(double a, double level, double rise) {
  const double half = level / 2;
  const double offset = a * std::asinh(rise / (2 * a * std::sinh(half / a)));
  const double x = a * std::asinh(rise / level);
  const double left = offset - half;
  const double chord = a * std::cosh(left / a) + (x - left) * rise / level;
  return chord - a * std::cosh(x / a);
}

}  // namespace

Result<HangingSpan> hang(const Vec3& from, const Vec3& to, double length_m) {
  if (!is_finite(from) || !is_finite(to) || !std::isfinite(length_m))
    return Error{"sag.not-finite", "A fixing or the length of a hanging cable is not a number", "",
                 ""};
  const double straight = distance(from, to);
  if (length_m < straight * (1 - 1e-12))
    return Error{"sag.too-short", "The cable is shorter than the distance between its fixings", "",
                 "Allow more length between the supports."};
  const double rise = to.z - from.z;
  const double level = std::hypot(to.x - from.x, to.y - from.y);
  HangingSpan span{length_m, 0, std::numeric_limits<double>::infinity()};
  if (level <= 1e-9) {  // plumb: what is too long hangs as a loop below the lower fixing
    span.parameter_m = 0;
    span.sag_m = (length_m - straight) / 2;
    return span;
  }
  const double ratio = std::sqrt(length_m * length_m - rise * rise) / level;
  if (ratio <= 1 + 1e-14) return span;
  span.parameter_m = level / (2 * solve_sinh_ratio(ratio));
  span.sag_m = sag_below_chord(span.parameter_m, level, rise);
  return span;
}

double catenary_length(double span_m, double sag_m) {
  if (sag_m <= 0 || span_m <= 0) return span_m;
  // sag / span = (cosh u - 1) / 2u with u = span / 2a
  const double ratio = sag_m / span_m;
  double high = 1;
  while ((std::cosh(high) - 1) / (2 * high) < ratio) high *= 2;
  const double u = bisected(
      [&](double x) { return x > 0 ? (std::cosh(x) - 1) / (2 * x) - ratio : -ratio; }, 0, high);
  return span_m * std::sinh(u) / u;
}

double parabola_length(double span_m, double sag_m) {
  if (sag_m <= 0 || span_m <= 0) return span_m;
  const double s = 4 * sag_m / span_m;
  return span_m / 2 * (std::sqrt(1 + s * s) + std::asinh(s) / s);
}

double parabola_series_length(double span_m, double sag_m) {
  return span_m > 0 ? span_m + 8 * sag_m * sag_m / (3 * span_m) : span_m;
}

double sag_extra_per_metre(double sag_share) {
  return sag_share > 0 ? catenary_length(1, sag_share) - 1 : 0;
}

}  // namespace roomloom
