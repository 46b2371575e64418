#pragma once

#include "network/network.h"
#include "route/links.h"
#include "route/route.h"

namespace roomloom::route {

/// What a network edge stands for.
struct Meaning {
  int link = -1;            ///< into LinkGraph::links, or
  int hub = -1, exit = -1;  ///< an edge of a hub
};

/// The network problem of a setting, and what its edges stand for.
struct Model {
  network::Problem problem;
  LinkGraph graph;
  std::vector<Meaning> meaning;         ///< by network edge
  std::vector<int> commodity_run;       ///< by commodity; a run with `via` has one a leg
  std::vector<int> private_edges;       ///< network edges that are one end's own
  std::vector<double> least_port_cost;  ///< by run: paid besides, on the way to its hub
  std::string text;                     ///< what the bound is proved for
};

Model make_model(const Setting& setting);
network::Effort effort_of(const RouteOptions& options);
/// The ways as a plan to start from; runs with `via` and ways that are empty are left out.
network::Solution as_solution(const Setting& setting, const Model& model, const Ways& ways);
Ways as_ways(const Setting& setting, const Model& model, const std::vector<network::Route>& routes);

}  // namespace roomloom::route
