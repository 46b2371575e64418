#include "trade/listening.h"

#include <algorithm>
#include <cmath>

namespace roomloom::trade {

double wrapped_deg(double degrees) {
  const double turned = std::fmod(degrees + 180, 360);
  return turned < 0 ? turned + 180 : turned - 180;
}

double outside_azimuth_deg(double azimuth, double low, double high) {
  const double width = std::min(360.0, high - low);
  const double middle = low + width / 2;
  return std::max(0.0, std::abs(wrapped_deg(azimuth - middle)) - width / 2);
}

double outside_elevation_deg(double elevation, double low, double high) {
  return std::max({0.0, low - elevation, elevation - high});
}

}  // namespace roomloom::trade
