#pragma once

#include <span>
#include <string_view>
#include <vector>

namespace roomloom::trade {

/// Share of a conduit that this many cables may take: 53 % for one, 31 % for two, 40 % for more.
/// Source: NEC chapter 9, table 1. Several stored calculator pages swap or misquote the first two.
double nec_conduit_share(int cables);

/// How many equal cables a cross-section takes: floor(share x area / (pi d^2 / 4)). Reproduces the
/// capacity tables of two makers' surface raceways to the count.
int cable_count(double area_m2, double diameter_m, double share);

double circle_area_m2(double diameter_m);

/// Inside sizes of electrical metallic tubing. Source: NEC chapter 9, table 4
/// (sfasoft.com/look/13).
struct Tubing {
  std::string_view trade_size;  ///< inches
  double inside_m = 0;
};
std::span<const Tubing> metallic_tubing();

/// Three cables of one size may wedge in a bend when conduit over cable lies between 2.8 and 3.2.
/// Source: NEC chapter 9, table 1, informational note.
constexpr double kJamLow = 2.8, kJamHigh = 3.2;
bool may_jam(double inside_m, const std::vector<double>& diameters_m);

/// Radius of the least known circle round n equal circles over theirs; n 1 to 20. Three decimals or
/// more. Source: en.wikipedia.org/wiki/Circle_packing_in_a_circle; 1 to 14 and 19 are proven.
double packing_ratio(int count);

/// No circle smaller than this holds these cables: the two thickest side by side, their areas, and
/// for up to 14 equal ones the proven packing.
double least_bundle_m(std::vector<double> diameters_m);

}  // namespace roomloom::trade
