#include <algorithm>
#include <map>

#include "route/model.h"

// Between ways on the tracks and paths of the solver's problem.

namespace roomloom::route {
namespace {

/// Looks up network edges by the track edges they stand for.
struct Lookup {
  std::map<int, int> link_of_edge;                 ///< track edge -> link
  std::map<int, int> of_link;                      ///< link -> network edge
  std::map<std::pair<int, int>, int> of_hub_exit;  ///< (hub, node) -> network edge
};

Lookup make_lookup(const Model& model) {
  Lookup lookup;
  for (std::size_t i = 0; i < model.graph.links.size(); ++i)
    for (const Step& step : model.graph.links[i].steps)
      lookup.link_of_edge[step.edge] = static_cast<int>(i);
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    const Meaning& meaning = model.meaning[e];
    if (meaning.link >= 0)
      lookup.of_link[meaning.link] = static_cast<int>(e);
    else
      lookup.of_hub_exit[{meaning.hub, model.problem.edges[e].b}] = static_cast<int>(e);
  }
  return lookup;
}

/// A way in the source's direction, as network steps; empty when it leaves the solver's graph.
std::vector<network::Step> network_steps(const Setting& setting, const Model& model,
                                         const Lookup& lookup, std::size_t run,
                                         const std::vector<Step>& way) {
  std::vector<network::Step> steps;
  std::size_t i = 0;
  const int hub = model.graph.hub_of_run[run];
  if (hub >= 0) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(way[0].edge)];
    const auto found = lookup.of_hub_exit.find({hub, way[0].forward ? edge.b : edge.a});
    if (found == lookup.of_hub_exit.end()) return {};
    steps.push_back({found->second, true});
    i = 1;
  }
  while (i < way.size()) {
    const auto found = lookup.link_of_edge.find(way[i].edge);
    if (found == lookup.link_of_edge.end()) return {};
    const Link& link = model.graph.links[static_cast<std::size_t>(found->second)];
    const bool forward = way[i] == link.steps.front();
    steps.push_back({lookup.of_link.at(found->second), forward});
    i += link.steps.size();
  }
  return steps;
}

}  // namespace

network::Solution as_solution(const Setting& setting, const Model& model, const Ways& ways) {
  const Lookup lookup = make_lookup(model);
  network::Solution solution;
  for (const int run : model.commodity_run) {
    const auto r = static_cast<std::size_t>(run);
    network::Route route;
    if (!ways[r].empty() && setting.runs[r].via_nodes.empty())
      route.steps = network_steps(setting, model, lookup, r,
                                  model.graph.flipped[r] != 0 ? reversed(ways[r]) : ways[r]);
    route.reachable = !route.steps.empty();
    solution.routes.push_back(route);
  }
  return solution;
}

Ways as_ways(const Setting& setting, const Model& model,
             const std::vector<network::Route>& routes) {
  Ways ways(setting.runs.size());
  std::vector<bool> broken(setting.runs.size(), false);
  for (std::size_t k = 0; k < model.commodity_run.size(); ++k) {
    const auto run = static_cast<std::size_t>(model.commodity_run[k]);
    if (!routes[k].reachable) broken[run] = true;
    for (const network::Step& step : routes[k].steps) {
      const Meaning& meaning = model.meaning[static_cast<std::size_t>(step.edge)];
      if (meaning.link < 0) {
        const HubEdge& exit = model.graph.hubs[static_cast<std::size_t>(meaning.hub)]
                                  .edges[static_cast<std::size_t>(meaning.exit)];
        if (exit.by_run[run] < 0) {  // another run of its class may leave here, this one not
          broken[run] = true;
          continue;
        }
        ways[run].push_back({exit.by_run[run], exit.forward[run] != 0});
        continue;
      }
      const std::vector<Step>& steps =
          model.graph.links[static_cast<std::size_t>(meaning.link)].steps;
      const std::vector<Step> passed = step.forward ? steps : reversed(steps);
      ways[run].insert(ways[run].end(), passed.begin(), passed.end());
    }
  }
  for (std::size_t run = 0; run < ways.size(); ++run) {
    if (broken[run]) ways[run].clear();
    if (!setting.runs[run].settled.empty()) {
      ways[run] = setting.runs[run].settled;
      continue;
    }
    if (model.graph.flipped[run] != 0) ways[run] = reversed(ways[run]);
  }
  return ways;
}

}  // namespace roomloom::route
