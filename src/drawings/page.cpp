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

Rgb shade(double level) { return {level, level, level}; }

}  // namespace roomloom
