#pragma once

#include <vector>

#include "base/vec.h"

namespace roomloom {

struct Disc {
  Vec2 centre;
  double radius_m = 0;
};

/// The least circle round all discs; radius 0 for none. Good to 1e-9 m.
Disc enclosing_circle(const std::vector<Disc>& discs);

/// Radius of the least known circle round `count` equal circles, over the radius of one.
/// count 1..20. Source: E. Specht, "The best known packings of equal circles in a circle" and the
/// proofs it lists (1 to 14 and 19 are proven, the others best known); values to three decimals,
/// rounded up.
double circle_packing_ratio(int count);

/// Cables of these diameters laid side by side, step by step round their middle: the thickest
/// first, each touching two others.
std::vector<Disc> packed_bundle(std::vector<double> diameters_m);

/// Whether any two overlap by more than 1e-9 m.
bool any_meet(const std::vector<Disc>& discs);

/// The same cables within a circle about the origin, in the order given: pushed apart from several
/// starts, until none overlaps another or the circle by more than 1e-7 m. None if no such places
/// were found; where the circle is 0.2 % wider than the least that is known, up to 20 equal cables
/// find theirs. @cost seconds for hundreds of cables: nothing is tried beyond 40
std::vector<Disc> bundle_within(const std::vector<double>& diameters_m, double inside_m);

/// The same cables as one bundle about the origin, in which the least circle round them has its
/// middle: where each is then, the bundle turned so that they are as near as may be to where they
/// are wanted.
/// @param wanted  one a cable, from any point
/// @param inside_m  where the bundle laid step by step is wider than this, another is looked for
std::vector<Vec2> turned_bundle(const std::vector<Disc>& cables, const std::vector<Vec2>& wanted,
                                double inside_m = Box3::kInf);

/// Diameter of a circle that cables of these diameters fit in, lying side by side: the least known
/// one for up to 20 equal cables, else the less of a honeycomb of the thickest and a packing found
/// step by step. Never too small.
double bundle_diameter(std::vector<double> diameters_m);

/// The next size of hole saw, `at_least_m` or more. Common practice, no source: metric sizes as
/// sold in sets, 16 to 152 mm; beyond that the next 10 mm.
double hole_saw_size(double at_least_m);

}  // namespace roomloom
