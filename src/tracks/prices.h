#pragma once

#include <string>

#include "types/job.h"
#include "types/tracks.h"

namespace roomloom::tracks {

/// How much a metre shows in each place, against 1 on an open face. Common practice, no source:
/// installers put raceway into corners and along skirting because it is least seen there.
constexpr double kSeenInCorner = 0.4;
constexpr double kSeenAtSkirting = 0.3;
constexpr double kSeenAtCeiling = 0.4;
/// On the open floor it is stepped over as well, so that any way round along a wall is preferred
/// unless it is much longer.
constexpr double kSeenOnFloor = 3;

/// The raceway that positions are worked out for: the middle size of the catalogue.
struct NominalRaceway {
  double width_m = 0.025, depth_m = 0.016;
  double price_per_m = 0, price_fitting = 0;
  double stand_off_m() const { return depth_m / 2; }
  double half_width_m() const { return width_m / 2; }
};
NominalRaceway nominal_raceway(const Catalogue& catalogue);

/// What all runs of the job ask of a hole and of a corner.
struct CableNeeds {
  double bundle_m = 0.02;       ///< hole that all runs pass through together, at most the largest
  double bend_radius_m = 0.03;  ///< largest fixed bend radius
};
CableNeeds cable_needs(const Ends& ends, const Job& job);

/// Charges, priced by the job's preferences.
Charge raceway_charge(const Preferences& prefer, double length_m, double visible_m,
                      const Vec3& where);
Charge bare_charge(const Preferences& prefer, double length_m, double visible_m, const Vec3& where);
Charge support_charge(const Preferences& prefer, double length_m, const Vec3& where);
Charge hole_charge(const Preferences& prefer, const std::string& name, const Vec3& where);
Charge ladder_charge(const Preferences& prefer, const std::string& name, const Vec3& where);
Charge fitting_charge(const Preferences& prefer, const NominalRaceway& raceway,
                      const std::string& name, const Vec3& where);
double bend_cost(const Preferences& prefer);

}  // namespace roomloom::tracks
