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

/// A sheet's normal, where the cable lies on one; the limits tell it.
Vec3 face_at(const LanePath& path, std::size_t edge) {
  for (const LaneLimits::Interval& limit : path.limits[edge].intervals)
    if (limit.face) return limit.axis;
  return {};
}

/// A direction on the sheet with normal `from` as it is once that is turned about the seam into the
/// sheet with normal `to`.
Vec3 turned_over(const Vec3& direction, const Vec3& from, const Vec3& to) {
  const Vec3 axis = cross(from, to);
  const double lean = dot(from, to);
  if (norm(axis) < 1e-9 || lean < -1 + 1e-9) return direction;
  const Vec3 once = cross(axis, direction);
  return direction + once + (1 / (1 + lean)) * cross(axis, once);
}

/// Consecutive edges of a path that lie in one chain.
struct RacewayLeg {
  int chain = -1;
  std::vector<std::size_t> edges;
  std::vector<int> places;  ///< one an edge
};
/// Legs that follow each other round corners.
using Train = std::vector<RacewayLeg>;

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
      for (const auto& [metres, p] : order)
        for (Train& train : trains_of(p))
          if (lies_anywhere(p, train) == lying) place(p, train);
    return std::move(chosen_);
  }

 private:
  double area_m2(std::size_t p) const {
    return std::numbers::pi / 4 * paths_[p].diameter_m * paths_[p].diameter_m;
  }
  const LaneLimits::Interval& limit_at(std::size_t p, std::size_t edge) const {
    return *side_by_side_at(paths_[p], edge);
  }
  double length_of(std::size_t p, const RacewayLeg& leg) const {
    double sum = 0;
    for (const std::size_t i : leg.edges)
      sum += distance(paths_[p].path.points[i], paths_[p].path.points[i + 1]);
    return sum;
  }

  std::vector<Train> trains_of(std::size_t p) const {
    std::vector<Train> trains;
    std::size_t before = 0;
    for (std::size_t i = 0; i < paths_[p].path.edges.size(); ++i) {
      if (side_by_side_at(paths_[p], i) == nullptr || chains_.section_at(p, i) < 0) continue;
      const int chain = chains_.chain_at(p, i);
      const bool first = trains.empty();
      const bool straight_on = !first && trains.back().back().chain == chain;
      if (!straight_on && (first || before + 1 != i)) trains.emplace_back();
      if (!straight_on) trains.back().push_back({chain, {}, {}});
      trains.back().back().edges.push_back(i);
      before = i;
    }
    return trains;
  }

  /// The raceway that most of a cable lies in along a leg: at its end the record may tell the one
  /// that it leaves across. -1: it does not lie there yet.
  int lies_in(std::size_t p, const RacewayLeg& leg) const {
    std::map<int, double> metres;
    for (const std::size_t i : leg.edges)
      if (paths_[p].lies_in[i] >= 0)
        metres[paths_[p].lies_in[i]] +=
            distance(paths_[p].path.points[i], paths_[p].path.points[i + 1]);
    const auto most =
        std::max_element(metres.begin(), metres.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; });
    return most == metres.end() ? -1 : most->first;
  }
  bool lies_anywhere(std::size_t p, const Train& train) const {
    return std::any_of(train.begin(), train.end(),
                       [&](const RacewayLeg& leg) { return lies_in(p, leg) >= 0; });
  }

  /// Whether places before and after a corner count from its inside outwards. Straight on over a
  /// seam there is no inside: they do if they count the same way.
  std::pair<bool, bool> count_outwards(std::size_t p, std::size_t before, std::size_t after) const {
    const LanePath& path = paths_[p];
    const Vec3 from = face_at(path, before), to = face_at(path, after);
    const auto direction = [&](std::size_t i) {
      return normalized(path.path.points[i + 1] - path.path.points[i]);
    };
    const Vec3 in = turned_over(direction(before), from, to), out = direction(after);
    const Vec3 counted = turned_over(limit_at(p, before).axis, from, to);
    const Vec3& counts = limit_at(p, after).axis;
    if (norm(cross(in, out)) < 1e-3) return {true, dot(counted, counts) > 0};
    return {dot(counted, out) < 0, dot(counts, in) > 0};
  }

  /// The place beyond a corner of a cable in place `k` on edge `from`: those nearest to its inside
  /// go on in each other, as the take-off joins them (takeoff/raceway_tips.h).
  int beyond(std::size_t p, std::size_t from, std::size_t to, int k) const {
    const std::vector<int> here = places_in(limit_at(p, from).places);
    const std::vector<int> there = places_in(limit_at(p, to).places);
    auto [outwards_here, outwards_there] =
        count_outwards(p, std::min(from, to), std::max(from, to));
    if (to < from) std::swap(outwards_here, outwards_there);
    const auto rank = std::lower_bound(here.begin(), here.end(), k) - here.begin();
    const auto last = static_cast<std::ptrdiff_t>(there.size()) - 1;
    const auto from_inside =
        outwards_here ? rank : static_cast<std::ptrdiff_t>(here.size()) - 1 - rank;
    return there[static_cast<std::size_t>(
        std::clamp<std::ptrdiff_t>(outwards_there ? from_inside : last - from_inside, 0, last))];
  }

  void set_places(std::size_t p, RacewayLeg& leg, int k) const {
    leg.places.clear();
    for (const std::size_t i : leg.edges)
      leg.places.push_back(nearest_place(limit_at(p, i).places, k));
  }

  /// All legs of a train from the one that is in place `k`.
  void follow(std::size_t p, Train& train, std::size_t anchor, int k) const {
    set_places(p, train[anchor], k);
    for (std::size_t a = anchor; a + 1 < train.size(); ++a)
      set_places(
          p, train[a + 1],
          beyond(p, train[a].edges.back(), train[a + 1].edges.front(), train[a].places.back()));
    for (std::size_t a = anchor; a > 0; --a)
      set_places(
          p, train[a - 1],
          beyond(p, train[a].edges.front(), train[a - 1].edges.back(), train[a].places.front()));
  }

  void place(std::size_t p, Train& train) {
    std::size_t anchor = 0;
    for (std::size_t a = 1; a < train.size(); ++a)
      if (length_of(p, train[a]) > length_of(p, train[anchor]) + 1e-6) anchor = a;
    Train best;
    double least = 1e30;
    for (const int k : places_of(p, train[anchor])) {
      follow(p, train, anchor, k);
      const double over = too_much(p, train);
      if (over < least - 1e-12) {
        least = over;
        best = train;
      }
      if (least <= 1e-12) break;
    }
    train = best;
    for (RacewayLeg& leg : train) {
      const int there = lies_in(p, leg);
      if (there >= 0)
        set_places(p, leg, there);
      else if (least > 1e-12)
        place_alone(p, leg);
      for (std::size_t i = 0; i < leg.edges.size(); ++i) {
        chosen_[p][leg.edges[i]] = leg.places[i];
        load_[{chains_.section_at(p, leg.edges[i]), leg.places[i]}] += area_m2(p);
      }
    }
  }

  /// Where no raceway has room all along a train, each leg takes what it finds.
  void place_alone(std::size_t p, RacewayLeg& leg) const {
    RacewayLeg best = leg;
    double least = too_much(p, {leg});
    for (const int k : places_of(p, leg)) {
      set_places(p, leg, k);
      const double over = too_much(p, {leg});
      if (over >= least - 1e-12) continue;
      least = over;
      best = leg;
    }
    leg = best;
  }

  std::vector<int> places_of(std::size_t p, const RacewayLeg& leg) const {
    RacewayPlaces any = 0;
    for (const std::size_t i : leg.edges) any |= limit_at(p, i).places;
    return places_in(any);
  }

  /// By how much raceways would be overfull, where that is worst; to change over within a leg,
  /// because there are fewer, is as bad as one that is full.
  double too_much(std::size_t p, const Train& train) const {
    double most = 0;
    for (const RacewayLeg& leg : train)
      for (std::size_t i = 0; i < leg.edges.size(); ++i) {
        const auto found = load_.find({chains_.section_at(p, leg.edges[i]), leg.places[i]});
        const double load = (found == load_.end() ? 0 : found->second) + area_m2(p);
        most = std::max(most, load - limit_at(p, leg.edges[i]).capacity_m2 * (1 + 1e-9));
        if (leg.places[i] != leg.places.front()) most = std::max(most, area_m2(p));
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
