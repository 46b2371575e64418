#include "route/symmetry.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "base/units.h"

namespace roomloom::route {
namespace {

constexpr double kSameHole_m = 0.05;  ///< holes that mirror each other within this look alike
constexpr double kSameEnd_m = 0.3;
constexpr double kOnAxis_m = 0.1;
constexpr int kRounds = 2;

/// The room's axis: an upright plane.
struct Axis {
  Vec3 at, across;  ///< unit, level, to the right
  Vec3 mirrored(const Vec3& p) const { return p - 2 * dot(p - at, across) * across; }
  double side_m(const Vec3& p) const { return dot(p - at, across); }
};

struct Pair {
  int left = -1, right = -1;
};

const TrackEdge& edge_at(const Setting& setting, int edge) {
  return setting.tracks.edges[static_cast<std::size_t>(edge)];
}

Vec3 middle_of(const Setting& setting, int edge) {
  const TrackEdge& e = edge_at(setting, edge);
  return 0.5 * (setting.tracks.nodes[static_cast<std::size_t>(e.a)].position +
                setting.tracks.nodes[static_cast<std::size_t>(e.b)].position);
}

/// True where the run's `from` is the end away from gear.
bool is_turned(const Setting& setting, int run) {
  const Run& told = setting.ends.runs[static_cast<std::size_t>(run)];
  return !setting.ends.ends[static_cast<std::size_t>(told.to)].gear.empty();
}

Vec3 far_place(const Setting& setting, int run) {
  const Run& told = setting.ends.runs[static_cast<std::size_t>(run)];
  const int end = is_turned(setting, run) ? told.from : told.to;
  return setting.ends.ends[static_cast<std::size_t>(end)].place.position;
}

bool may_move(const Setting& setting, const Ways& ways, int run) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  return !ways[static_cast<std::size_t>(run)].empty() && needs.settled.empty() &&
         needs.via.empty() && !keeps_its_way(setting, run);
}

std::vector<Pair> find_pairs(const Setting& setting, const Axis& axis) {
  std::vector<Pair> pairs;
  std::set<int> taken;
  for (int run = 0; run < static_cast<int>(setting.runs.size()); ++run) {
    const Vec3 at = far_place(setting, run);
    if (axis.side_m(at) > -kOnAxis_m || setting.runs[static_cast<std::size_t>(run)].from_node < 0)
      continue;
    Pair pair{run, -1};
    double nearest = kSameEnd_m;
    for (int other = 0; other < static_cast<int>(setting.runs.size()); ++other) {
      const double away = distance(axis.mirrored(at), far_place(setting, other));
      if (other == run || away >= nearest || taken.contains(other)) continue;
      nearest = away;
      pair.right = other;
    }
    if (pair.right < 0) continue;
    taken.insert(pair.right);
    pairs.push_back(pair);
  }
  return pairs;
}

/// The crossing that a way passes nearest to its far end; -1 if it passes none.
int last_crossing(const Setting& setting, const std::vector<Step>& way, bool turned) {
  int last = -1;
  for (const Step& step : way) {
    if (edge_at(setting, step.edge).crossing < 0) continue;
    last = step.edge;
    if (turned) break;
  }
  return last;
}

/// Each crossing edge with the one that mirrors it.
std::map<int, int> find_mirrors(const Setting& setting, const Axis& axis) {
  std::vector<int> holes;
  for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e)
    if (setting.tracks.edges[e].crossing >= 0) holes.push_back(static_cast<int>(e));
  std::map<int, int> mirrors;
  for (const int hole : holes) {
    double nearest = kSameHole_m;
    for (const int other : holes) {
      const double away =
          distance(axis.mirrored(middle_of(setting, hole)), middle_of(setting, other));
      if (away >= nearest) continue;
      nearest = away;
      mirrors[hole] = other;
    }
  }
  return mirrors;
}

bool passes_a_node_twice(const Setting& setting, const std::vector<Step>& way, int start) {
  std::set<int> seen = {start};
  for (const Step& step : way) {
    const TrackEdge& edge = edge_at(setting, step.edge);
    if (!seen.insert(step.forward ? edge.b : edge.a).second) return true;
  }
  return false;
}

/// The cheapest way whose crossing nearest to the far end is `hole`; empty if there is none.
std::vector<Step> way_through(const Setting& setting, const Occupation& occupation, int run,
                              int hole) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const bool turned = is_turned(setting, run);
  const int far = turned ? needs.from_node : needs.to_node;
  const int near = turned ? needs.to_node : needs.from_node;
  const Search out = search_from(setting, far, [&](int edge) {
    return edge_at(setting, edge).crossing >= 0 ? kClosed : occupation.marginal_cost(run, edge);
  });
  const double through = occupation.marginal_cost(run, hole);
  if (through >= kClosed) return {};
  std::vector<Step> best;
  double least = kClosed;
  for (const bool forward : {true, false}) {
    const TrackEdge& edge = edge_at(setting, hole);
    const int in = forward ? edge.a : edge.b, exit = forward ? edge.b : edge.a;
    auto way = way_to(setting, out, in);
    if (!way) continue;
    const Search back = search_from(
        setting, exit,
        [&](int e) {
          return edge_at(setting, e).crossing == edge.crossing ? kClosed
                                                               : occupation.marginal_cost(run, e);
        },
        near);
    const auto rest = way_to(setting, back, near);
    if (!rest) continue;
    way->push_back({hole, forward});
    way->insert(way->end(), rest->begin(), rest->end());
    if (passes_a_node_twice(setting, *way, far)) continue;
    const double cost = occupation.way_cost(run, *way);
    if (cost >= least) continue;
    least = cost;
    best = turned ? *way : reversed(*way);
  }
  return best;
}

