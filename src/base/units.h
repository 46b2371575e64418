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

/// What is measured in millimetres: "25 mm" (no decimals that are zero) or "1 in".
std::string format_size(double metres, DisplayUnits units, int decimals = 0);

/// "12.30 m2" or "132.4 sq ft"; "31.20 m3" or "1102 cu ft".
std::string format_area(double square_metres, DisplayUnits units, int decimals = 2);
std::string format_volume(double cubic_metres, DisplayUnits units, int decimals = 2);

/// A text that was written with metric lengths, told in `units`: "at most 150 mm" becomes "at most
/// 5 7/8 in". Where the text gives inches behind, as in "32 mm (1 1/4 in)", those are taken.
std::string lengths_told_in(std::string_view text, DisplayUnits units);

/// A number with `decimals` digits after the point, '.' whatever the locale, and never "-0.000".
std::string format_number(double value, int decimals);

}  // namespace roomloom
