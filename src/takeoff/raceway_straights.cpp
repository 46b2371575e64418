#include <algorithm>
#include <iterator>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/raceway_record.h"

namespace roomloom {
namespace {

bool join(Straight& a, const Straight& b) {
  if (a.raceway != b.raceway || a.sheet != b.sheet || a.fixed != b.fixed) return false;
  constexpr double kInLine = 1e-3;  // sine of an angle that still counts as straight
  if (norm(cross(normalized(a.to - a.from), normalized(b.to - b.from))) >= kInLine) return false;
  for (const auto& [near, far] : {std::pair{b.from, b.to}, std::pair{b.to, b.from}}) {
    if (distance(a.to, near) < 1e-6 && dot(a.to - a.from, far - near) > 0) return a.to = far, true;
    if (distance(a.from, near) < 1e-6 && dot(a.from - a.to, far - near) > 0)
      return a.from = far, true;
  }
  return false;
}

}  // namespace

std::vector<Straight> straights_of(const CableShapes& shapes, const Room& room, const Job& job) {
  std::vector<Straight> straights;
  for (const RacewayShape& shape : shapes.raceways)
    if (distance(shape.from, shape.to) > 1e-6)
      straights.push_back({shape.raceway, shape.sheet, shape.from, shape.to, shape.normal,
                           shape.runs,
                           is_fixed(element(job.catalogue.raceways, shape.raceway).id, shape.sheet,
                                    shape.from, shape.to, room, job.as_built)});
  for (std::size_t i = 0; i < straights.size(); ++i) {
    for (bool grown = true; grown;) {
      grown = false;
      for (std::size_t j = i + 1; j < straights.size() && !grown; ++j) {
        if (!join(straights[i], straights[j])) continue;
        std::vector<int> both;
        std::set_union(straights[i].runs.begin(), straights[i].runs.end(),
                       straights[j].runs.begin(), straights[j].runs.end(),
                       std::back_inserter(both));
        straights[i].runs = std::move(both);
        straights.erase(straights.begin() + static_cast<std::ptrdiff_t>(j));
        grown = true;
      }
    }
  }
  tell_recorded_ends(straights, room, job);
  return straights;
}

}  // namespace roomloom
