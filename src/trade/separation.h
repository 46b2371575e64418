#pragma once

#include <string_view>

/// How far signal cables keep from mains.
namespace roomloom::trade {

enum class Divider { none, aluminium, steel };

/// Least distance of information cables from power cables, metres. Source: EN 50174-2:2000
/// (pdfmaal.com data-power-cable-separation-1204): both unscreened 200/100/50 mm without divider /
/// with aluminium / with steel; ours screened 50/20/5; power screened 30/10/2; both 0.
double en_50174_2_m(bool signal_screened, bool power_screened, Divider divider = Divider::none);

/// The same standard asks for nothing along the last stretch to the outlet, and 130 mm from
/// fluorescent luminaires.
constexpr double kNoSeparationLast_m = 15;
constexpr double kFluorescent_m = 0.130;

/// The mains as an American table sees them.
enum class PowerPath { open, signal_in_earthed_metal, both_in_earthed_metal };
/// Least distance from circuits up to 480 V by their load, metres. Source: TIA-569-A
/// (elliottelectric.com separation_interference): below 2 / 2 to 5 / above 5 kVA 5/12/24 in; with
/// our side in earthed metal 2.5/6/12; both -/6/12. The edition of 2004 points to NEC instead.
double tia_569_a_m(double kva, PowerPath path);

/// Class 2 and 3 circuits from mains elsewhere than in a shared box, which is barred: 50 mm, waived
/// where either lies in a raceway or a sheathed cable (NEC 725.136(I), as discussed at
/// inspectionnews.net t-11460; own text not seen); 6 mm inside shared equipment (725.136(D)).
constexpr double kNecElsewhere_m = 0.050, kNecInside_m = 0.006;

/// What installers keep beside each other's cables. Common practice, no source.
constexpr double kPractice_m = 0.3;
/// A parallel stretch shorter than this is a passing by, no run alongside. Common practice, no
/// source; one maker warns after a few feet.
constexpr double kAlongside_m = 0.5;
/// Crossings are square: at least this angle between the two. Common practice, no source.
constexpr double kSquare_rad = 1.0471975511965976;  // 60 degrees

}  // namespace roomloom::trade
