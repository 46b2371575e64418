#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "route/rules.h"

// Moves that no single run can make: a hole is saved only once all its runs have left it, and a
// bend that asks for a larger raceway only once nobody turns there.

namespace roomloom::route {
namespace {

constexpr int kSettle = 2;  ///< rounds of rip-up and reroute after a trial

using Judgement = std::tuple<double, double, double>;  ///< metres too long, overload, cost
Judgement judge(const Setting& setting, const Ways& ways) {
  double over_m = 0;
  for (std::size_t run = 0; run < ways.size(); ++run)
    over_m += too_long_m(setting, static_cast<int>(run), ways[run]);
  return {over_m, overload_m2(setting, ways),
          price_ways(setting, ways) + moving_cost(setting, ways)};
}

bool is_better(const Judgement& a, const Judgement& b) {
  return a < Judgement(std::get<0>(b), std::get<1>(b), std::get<2>(b) - 1e-9);
}

std::vector<int> hole_edges(const Setting& setting) {
  std::vector<int> edges;
  for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e)
    if (setting.tracks.edges[e].kind == EdgeKind::crossing) edges.push_back(static_cast<int>(e));
  return edges;
}

/// Bends beside raceway that is larger than its load alone would ask for.
std::vector<int> asking_bends(const Setting& setting, const Ways& ways) {
  std::map<int, double> load;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) load[step.edge] += setting.runs[run].area_m2;
  const ClearNeeds needs = clear_needs(setting, ways);
  std::set<int> raised;
  for (const auto& [edge, need] : needs) {
    const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
    const double asked = choose_size(setting, edge, load[edge], needs).price;
    if (asked > choose_size(setting.tracks, track, load[edge]).price + 1e-9) raised.insert(edge);
  }
  std::set<int> bends;
  for (const std::vector<Step>& way : ways)
    for (std::size_t i = 1; i + 1 < way.size(); ++i)
      if (setting.tracks.edges[static_cast<std::size_t>(way[i].edge)].length_m <= 0 &&
          (raised.count(way[i - 1].edge) != 0 || raised.count(way[i + 1].edge) != 0))
        bends.insert(way[i].edge);
  return {bends.begin(), bends.end()};
}

bool lies_on(const std::vector<Step>& way, int edge) {
  return std::any_of(way.begin(), way.end(), [&](const Step& step) { return step.edge == edge; });
}

/// The runs that use `edge` without it, one after the other; false if one has no other way.
bool without_edge(const Setting& setting, Ways& ways, int edge) {
  std::vector<int> moved;
  Occupation occupation(setting);
  for (std::size_t run = 0; run < ways.size(); ++run) {
    if (lies_on(ways[run], edge))
      moved.push_back(static_cast<int>(run));
    else
      occupation.add(static_cast<int>(run), ways[run]);
  }
  for (const int run : moved) {
    const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
    if (!needs.via_nodes.empty() || keeps_its_way(setting, run)) return false;
    const Search search = search_from(
        setting, needs.from_node,
        [&](int e) { return e == edge ? kClosed : occupation.marginal_cost(run, e); },
        needs.to_node);
    const auto way = way_to(setting, search, needs.to_node);
    if (!way || !passes_vias(setting, run, *way)) return false;
    ways[static_cast<std::size_t>(run)] = *way;
    occupation.add(run, *way);
  }
  return true;
}

}  // namespace

Ways regrouped_ways(const Setting& setting, Ways ways, int rounds) {
  Judgement best = judge(setting, ways);
  for (int round = 0; round < rounds; ++round) {
    bool changed = false;
    std::vector<int> groups = hole_edges(setting);
    const std::vector<int> bends = asking_bends(setting, ways);
    groups.insert(groups.end(), bends.begin(), bends.end());
    for (const int edge : groups) {
      Ways trial = ways;
      const bool open = std::any_of(ways.begin(), ways.end(),
                                    [&](const auto& way) { return lies_on(way, edge); });
      if (!open || !without_edge(setting, trial, edge)) continue;
      trial = improved_ways(setting, std::move(trial), kSettle);
      const Judgement now = judge(setting, trial);
      if (!is_better(now, best)) continue;
      best = now;
      ways = std::move(trial);
      changed = true;
    }
    if (!changed) break;
  }
  return ways;
}

}  // namespace roomloom::route
