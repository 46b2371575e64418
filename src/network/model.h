#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "network/network.h"

/// The problem in the shape the algorithms want: arcs instead of edges, charges split into those of
/// one edge and those of several, commodities gathered in families. Internal to this folder.
namespace roomloom::network {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// Arc 2e passes edge e from a to b, arc 2e + 1 from b to a.
constexpr int edge_of(int arc) { return arc >> 1; }
constexpr int reverse_of(int arc) { return arc ^ 1; }

/// Arcs by the node they leave or enter.
struct Adjacency {
  std::vector<int> begin;  ///< node_count + 1
  std::vector<int> arcs;
};

/// Commodities of the same root, the same permitted edges and proportional costs: some optimal plan
/// of theirs is a tree, so each edge is used in one direction only and its charge can be asked for
/// each direction separately without losing validity.
struct Family {
  int root = 0;
  int profile = 0;  ///< of its first member
  std::vector<int> members;
};

/// What one kind of commodity pays on each edge; kInfinity: not permitted.
struct Profile {
  std::vector<double> cost;  ///< one an arc
  int plain = 0;             ///< the profile without surcharges, which pays nowhere more
  double load = 0;           ///< of each of its demands, where the model has steps of size
};

/// A commodity as the algorithms see it: from a family's root to a terminal.
struct Demand {
  int root = 0;
  int terminal = 0;
  int profile = 0;
  int family = 0;
  bool flipped = false;  ///< the root is the commodity's target
  int commodity = 0;     ///< index in Problem::commodities
};

struct Model {
  const Problem* problem = nullptr;
  int node_count = 0;
  int arc_count = 0;
  std::vector<int> head;          ///< one an arc; tail(a) = head[a ^ 1]
  std::vector<double> own;        ///< one an edge: sum of the charges only this edge draws on
  std::vector<int> shared_begin;  ///< edge_count + 1, into shared
  std::vector<int> shared;        ///< indices of shared charges, one list an edge
  std::vector<int> passes;        ///< one an entry of `shared`: 2 * thing + way
  std::vector<double> price;      ///< one a shared charge
  std::vector<std::vector<ChargeSize>> charge_sizes;  ///< one a shared charge; mostly empty
  std::vector<int> charge_edges_begin;  ///< one a shared charge + 1, into charge_edges
  std::vector<int> charge_edges;
  Adjacency out;  ///< arcs anyone may use
  Adjacency in;
  std::vector<Profile> profiles;
  std::vector<Family> families;
  std::vector<Demand> demands;   ///< reachable commodities with source != target
  std::vector<int> unreachable;  ///< commodities
  bool capacitated = false;      ///< some edge has a floor or a capacity that can bind
  bool length_limited = false;
  std::vector<std::vector<SizeStep>> steps;  ///< one an edge; none at all when no edge has any

  std::uint32_t level_of(std::size_t edge) const {
    return std::uint32_t{1} << problem->edges[edge].level;
  }
  int tail(int arc) const { return head[static_cast<std::size_t>(reverse_of(arc))]; }
  double cost(int demand, int arc) const {
    const auto& d = demands[static_cast<std::size_t>(demand)];
    return profiles[static_cast<std::size_t>(d.profile)].cost[static_cast<std::size_t>(arc)];
  }
  double load(int demand) const {
    const int commodity = demands[static_cast<std::size_t>(demand)].commodity;
    return problem->commodities[static_cast<std::size_t>(commodity)].load;
  }
  bool has_sized = false;  ///< some shared charge has sizes

  bool is_stepped() const { return !steps.empty() || has_sized; }
  bool has_steps(std::size_t edge) const { return !steps.empty() && !steps[edge].empty(); }
  const std::vector<SizeStep>* steps_of(std::size_t edge) const {
    return has_steps(edge) ? &steps[edge] : nullptr;
  }
  bool needs_loads() const { return capacitated || is_stepped(); }
  bool has_shared() const { return !price.empty(); }
};

/// Checks indices and numbers. @error `network.malformed`
Status validate(const Problem& problem);

/// A model without steps and sizes that costs no plan more: each edge's steps become a line below
/// them, a fixed part that joins its own charge and a part by load that joins the arcs' costs. Of
/// all lines below them that which is highest at the edge's load in some plan: there the relaxation
/// is nearest to the truth. A charge's sizes become such a line for each level, whose fixed parts
/// are charges, the dearer on top of the cheaper.
/// @param loads one an edge, 0 where the plan leaves it unused
Model relax_steps(const Model& model, const std::vector<double>& loads);

/// Builds the model of a valid problem, which must outlive it.
Model build_model(const Problem& problem);

}  // namespace roomloom::network
