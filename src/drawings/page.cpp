#include "drawings/page.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace roomloom {
namespace {

double encoded(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

/// Until its contrast to white, 1.05 / (luminance + 0.05), is at least this.
Rgb darkened(Rgb colour, double contrast) {
  const auto linear = [](double x) {
    return x <= 0.04045 ? x / 12.92 : std::pow((x + 0.055) / 1.055, 2.4);
  };
  while (0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b) >
         1.05 / contrast - 0.05)
    colour = {colour.r * 0.95, colour.g * 0.95, colour.b * 0.95};
  return colour;
}

}  // namespace

Rgb srgb(const Colour& c) { return {encoded(c.r), encoded(c.g), encoded(c.b)}; }

Rgb paler(const Rgb& colour, double share) {
  return {colour.r + share * (1 - colour.r), colour.g + share * (1 - colour.g),
          colour.b + share * (1 - colour.b)};
}

Rgb readable(const Rgb& colour) { return darkened(colour, 4.5); }

Rgb visible(const Rgb& colour) { return darkened(colour, 2); }

Rgb shade(double level) { return {level, level, level}; }

PaperBox around(const Vec2& a, const Vec2& b) {
  return {{std::min(a.x, b.x), std::min(a.y, b.y)}, {std::max(a.x, b.x), std::max(a.y, b.y)}};
}

bool parts_corners(const PaperBox& box, const Vec2& a, const Vec2& b) {
  const Vec2 way = b - a;
  const std::array<Vec2, 4> corners = {box.low, Vec2{box.high.x, box.low.y}, box.high,
                                       Vec2{box.low.x, box.high.y}};
  int left = 0;
  for (const Vec2& corner : corners) left += cross(way, corner - a) > 0 ? 1 : 0;
  return left != 0 && left != 4;
}

}  // namespace roomloom
