#include "trade/data_cable.h"

#include <array>

namespace roomloom::trade {
namespace {

constexpr std::array<PictureMode, 5> kModes = {{
    {"1080p", "1920 x 1080, 60 a second, 8 bit", 4.455, 15},
    {"1080p 12 bit", "1920 x 1080, 60 a second, 12 bit", 6.683, 10},
    {"4k30", "3840 x 2160, 30 a second, 8 bit", 8.910, 5},
    {"4k60", "3840 x 2160, 60 a second, 4:4:4, 8 bit", 17.820, 3},
    {"8k60", "7680 x 4320, 60 a second, or 4K at 120", 48, 3},
}};

}  // namespace

std::span<const PictureMode> picture_modes() { return kModes; }

const PictureMode* picture_mode(std::string_view name) {
  for (const PictureMode& mode : kModes)
    if (mode.name == name) return &mode;
  return nullptr;
}

}  // namespace roomloom::trade
