#include "types/spares.h"

#include <algorithm>
#include <cmath>

#include "geometry/bundle.h"

namespace roomloom {

bool keeps_room(const SpareSpec& spare, const std::vector<int>& runs, const Ends& ends) {
  if (spare.along.empty()) return runs.size() >= 2;
  return std::any_of(runs.begin(), runs.end(), [&](int run) {
    const std::string& id = ends.runs[static_cast<std::size_t>(run)].id;
    return std::find(spare.along.begin(), spare.along.end(), id) != spare.along.end();
  });
}

std::vector<const CableType*> spare_cables(const std::vector<int>& runs, const Ends& ends,
                                           const Job& job) {
  std::vector<const CableType*> cables;
  for (const SpareSpec& spare : job.spares) {
    const CableType* cable = job.catalogue.cable(spare.cable);
    if (cable != nullptr && keeps_room(spare, runs, ends))
      cables.insert(cables.end(), static_cast<std::size_t>(spare.count), cable);
  }
  return cables;
}

double spare_hole_m(const std::vector<double>& diameters_m, const std::vector<int>& runs,
                    const Ends& ends, const Job& job) {
  std::vector<double> all = diameters_m;
  for (const CableType* cable : spare_cables(runs, ends, job)) all.push_back(cable->diameter_m);
  if (all.size() == diameters_m.size()) return 0;
  double need = bundle_diameter(all);
  for (const SpareSpec& spare : job.spares) {
    const CableType* cable = job.catalogue.cable(spare.cable);
    if (cable == nullptr || !spare.heads_fitted || !keeps_room(spare, runs, ends)) continue;
    std::vector<double> others = all;
    others.erase(std::find(others.begin(), others.end(), cable->diameter_m));
    need = std::max(need, bundle_diameter(others) + head_diagonal_m(*cable));
  }
  return need;
}

}  // namespace roomloom
