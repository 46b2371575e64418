#include "drawings/page.h"

#include <cmath>

namespace roomloom {
namespace {

double encoded(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

}  // namespace

Rgb srgb(const Colour& c) { return {encoded(c.r), encoded(c.g), encoded(c.b)}; }

Rgb paler(const Rgb& colour, double share) {
  return {colour.r + share * (1 - colour.r), colour.g + share * (1 - colour.g),
          colour.b + share * (1 - colour.b)};
}

Rgb readable(const Rgb& colour) {
  const auto linear = [](double x) {
    return x <= 0.04045 ? x / 12.92 : std::pow((x + 0.055) / 1.055, 2.4);
  };
  Rgb dark = colour;
  // Contrast to white is 1.05 / (luminance + 0.05): 4.5 at 0.183.
  while (0.2126 * linear(dark.r) + 0.7152 * linear(dark.g) + 0.0722 * linear(dark.b) > 0.183)
    dark = {dark.r * 0.95, dark.g * 0.95, dark.b * 0.95};
  return dark;
}

Rgb shade(double level) { return {level, level, level}; }

}  // namespace roomloom
