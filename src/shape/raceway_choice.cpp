#include "shape/raceway_choice.h"

#include <algorithm>
#include <map>
#include <numbers>

namespace roomloom {
namespace {

const LaneLimits::Interval* side_by_side_at(const LanePath& path, std::size_t edge) {
  for (const LaneLimits::Interval& limit : path.limits[edge].intervals)
    if (limit.places != kOnTrack) return &limit;
  return nullptr;
}

double metres_side_by_side(const LanePath& path) {
  double sum = 0;
  for (std::size_t i = 0; i < path.path.edges.size(); ++i)
    if (side_by_side_at(path, i) != nullptr)
      sum += distance(path.path.points[i], path.path.points[i + 1]);
  return sum;
}

class Choice {
 public:
  Choice(const std::vector<LanePath>& paths, const Chains& chains)
      : paths_(paths), chains_(chains) {
    for (const LanePath& path : paths) chosen_.emplace_back(path.path.edges.size(), 0);
  }

  std::vector<std::vector<int>> run() {
    std::vector<std::pair<double, std::size_t>> order;
    for (std::size_t p = 0; p < paths_.size(); ++p)
      if (const double metres = metres_side_by_side(paths_[p]); metres > 0)
        order.emplace_back(metres, p);
    std::sort(order.begin(), order.end(), [&](const auto& a, const auto& b) {
      if (std::abs(a.first - b.first) > 1e-6) return a.first > b.first;
      return paths_[a.second].rank < paths_[b.second].rank;
    });
    for (const bool lying : {true, false})
      for (const auto& [metres, p] : order) place(p, lying);
    return std::move(chosen_);
  }

 private:
  double area_m2(std::size_t p) const {
    return std::numbers::pi / 4 * paths_[p].diameter_m * paths_[p].diameter_m;
  }

  /// Chain by chain along the path: where the run has raceways side by side.
  std::map<int, std::vector<std::size_t>> edges_by_chain(std::size_t p) const {
    std::map<int, std::vector<std::size_t>> edges_of;
    for (std::size_t i = 0; i < paths_[p].path.edges.size(); ++i)
      if (side_by_side_at(paths_[p], i) != nullptr && chains_.section_at(p, i) >= 0)
        edges_of[chains_.chain_at(p, i)].push_back(i);
    return edges_of;
  }

  /// The raceway that most of a cable lies in along a chain: at its end the record may tell the one
  /// that it leaves across. -1: it does not lie there yet.
  int lies_in(std::size_t p, const std::vector<std::size_t>& edges) const {
    std::map<int, double> metres;
    for (const std::size_t i : edges)
      if (paths_[p].lies_in[i] >= 0)
        metres[paths_[p].lies_in[i]] +=
            distance(paths_[p].path.points[i], paths_[p].path.points[i + 1]);
    const auto most =
        std::max_element(metres.begin(), metres.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    return most == metres.end() ? -1 : most->first;
  }

  void place(std::size_t p, bool lying) {
    for (const auto& [chain, edges] : edges_by_chain(p)) {
      const int there = lies_in(p, edges);
      if ((there >= 0) != lying) continue;
      const int best = lying ? there : best_on(p, edges);
      for (const std::size_t i : edges) {
        chosen_[p][i] = nearest_place(side_by_side_at(paths_[p], i)->places, best);
        load_[{chains_.section_at(p, i), chosen_[p][i]}] += area_m2(p);
      }
    }
  }

  int best_on(std::size_t p, const std::vector<std::size_t>& edges) const {
    Places any = 0;
    for (const std::size_t i : edges) any |= side_by_side_at(paths_[p], i)->places;
    int best = 0;
    double least = 1e30;
    for (const int k : places_in(any)) {
      const double over = too_much(p, edges, k);
      if (over < least - 1e-12) {
        least = over;
        best = k;
      }
      if (least <= 1e-12) break;
    }
    return best;
  }

  /// By how much the k-th raceway would be overfull, where that is worst; a way on which there are
  /// fewer is as bad as one that is full.
  double too_much(std::size_t p, const std::vector<std::size_t>& edges, int k) const {
    double most = 0;
    for (const std::size_t i : edges) {
      const LaneLimits::Interval& limit = *side_by_side_at(paths_[p], i);
      const auto found = load_.find({chains_.section_at(p, i), nearest_place(limit.places, k)});
      const double load = (found == load_.end() ? 0 : found->second) + area_m2(p);
      most = std::max(most, load - limit.capacity_m2 * (1 + 1e-9));
      if ((limit.places & place_bit(k)) == 0) most = std::max(most, area_m2(p));
    }
    return most;
  }

  const std::vector<LanePath>& paths_;
  const Chains& chains_;
  std::vector<std::vector<int>> chosen_;
  std::map<std::pair<int, int>, double> load_;  ///< by section and raceway, m2
};

}  // namespace

std::vector<std::vector<int>> choose_raceways(const std::vector<LanePath>& paths,
                                              const Chains& chains) {
  return Choice(paths, chains).run();
}

}  // namespace roomloom
