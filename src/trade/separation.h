#pragma once

#include <string_view>

/// How far signal cables keep from mains.
namespace roomloom::trade {

/// Least distance of information cables from power cables without a divider between them, metres.
/// Source: EN 50174-2:2000 (pdfmaal.com data-power-cable-separation-1204): both unscreened 200 mm;
/// ours screened 50; power screened 30; both 0. Dividers, which allow less, are not modelled.
double en_50174_2_m(bool signal_screened, bool power_screened);

/// The same standard asks for nothing along the last stretch to the outlet, and 130 mm from
/// fluorescent luminaires.
constexpr double kNoSeparationLast_m = 15;
constexpr double kFluorescent_m = 0.130;

/// Class 2 and 3 circuits from mains elsewhere than in a shared box, which is barred: 50 mm, waived
/// where either lies in a raceway or a sheathed cable (NEC 725.136(I), as discussed at
/// inspectionnews.net t-11460; own text not seen); 6 mm inside shared equipment (725.136(D)).
constexpr double kNecElsewhere_m = 0.050, kNecInside_m = 0.006;

/// A parallel stretch shorter than this is a passing by, no run alongside. Common practice, no
/// source; one maker warns after a few feet.
constexpr double kAlongside_m = 0.5;
/// Crossings are square: at least this angle between the two. Common practice, no source.
constexpr double kSquare_rad = 1.0471975511965976;  // 60 degrees

}  // namespace roomloom::trade
