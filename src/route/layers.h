#pragma once

#include <optional>
#include <vector>

#include "network/network.h"
#include "route/costs.h"

/// Tracks on which what bends ask of raceway can be priced: a copy of each straight stretch for
/// each size that can be asked of it. A run that turns goes on in a copy that holds what its bend
/// asks for, and pays for that size on the whole stretch. Where tracks meet, nodes are parted into
/// one where ways arrive and one from which they depart, so that nobody turns twice at one point,
/// which would be another bend than the two look like. A plan costs no more here than in truth, so
/// a bound on these tracks is one for the room.
///
/// What is left out, all of it in the plan's favour: what two runs ask of one stretch together
/// counts as the dearer of the two; stretches that are not quite straight, or meet at less than 15
/// degrees, ask for nothing; capacities of all copies together.
namespace roomloom::route {

struct Layers {
  Tracks tracks;                         ///< nodes, edges and charges only
  std::vector<std::vector<Step>> steps;  ///< by edge: what it stands for in the room, a to b
  std::vector<char> one_way;             ///< by edge: from a to b only
  std::vector<int> level;                ///< by edge: as network::Edge::level
  std::vector<std::vector<int>> passes;  ///< by edge, then charge: as network::Edge::passes
  std::vector<std::vector<network::ChargeSize>> sizes;  ///< by charge; capacities in square metres
  std::vector<RunNeeds> runs;
  std::vector<char> is_terminal;  ///< by node
};

/// @param most_edges  of the copies, at most
/// @return nothing where bends ask for nothing, where cable lies already, and where the copies
///         would be more than can be searched
std::optional<Layers> make_layers(const Setting& setting, std::size_t most_edges);

/// The same problem on the copies; `layers` must outlive it.
Setting setting_of(const Setting& setting, const Layers& layers);

/// Ways on the copies that stand for ways in the room; empty where there is none.
Ways lifted_ways(const Setting& layered, const Ways& ways);
/// Ways in the room that ways on the copies stand for.
Ways lowered_ways(const Setting& setting, const Layers& layers, const Ways& ways);

}  // namespace roomloom::route