/// Moves the runs of some pairs through a hole and its mirror image.
bool lead_through(const Setting& setting, const std::vector<Pair>& pairs, int left_hole,
                  int right_hole, Ways& ways) {
  Occupation occupation(setting);
  std::set<int> moved;
  for (const Pair& pair : pairs) moved.insert({pair.left, pair.right});
  for (int run = 0; run < static_cast<int>(ways.size()); ++run)
    if (!moved.contains(run)) occupation.add(run, ways[static_cast<std::size_t>(run)]);
  for (const Pair& pair : pairs)
    for (const auto& [run, hole] :
         {std::pair(pair.left, left_hole), std::pair(pair.right, right_hole)}) {
      std::vector<Step> way = way_through(setting, occupation, run, hole);
      if (way.empty()) return false;
      occupation.add(run, way);
      ways[static_cast<std::size_t>(run)] = std::move(way);
    }
  return true;
}

class Mirroring {
 public:
  Mirroring(const Setting& setting, const Axis& axis, Ways& ways)
      : setting_(setting),
        ways_(ways),
        pairs_(find_pairs(setting, axis)),
        mirrors_(find_mirrors(setting, axis)) {
    for (const auto& [hole, mirror] : mirrors_)
      if (axis.side_m(middle_of(setting, hole)) <= kOnAxis_m) left_holes_.push_back(hole);
  }

  /// Groups of pairs that leave through one hole first: a hole is saved only by all together.
  void run() {
    for (int round = 0; round < kRounds; ++round) {
      std::map<std::pair<int, int>, std::vector<Pair>> groups;
      for (const Pair& pair : pairs_)
        if (!is_mirrored(pair) && may_move(setting_, ways_, pair.left) &&
            may_move(setting_, ways_, pair.right))
          groups[{last(pair.left), last(pair.right)}].push_back(pair);
      if (groups.empty()) return;
      for (const auto& [holes, group] : groups) {
        if (group.size() > 1) improve(group);
        for (const Pair& pair : group)
          if (!is_mirrored(pair)) improve({pair});
      }
    }
  }

  const std::vector<Pair>& pairs() const { return pairs_; }
  bool is_mirrored(const Pair& pair) const {
    const int left = last(pair.left), right = last(pair.right);
    if (left < 0 || right < 0) return left < 0 && right < 0;
    const auto mirror = mirrors_.find(left);
    return mirror != mirrors_.end() && mirror->second == right;
  }

 private:
  int last(int run) const {
    return last_crossing(setting_, ways_[static_cast<std::size_t>(run)], is_turned(setting_, run));
  }

  void improve(const std::vector<Pair>& group) {
    const Preferences& prefer = setting_.job.prefer;
    const double before = price_ways(setting_, ways_), over = overload_m2(setting_, ways_);
    double most = prefer.symmetric
                      ? kClosed
                      : before + prefer.symmetry_worth * static_cast<double>(group.size());
    Ways best;
    for (const int hole : left_holes_) {
      Ways trial = ways_;
      if (!lead_through(setting_, group, hole, mirrors_.at(hole), trial)) continue;
      const double price = price_ways(setting_, trial);
      if (price > most - 1e-9 || overload_m2(setting_, trial) > over + 1e-12) continue;
      most = price;
      best = std::move(trial);
    }
    if (!best.empty()) ways_ = std::move(best);
  }

  const Setting& setting_;
  Ways& ways_;
  std::vector<Pair> pairs_;
  std::map<int, int> mirrors_;
  std::vector<int> left_holes_;
};

std::string names(const Setting& setting, const Pair& pair) {
  return setting.ends.runs[static_cast<std::size_t>(pair.left)].id + " and " +
         setting.ends.runs[static_cast<std::size_t>(pair.right)].id;
}

}  // namespace

void mirror_crossings(const Setting& setting, Ways& ways, Told& told) {
  const Preferences& prefer = setting.job.prefer;
  if (!prefer.symmetric && prefer.symmetry_worth <= 0) return;
  if (!setting.ends.listener) {
    if (prefer.symmetric)
      told.not_kept(
          "\"symmetric\": the job names no listener, so the room has no axis; holes are "
          "placed without it");
    return;
  }
  const double facing = setting.ends.facing_rad;
  const Axis axis{*setting.ends.listener, {std::cos(facing), std::sin(facing), 0}};
  Mirroring mirroring(setting, axis, ways);
  const double before = price_ways(setting, ways);
  mirroring.run();
  const double more = price_ways(setting, ways) - before;
  if (std::abs(more) > 1e-9)
    told.relaxations.push_back("holes of left and right mirrored for " + format_number(more, 2) +
                               " more; the bound leaves this out");
  if (!prefer.symmetric) return;
  for (const Pair& pair : mirroring.pairs())
    if (!mirroring.is_mirrored(pair))
      told.not_kept(names(setting, pair) +
                    ": no two holes that mirror each other can lead to both");
}

}  // namespace roomloom::route
