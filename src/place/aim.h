#pragma once

#include <string>

#include "place/surfaces.h"
#include "types/ends.h"
#include "types/loudspeaker_layouts.h"

namespace roomloom::place {

/// The listener: ear position, and the direction looked at as a turn from +y, counter-clockwise
/// seen from above.
struct Listener {
  Vec3 ear;
  double facing_rad = 0;
};

/// Unit vector of a direction seen from the listener: azimuth positive to the left, elevation up.
Vec3 direction_of(const Listener& listener, double azimuth_rad, double elevation_rad);

/// The direction of a point seen from the listener. Azimuth in (-pi, pi].
struct Bearing {
  double azimuth_rad = 0, elevation_rad = 0, distance_m = 0;
};
Bearing bearing_of(const Listener& listener, const Vec3& p);

/// Where a loudspeaker goes.
struct Aimed {
  Landing landing;
  double azimuth_rad = 0, elevation_rad = 0;
  bool moved = false;         ///< the nominal direction was not possible
  std::string nominal_fault;  ///< what the nominal direction meets, when moved or failed
};

/// Casts the nominal direction of a label, then those of its allowed range, nearest to the nominal
/// first (whole degrees from it, and the range's own limits). One that lands clear of its sheet's
/// edge, and where a ceiling tile can be cut for it, is preferred to one nearer to the nominal.
/// `gear` stands in the way too. The landing's `blocked_by` is empty on success.
Aimed aim(const Surfaces& surfaces, const Listener& listener, const LabelRange& range,
          const std::vector<GearBox>& gear);

/// One direction only.
Landing cast(const Surfaces& surfaces, const Vec3& from, const Vec3& direction,
             const std::vector<GearBox>& gear);

}  // namespace roomloom::place
