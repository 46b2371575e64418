#pragma once

#include <span>
#include <string_view>

/// Network links and picture cables.
namespace roomloom::trade {

/// Balanced twisted pair: fixed link, cords at both ends, and both together.
/// Source: TIA-568 and ISO/IEC 11801, as told by eyby.com (twisted-pair cable assemblies).
constexpr double kLinkGreatest_m = 90, kCordsUsual_m = 10, kChannelGreatest_m = 100;
/// A kind of picture signal over HDMI.
struct PictureMode {
  std::string_view name;  ///< as a job spells it: "4k60"
  std::string_view what;
  double gbps = 0;       ///< on the cable, three or four lanes together
  double passive_m = 0;  ///< longest passive cable
};

/// From the least to the most demanding. Rates: pixel clock x 3 channels x 10 bits, x 1.5 at 12
/// bit, computed; 48 Gb/s is the interface's greatest. Lengths: practice (CH-2540RX manual p59;
/// network-supply.com): 1080p 8 bit 15 m, 12 bit 10 m; 4K30 5 m; 4K60 4:4:4 3 m; 48 Gb/s 3 to 5 m,
/// the lower taken.
std::span<const PictureMode> picture_modes();
const PictureMode* picture_mode(std::string_view name);

}  // namespace roomloom::trade
