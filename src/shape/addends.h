#pragma once

#include <vector>

#include "shape/path.h"
#include "types/cable_shapes.h"
#include "types/ends.h"

namespace roomloom {

/// What a run needs beyond its drawn line. `drawn` is the geometry, with its lane and its arcs, so
/// none of that is here again. All in metres and never negative, `measured` excepted.
struct AddendParts {
  /// At most this much for stepping over neighbours in fittings where the drawn cables overlap.
  double lane = 0;
  /// Hanging between supports: level way on supports x the catenary's extra at Preferences::sag.
  double sag = 0;
  /// Upright stretches that nothing holds (stud bays, free zones): the cable may slant from one
  /// side of the clear space to the other, sqrt(L^2 + w^2) - L for each.
  double drop = 0;
  /// Service loop of the end, and at an end left coiled the coil too.
  double loop_from = 0, loop_to = 0;
  /// Stripping and fitting: Preferences::termination_m for each end that is fitted.
  double termination = 0;
  /// So that the gear can be pulled out with everything connected, both ends.
  double pull_out = 0;
  /// To the furthest of the places that an end may move to, beyond the present one; both ends.
  double movable_end = 0;
};

double sag_m(const TrackPath& path, const Tracks& tracks, const Preferences& prefer);
double drop_m(const TrackPath& path, const Tracks& tracks, const Room& room, const Ends& ends);
double loop_m(const End& end, const Preferences& prefer);

/// All addends in the order of kAddendNames, with contingency (share of drawn) and rounding up to
/// the cutting step. An installed run that was measured has all of them 0 but `measured` =
/// measured - drawn, which may be negative.
std::vector<Addend> make_addends(const AddendParts& parts, double drawn_m,
                                 const Preferences& prefer);
std::vector<Addend> measured_addends(double drawn_m, double measured_m);

}  // namespace roomloom
