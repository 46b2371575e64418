#pragma once

#include <vector>

#include "geometry/bundle.h"
#include "types/cable_shapes.h"
#include "types/job.h"
#include "types/room.h"

namespace roomloom {

/// Between a bundle and its hole. Common practice, no source.
inline constexpr double kHoleClearance_m = 0.003;

/// A hole as planned, with what passes it.
struct SizedHole {
  HoleShape shape;
  std::vector<Disc> discs;    ///< its cables as drawn at both faces, in the crossing's plane
  double heads_m = 0;         ///< that moulded heads ask
  double later_bundle_m = 0;  ///< with the cables of later
};

/// Whether a hole may be cut there: within the crossing's region, clear of what it holds.
bool hole_allowed_at(const Crossing& crossing, const Vec2& centre, double diameter_m);

/// Chooses what lines a hole, which may ask for a wider one: sets grommet, bare_m and diameter_m.
void line_hole(HoleShape& shape, const Crossing& crossing, double later_bundle_m, const Job& job);

/// Finds each hole's record. One that someone cut is as wide as he says, moved no farther than the
/// cables as drawn ask. One that they cannot pass is to be widened, about a middle from which the
/// new circle holds the old; where the place allows no such circle it is another hole, still to be
/// cut.
void take_as_cut(std::vector<SizedHole>& holes, const Room& room, const Job& job);

/// Names holes by tile row and column, then by crossing and place: "H1". What was named before, by
/// the record or by the plan that this one starts from, keeps its name.
void name_holes(std::vector<HoleShape>& holes, const Room& room, const Job& job);

}  // namespace roomloom
