#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "base/vec.h"

namespace roomloom {

/// A length between two corners, or the inside angle at one.
struct TapeMeasure {
  std::string name;      ///< "wall front": what the person measured
  int from = 0, to = 0;  ///< corners; of an angle: its two neighbours
  int at = -1;           ///< of an angle: its corner; -1 = a length
  double value = 0;      ///< metres or radians
  double sigma = 0.005;  ///< how far such a measure usually is off (standard deviation)
  bool assumed = false;  ///< not measured: "corners are about square"
};

struct BalancedMeasure {
  std::string name;
  double measured = 0, balanced = 0;  ///< metres or radians
  /// Residual over its own standard deviation (Baarda's test quantity); above 3.29 one measure in a
  /// thousand would be there by chance. 0 where nothing else checks the measure.
  double standardized = 0;
  double redundancy = 0;  ///< 0 = nothing checks it, 1 = the others know it as well
  bool angle = false;
};

/// A measure that is likely wrong, and what the others say it should be.
struct BlamedMeasure {
  std::string name;
  double measured = 0, value = 0;  ///< metres or radians
  bool angle = false;
};

struct BalancedOutline {
  std::vector<Vec2> corners;              ///< the first at the origin, the second along +y
  std::vector<BalancedMeasure> measures;  ///< in the order given
  double misclosure_m = 0;                ///< the largest change of a length that was measured
  /// The likeliest wrong measure first, then those that are about as likely; empty = they agree.
  std::vector<BlamedMeasure> blamed;
};

/// The outline that the measures agree on best: least squares by Gauss-Newton, weights 1/sigma².
/// The likeliest wrong measure is the one of the largest standardized residual w (W. Baarda, A
/// testing procedure for use in geodetic networks, Publications on Geodesy 2-5, Delft 1968).
/// Leaving a measure out lowers the weighted sum of squares by w², so that of two suspects one is
/// exp((w1² - w2²) / 2) times as likely as the other, errors being normal: all are blamed that are
/// not twenty times less likely than the first.
///
/// @param corners  first guesses, clockwise; three at least
/// @error `measures.too-few` the measures do not fix the outline · `measures.impossible` no outline
///        comes near them
Result<BalancedOutline> balance(const std::vector<Vec2>& corners,
                                const std::vector<TapeMeasure>& measures);

}  // namespace roomloom
