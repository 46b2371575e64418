#pragma once

#include <string_view>

/// How far signal cables keep from mains.
namespace roomloom::trade {

/// Least distance of information cables from power cables without a divider between them, metres.
/// Source: EN 50174-2:2000 (pdfmaal.com data-power-cable-separation-1204): both unscreened 200 mm;
/// ours screened 50; power screened 30; both 0. Dividers, which allow less, are not modelled.
double en_50174_2_m(bool signal_screened, bool power_screened);

/// Power cabling factor P by the number of single-phase circuits of up to 20 A that run together,
/// at least 1: 0.2 for 1 to 3, 0.4 to 6, 0.6 to 9, 0.8 to 12, 1 to 15, 2 to 30 ... 5 to 75, 6 for
/// more.
/// Source: EN 50174-2 of 2009 and later as an electricians' handbook tabulates it (Elboken 2017,
/// p528, quickpaper.rosendahls.dk/elko).
double power_cabling_factor(int circuits);
/// The same standard's distance since 2009, S x P. S without metal between: 100 mm from unscreened
/// Cat 5e and 6 (class b), 50 mm from screened (class c); half of it where one lies in perforated
/// metal, which stands for mains in earthed metal or with a screen. Source: as above.
double en_50174_2_m(bool signal_screened, bool power_screened, int circuits);

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
