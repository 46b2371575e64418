#pragma once

#include <string>
#include <string_view>

#include "base/result.h"

namespace roomloom {

/// Which units a person reads. Inside the program everything is SI.
enum class DisplayUnits { metric, feet_and_inches };

/// Reads a length as a tape gives it, into metres: "2.31 m", "231 cm", "600 mm", "7 ft 6 in",
/// "7' 6 3/8\"", "10 1/2 in", "2,31 m" (decimal comma), or a bare number (metres). A leading minus
/// is allowed. Independent of the locale.
/// @error `length.syntax` not a length; the message says what is accepted.
Result<double> parse_length(std::string_view text);

/// Reads an angle into radians: "30 deg", "30°", "0.5 rad", or a bare number (degrees).
/// @error `angle.syntax`
Result<double> parse_angle(std::string_view text);

/// "2.310 m" or "7 ft 6 7/8 in" (to the sixteenth of an inch).
std::string format_length(double metres, DisplayUnits units, int decimals = 3);

/// A number with `decimals` digits after the point, '.' whatever the locale, and never "-0.000".
std::string format_number(double value, int decimals);

}  // namespace roomloom
