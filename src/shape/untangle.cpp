#include "shape/untangle.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "shape/lane_line.h"

namespace roomloom {
namespace {

/// An edge of the one way and the edge of the other in the same section.
using Shared = std::pair<std::size_t, std::size_t>;

class Untangling {
 public:
  Untangling(const std::vector<LanePath>& paths, const Chains& chains, const Tracks& tracks,
             LaneOffsets& offsets)
      : paths_(paths), chains_(chains), tracks_(tracks), offsets_(offsets), ways_(paths.size()) {
    for (std::size_t i = 0; i < paths.size(); ++i) draw(i);
  }

  /// The places that leave the fewest crossings, of as many the first.
  bool change_places(std::size_t a, std::size_t b) {
    if (std::fabs(paths_[a].diameter_m - paths_[b].diameter_m) > 1e-9) return false;
    int fewest = crossings(a) + crossings(b);
    const std::vector<Shared>* best = nullptr;
    const auto choices = stretches(a, b);
    for (const std::vector<Shared>& stretch : choices) {
      swap(a, b, stretch);
      const int left = crossings(a) + crossings(b);
      swap(a, b, stretch);
      if (left >= fewest) continue;
      fewest = left;
      best = &stretch;
    }
    if (best == nullptr) return false;
    swap(a, b, *best);
    return true;
  }

 private:
  void draw(std::size_t i) {
    if (!paths_[i].path.empty())
      ways_[i] = drawn_way(paths_[i], lane_line(paths_[i], offsets_[i]), tracks_);
  }

  /// With how many other cables one gets into each other's way outside fittings.
  int crossings(std::size_t i) const {
    int count = 0;
    const Box3 box = box_of(ways_[i]);
    for (std::size_t k = 0; k < ways_.size(); ++k)
      if (k != i && !ways_[k].points.empty() && box.overlaps(box_of(ways_[k])) &&
          find_conflict(ways_[i], ways_[k]).worst == Meeting::straight)
        ++count;
    return count;
  }

  /// What two ways share on each line of track, and all of that together. What lies already stays.
  std::vector<std::vector<Shared>> stretches(std::size_t a, std::size_t b) const {
    std::map<int, std::vector<Shared>> by_chain;
    std::vector<Shared> all;
    for (std::size_t i = 0; i < paths_[a].path.edges.size(); ++i)
      for (std::size_t k = 0; k < paths_[b].path.edges.size(); ++k) {
        if (chains_.section_at(a, i) < 0 || chains_.section_at(a, i) != chains_.section_at(b, k))
          continue;
        if (paths_[a].rigid[i] || lies(a, i) || lies(b, k)) continue;
        by_chain[chains_.chain_at(a, i)].emplace_back(i, k);
        all.emplace_back(i, k);
      }
    std::vector<std::vector<Shared>> found;
    for (auto& [chain, shared] : by_chain) found.push_back(std::move(shared));
    if (found.size() > 1) found.push_back(std::move(all));
    return found;
  }

  bool lies(std::size_t path, std::size_t edge) const {
    return edge < paths_[path].lies_in.size() && paths_[path].lies_in[edge] >= 0;
  }

  void swap(std::size_t a, std::size_t b, const std::vector<Shared>& stretch) {
    for (const auto& [i, k] : stretch) std::swap(offsets_[a][i], offsets_[b][k]);
    draw(a);
    draw(b);
  }

  const std::vector<LanePath>& paths_;
  const Chains& chains_;
  const Tracks& tracks_;
  LaneOffsets& offsets_;
  std::vector<DrawnWay> ways_;
};

}  // namespace

bool untangle(const std::vector<LanePath>& paths, const Chains& chains, const Tracks& tracks,
              const std::vector<std::pair<std::size_t, std::size_t>>& pairs, LaneOffsets& offsets) {
  Untangling untangling(paths, chains, tracks, offsets);
  bool any = false;
  for (const auto& [a, b] : pairs) any = untangling.change_places(a, b) || any;
  return any;
}

}  // namespace roomloom
