#include "types/grommets.h"

namespace roomloom {

int grommet_for(CrossingKind kind, double hole_m, double bundle_m, const Job& job,
                const std::function<bool(double)>& may_cut) {
  if (kind == CrossingKind::plate_hole) return -1;
  const bool in_wall = kind == CrossingKind::wall_plate;
  const std::vector<GrommetType>& all = job.catalogue.grommets;
  int best = -1;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const GrommetType& type = all[i];
    if (type.kind != (in_wall ? "plate" : "grommet") || type.passes_m < bundle_m) continue;
    if (!in_wall && type.hole_m < hole_m - 1e-6) continue;
    if (type.hole_m > hole_m + 1e-6 && !may_cut(type.hole_m)) continue;
    if (best < 0 || type.hole_m < all[static_cast<std::size_t>(best)].hole_m)
      best = static_cast<int>(i);
  }
  return best;
}

}  // namespace roomloom
