#pragma once

#include <vector>

#include "route/paths.h"

namespace roomloom::route {

/// A size of raceway offered for a whole link.
struct SizeOffer {
  double capacity_m2 = 0, price = 0;
};

/// Track edges that can only be used one after the other, as one.
struct Link {
  int a = -1, b = -1;       ///< nodes of the track graph
  std::vector<Step> steps;  ///< a -> b
  double length_m = 0, per_run_cost = 0;
  std::vector<int> charges;  ///< into Tracks::charges, ascending, no repeats
  std::uint32_t closed_to = 0;
  double largest_diameter_m = 1, capacity_m2 = 0;  ///< capacity 0 = no limit
  std::vector<SizeOffer> offers;  ///< raceway sizes by capacity; none is cheaper and larger
};

/// Several runs that start from ports of one zone. Their own short free ways to the tracks about
/// them are told as one edge a track node, with a cost of its own for each run: this makes many
/// sources one, for which the bound is far better.
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

/// `use_hubs` needs a class of its own for each run.
LinkGraph make_links(const Setting& setting, double all_m2, bool use_hubs);

}  // namespace roomloom::route
