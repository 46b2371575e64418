#include "tracks/prices.h"

#include <algorithm>
#include <cmath>

#include "geometry/bundle.h"

namespace roomloom::tracks {
namespace {

Charge priced(const Preferences& prefer, Charge charge) {
  charge.price = charge.money + charge.minutes * prefer.money_per_minute +
                 charge.visible_m * prefer.money_per_visible_m;
  return charge;
}

}  // namespace

NominalRaceway nominal_raceway(const Catalogue& catalogue) {
  NominalRaceway nominal;
  if (catalogue.raceways.empty()) return nominal;
  const RacewayType& middle = catalogue.raceways[catalogue.raceways.size() / 2];
  return {middle.width_m, middle.depth_m, middle.price_per_m, middle.price_fitting,
          middle.price_end};
}

// Equal circles fit into a hole of at most sqrt(2) times the root of the sum of their squared
// diameters: the worst case is two cables, where it is exact (R/r = 2 for n = 2, 2.1547 for 3;
// Wikipedia, "Circle packing in a circle").
CableNeeds cable_needs(const Ends& ends, const Job& job) {
  CableNeeds needs;
  double squares = 0, head = 0, bend = 0;
  for (const Run& run : ends.runs) {
    if (run.cable < 0) continue;
    const CableType& cable = job.catalogue.cables[static_cast<std::size_t>(run.cable)];
    squares += cable.diameter_m * cable.diameter_m;
    head = std::max(head, head_diagonal_m(cable));
    bend = std::max(bend, cable.bend_radius_m);
  }
  // Room for later is kept in holes too, so that they are planned where they can be that wide.
  for (const SpareSpec& spare : job.spares)
    if (const CableType* cable = job.catalogue.cable(spare.cable))
      squares += spare.count * cable->diameter_m * cable->diameter_m;
  // As tight as they pack, which is worth its time where one hole may hold them at all.
  const auto bundle_without = [&](const CableType& last) {
    std::vector<double> all;
    for (const Run& run : ends.runs)
      if (run.cable >= 0)
        all.push_back(job.catalogue.cables[static_cast<std::size_t>(run.cable)].diameter_m);
    for (const SpareSpec& spare : job.spares)
      if (const CableType* cable = job.catalogue.cable(spare.cable))
        all.insert(all.end(), static_cast<std::size_t>(spare.count), cable->diameter_m);
    all.erase(std::find(all.begin(), all.end(), last.diameter_m));
    return bundle_diameter(all);
  };
  // Their heads come last, beside all other cables; up to the next saw, so that the place takes it.
  for (const SpareSpec& spare : job.spares) {
    const CableType* cable = job.catalogue.cable(spare.cable);
    if (cable == nullptr || !spare.heads_fitted || head_diagonal_m(*cable) <= 0) continue;
    double others = std::sqrt(2 * (squares - cable->diameter_m * cable->diameter_m));
    if (others < job.prefer.largest_hole_m) others = std::min(others, bundle_without(*cable));
    head = std::max(head, hole_saw_size(head_diagonal_m(*cable) + others));
  }
  needs.bundle_m = std::min(std::max(std::sqrt(2 * squares), head), job.prefer.largest_hole_m);
  if (bend > 0) needs.bend_radius_m = bend;
  return needs;
}

Charge raceway_charge(const Preferences& prefer, double length_m, double visible_m,
                      const Vec3& where) {
  Charge charge{.kind = ChargeKind::raceway, .where = where, .name = "raceway"};
  charge.minutes = prefer.minutes_per_raceway_m * length_m;
  charge.visible_m = visible_m;
  return priced(prefer, charge);
}

// Clips and ties take as long as a line of hooks does: the job has no price of their own.
Charge bare_charge(const Preferences& prefer, double length_m, double visible_m,
                   const Vec3& where) {
  Charge charge{.kind = ChargeKind::support, .where = where, .name = "clips"};
  charge.minutes = prefer.minutes_per_void_m * length_m;
  charge.visible_m = visible_m;
  return priced(prefer, charge);
}

Charge support_charge(const Preferences& prefer, double length_m, const Vec3& where) {
  Charge charge{.kind = ChargeKind::support, .where = where, .name = "supports"};
  const double spacing = std::max(prefer.support_spacing_m, 0.1);
  charge.money = prefer.support_price * length_m / spacing;
  charge.minutes = prefer.minutes_per_void_m * length_m;
  return priced(prefer, charge);
}

Charge hole_charge(const Preferences& prefer, const std::string& name, const Vec3& where) {
  Charge charge{.kind = ChargeKind::hole, .where = where, .name = name};
  charge.money = prefer.hole_price;
  charge.minutes = prefer.minutes_per_hole;
  return priced(prefer, charge);
}

Charge ladder_charge(const Preferences& prefer, const std::string& name, const Vec3& where) {
  Charge charge{.kind = ChargeKind::ladder, .where = where, .name = name};
  charge.minutes = prefer.minutes_per_ladder_move;
  return priced(prefer, charge);
}

Charge fitting_charge(const Preferences& prefer, const NominalRaceway& raceway,
                      const std::string& name, const Vec3& where) {
  Charge charge{.kind = ChargeKind::fitting, .where = where, .name = name};
  charge.money = raceway.price_fitting;
  charge.minutes = prefer.minutes_per_fitting;
  return priced(prefer, charge);
}

Charge end_piece_charge(const Preferences& prefer, const NominalRaceway& raceway,
                        const Vec3& where) {
  Charge charge{.kind = ChargeKind::fitting, .where = where, .name = "end piece"};
  charge.money = raceway.price_end;
  charge.minutes = prefer.minutes_per_fitting;
  return priced(prefer, charge);
}

double bend_cost(const Preferences& prefer) {
  return prefer.minutes_per_bend * prefer.money_per_minute;
}

}  // namespace roomloom::tracks
