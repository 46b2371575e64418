#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace roomloom {

/// Where a loudspeaker of a label stands: nominal direction and what is allowed, in degrees as the
/// Recommendation prints them. Azimuth positive = left of the listener, 0 = ahead; a range may pass
/// through 180. Elevation positive = up.
struct LabelRange {
  std::string label;  ///< "M+030", "UH+180", "LFE1"
  double azimuth = 0, azimuth_low = 0, azimuth_high = 0;
  double elevation = 0, elevation_low = 0, elevation_high = 0;
  bool positioned = true;  ///< false: the Recommendation gives it no place (most LFE)
};

struct LoudspeakerSystem {
  char letter = 'A';
  std::string name;  ///< "4+5+0": upper + middle + lower
  std::vector<LabelRange> labels;
};

/// Systems A to J of ITU-R BS.2051-3. Ranges: BS.2051-1 as held by a public renderer's data
/// file (EBU ADM renderer, 2051_layouts.yaml); the Recommendation's own text was not seen. The
/// screen loudspeakers of 4+9+0 carry that file's 5..25 degrees.
std::span<const LoudspeakerSystem> loudspeaker_systems();

/// By name ("4+5+0") or letter ("D"); null if there is none.
const LoudspeakerSystem* loudspeaker_system(std::string_view name);

/// The label in the system of that name, else in the smallest system that has it; null if none
/// has. `system` may be empty.
const LabelRange* find_label(std::string_view system, std::string_view label);

}  // namespace roomloom
