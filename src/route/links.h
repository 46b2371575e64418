#pragma once

#include <vector>

#include "route/paths.h"

namespace roomloom::route {

/// What raceway costs up to a load: at most the true price of any load that runs of this job make.
struct LoadPrice {
  double load_m2 = 0, price = 0;
};

/// Track edges that can only be used one after the other, as one.
struct Link {
  int a = -1, b = -1;       ///< nodes of the track graph
  std::vector<Step> steps;  ///< a -> b
  double length_m = 0, per_run_cost = 0;
  double corded_m = 0;       ///< of its length, where a draw cord lies
  std::vector<int> charges;  ///< into Tracks::charges, ascending, no repeats
  std::uint32_t closed_to = 0;
  double largest_diameter_m = 1, capacity_m2 = 0;  ///< capacity 0 = no limit
  std::vector<LoadPrice> sizes;                    ///< ascending in both; empty = no raceway
};

/// Several runs that start from ports of one zone. Their own short free ways to the tracks about
/// them are told as one edge a track node, which makes many sources one: the bound is far better.
struct HubEdge {
  int node = -1;              ///< of the track graph
  std::vector<int> by_run;    ///< track edge of each run, -1 = none
  std::vector<char> forward;  ///< by run: whether the track edge leads away from the port
};
struct Hub {
  std::vector<HubEdge> edges;
};

/// The track graph as the solver sees it: dead ends and pass-through nodes taken out.
struct LinkGraph {
  std::vector<Link> links;
  std::vector<Hub> hubs;
  std::vector<int> hub_of_run;  ///< by run: the hub at its `from`, or at its `to` if `flipped`
  std::vector<char> flipped;
};

LinkGraph make_links(const Setting& setting);

}  // namespace roomloom::route
