#include "types/palette.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace roomloom {
namespace {

// IEC 61966-2-1, section 5.2.
float linear(int srgb_byte) {
  const double s = srgb_byte / 255.0;
  return static_cast<float>(s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4));
}

Colour colour(int red, int green, int blue) {
  return {linear(red), linear(green), linear(blue), 1};
}

constexpr std::array<std::pair<const char*, std::array<int, 3>>, 16> kWords = {{
    {"white", {250, 250, 250}},
    {"cream", {245, 238, 215}},
    {"light grey", {200, 200, 200}},
    {"grey", {128, 128, 128}},
    {"dark grey", {70, 70, 70}},
    {"black", {20, 20, 20}},
    {"light brown", {181, 142, 99}},
    {"brown", {110, 72, 42}},
    {"dark brown", {66, 42, 26}},
    {"red", {178, 32, 32}},
    {"orange", {232, 126, 32}},
    {"yellow", {238, 208, 48}},
    {"green", {46, 125, 62}},
    {"blue", {36, 84, 168}},
    {"violet", {112, 60, 148}},
    {"aqua", {40, 170, 180}},
}};

// ISO/CIE 11664-4: X, Y, Z of linear sRGB (IEC 61966-2-1) against the white D65, then L*, a*, b*.
std::array<double, 3> lab_of(const Colour& c) {
  const double r = c.r, g = c.g, b = c.b;
  const auto f = [](double t) {
    constexpr double kEdge = 6.0 / 29;
    return t > kEdge * kEdge * kEdge ? std::cbrt(t) : t / (3 * kEdge * kEdge) + 4.0 / 29;
  };
  const double x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
  const double y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const double z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

}  // namespace

std::optional<Colour> colour_named(const std::string& text) {
  for (const auto& [word, bytes] : kWords)
    if (text == word) return colour(bytes[0], bytes[1], bytes[2]);
  if (text.size() != 7 || text[0] != '#') return std::nullopt;
  std::array<int, 3> bytes{};
  for (std::size_t i = 0; i < 6; ++i) {
    const char c = text[i + 1];
    const int digit = c >= '0' && c <= '9'   ? c - '0'
                      : c >= 'a' && c <= 'f' ? c - 'a' + 10
                      : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                             : -1;
    if (digit < 0) return std::nullopt;
    bytes[i / 2] = 16 * bytes[i / 2] + digit;
  }
  return colour(bytes[0], bytes[1], bytes[2]);
}

std::vector<std::string> colour_words() {
  std::vector<std::string> words;
  for (const auto& [word, bytes] : kWords) words.emplace_back(word);
  return words;
}

double colour_difference(const Colour& a, const Colour& b) {
  const auto p = lab_of(a), q = lab_of(b);
  return std::hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

double contrast_weight(const std::optional<Colour>& thing, const std::optional<Colour>& background,
                       double blending) {
  constexpr double kStandsOut = 50;
  if (!thing || !background) return 1;
  const double share = std::min(1.0, colour_difference(*thing, *background) / kStandsOut);
  return blending + (1 - blending) * share;
}

Colour service_colour(Service service) {
  switch (service) {
    case Service::loudspeaker:
      return colour(0, 114, 178);  // blue
    case Service::line_level:
      return colour(86, 180, 233);  // sky blue
    case Service::network:
      return colour(0, 158, 115);  // bluish green
    case Service::picture:
      return colour(230, 159, 0);  // orange
    case Service::television:
      return colour(240, 228, 66);  // yellow
    case Service::fibre:
      return colour(204, 121, 167);  // reddish purple
    case Service::mains:
      return colour(213, 94, 0);  // vermillion
    case Service::control:
      break;
  }
  return colour(0, 0, 0);  // black
}

std::vector<double> service_dash(Service service) {
  switch (service) {
    case Service::loudspeaker:
      return {};
    case Service::line_level:
      return {6, 1.2};
    case Service::network:
      return {4, 1, 0.8, 1};
    case Service::picture:
      return {4, 1, 0.8, 1, 0.8, 1};
    case Service::television:
      return {2, 1};
    case Service::fibre:
      return {0.8, 0.8};
    case Service::control:
      return {8, 1, 2, 1};
    case Service::mains:
      return {1.5, 1, 1.5, 3};
  }
  return {};
}

Colour grey(int srgb_byte) { return colour(srgb_byte, srgb_byte, srgb_byte); }

}  // namespace roomloom
