#pragma once

#include "network/network.h"
#include "route/paths.h"
#include "route/route.h"

namespace roomloom::route {

/// The network problem of a setting, and what its edges stand for.
struct Model {
  network::Problem problem;
  std::vector<int> track_edge;     ///< by network edge
  std::vector<int> option;         ///< by network edge: into Tracks::options, -1 = none
  std::vector<int> count;          ///< by network edge: raceways side by side
  std::vector<int> commodity_run;  ///< by commodity; a run with `via` has one a leg
  std::string text;                ///< what the bound is proved for
};

Model make_model(const Setting& setting);
network::Effort effort_of(const RouteOptions& options);
/// The ways as a plan to start from; ways that are empty are left out.
network::Solution as_solution(const Setting& setting, const Model& model, const Ways& ways);
Ways as_ways(const Setting& setting, const Model& model, const network::Solution& solution);

}  // namespace roomloom::route
