#include "types/palette.h"

#include <cmath>

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

}  // namespace

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
