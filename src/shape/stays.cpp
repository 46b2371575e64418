#include "shape/stays.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace roomloom {
namespace {

// Straight on through holes and other raceways, to where the run turns off.
Vec3 where_it_leaves(const LanePath& path, const Vec3& along, std::size_t from, bool after) {
  std::size_t i = from;
  while (after ? i + 1 < path.path.edges.size() : i > 0) {
    i += after ? 1 : static_cast<std::size_t>(-1);
    const Vec3 way = (after ? 1.0 : -1.0) * direction_of(path, i);
    const Vec3 aside = way - dot(way, along) * along;
    if (norm(aside) > kLeavesAside) return aside;
  }
  return {};
}

void measure(const std::vector<LanePath>& paths, const Chains& chains, Stay& stay) {
  const LanePath& path = paths[stay.path];
  for (std::size_t i = stay.first; i <= stay.last; ++i) {
    const auto s = static_cast<std::size_t>(chains.section_at(stay.path, i));
    stay.length_m += distance(path.path.points[i], path.path.points[i + 1]);
    stay.room_m2 = std::min(stay.room_m2, path.room_m2[i]);
    stay.shared = stay.shared || chains.sections[s].members.size() > 1;
    stay.rigid = stay.rigid || path.rigid[i];
  }
  const Vec3 along = direction_of(path, stay.first);
  stay.leaves = where_it_leaves(path, along, stay.first, false) +
                where_it_leaves(path, along, stay.last, true);
}

void put_in_order(const std::vector<LanePath>& paths, std::vector<Stay>& stays) {
  const bool limited = std::any_of(stays.begin(), stays.end(),
                                   [](const Stay& s) { return std::isfinite(s.room_m2); });
  const auto key = [&](const Stay& stay) {
    const LanePath& path = paths[stay.path];
    const double room = std::isfinite(stay.room_m2) ? stay.room_m2 : 1;
    const auto length = std::llround(stay.length_m * 1e5);
    return std::tuple(limited ? std::llround(room * 1e8) : 0, limited ? length : -length,
                      -std::llround(path.diameter_m * 1e7), path.rank, stay.first);
  };
  std::sort(stays.begin(), stays.end(),
            [&](const Stay& a, const Stay& b) { return key(a) < key(b); });
  for (std::size_t i = 0; i < stays.size(); ++i) stays[i].order = static_cast<int>(i);
}

}  // namespace

Vec3 direction_of(const LanePath& path, std::size_t edge) {
  return normalized(path.path.points[edge + 1] - path.path.points[edge]);
}

Stay stay_of(const std::vector<LanePath>& paths, const Chains& chains, const Member& edge) {
  Stay stay;
  stay.path = edge.path;
  stay.first = stay.last = edge.edge;
  measure(paths, chains, stay);
  return stay;
}

std::vector<Stay> find_stays(const std::vector<LanePath>& paths, const Chains& chains, int chain) {
  std::vector<Stay> stays;
  for (const std::size_t p : chains.chains[static_cast<std::size_t>(chain)].paths) {
    const LanePath& path = paths[p];
    const std::size_t edges = path.path.edges.size();
    for (std::size_t i = 0; i < edges; ++i) {
      if (chains.chain_at(p, i) != chain) continue;
      Stay stay;
      stay.path = p;
      stay.first = stay.last = i;
      while (stay.last + 1 < edges && chains.chain_at(p, stay.last + 1) == chain &&
             path.rigid[stay.last + 1] == path.rigid[i] &&
             !is_corner(path.path.points, stay.last + 1))
        ++stay.last;
      i = stay.last;
      measure(paths, chains, stay);
      stays.push_back(stay);
    }
  }
  put_in_order(paths, stays);
  return stays;
}

}  // namespace roomloom
