#pragma once

#include <map>
#include <utility>
#include <vector>

#include "network/ascent.h"
#include "network/heap.h"
#include "network/model.h"

/// Plans of a model, and how they are made better by moving runs: the primal side.
namespace roomloom::network {

/// One path a demand, and who uses what.
struct Plan {
  std::vector<std::vector<int>> paths;  ///< arcs from the root to the terminal; empty: not routed
  std::vector<int> edge_users;
  std::vector<int> charge_users;    ///< edges in use of each shared charge
  std::vector<double> edge_load;    ///< empty unless the model is capacitated
  std::vector<double> charge_load;  ///< of each shared charge; empty unless some has sizes
  std::vector<std::map<int, int>> level_users;  ///< of each shared charge: passings by level
  double objective = 0;                         ///< costs and charges
  double misfit = 0;  ///< how far loads are outside floors and capacities, relatively
};

/// Fewer misfits first, then cheaper, by more than rounding.
bool better(const Plan& first, const Plan& second);

Plan empty_plan(const Model& model);

/// Objective of the paths, computed afresh.
double price(const Model& model, const Plan& plan);

/// Finds and moves paths. Holds work space; one a thread.
class Router {
 public:
  explicit Router(const Model& model);

  /// What must not be used by anybody, one flag an edge; all clear at first.
  std::vector<char> closed;
  /// Shared charges that cost nothing while a move is tried.
  std::vector<char> given;
  /// Price of a unit of Edge::length on top of everything else, while a greatest length is sought.
  double length_price = 0;
  /// Price of passing an edge that is full already.
  double crowding = 0;
  /// Weights on the own and shared charges for perturbed searches; empty: 1.
  std::vector<double> own_weight;
  /// Work done so far: nodes settled. The only clock that plans depend on.
  long long work = 0;

  Plan nothing() const { return empty_plan(model_); }
  /// Puts the demand on its cheapest path given everybody else's. @return false: no path.
  bool insert(int demand, const Permitted& permitted, Plan& plan);
  /// Puts the demand on a given path.
  void place(int demand, const std::vector<int>& path, Plan& plan);
  void remove(int demand, Plan& plan);
  /// Takes up and lays each demand anew until nothing gets better. @return true: improved
  bool reroute(const std::vector<int>& order, const Permitted& permitted, Plan& plan);
  /// Takes up one demand and lays it anew; keeps the old path unless that is better.
  bool lay_anew(int demand, const Permitted& permitted, Plan& plan);
  /// What the arcs alone cost a demand from its root to each node.
  const std::vector<double>& lower_bounds(const Demand& demand);
  /// Closes each edge whose load is outside its limits and keeps what is better. @return improved
  bool mend(const Permitted& permitted, Plan& plan);
  /// Closes each used edge or shared charge in turn and keeps what is better. @return improved
  bool close_groups(const Permitted& permitted, Plan& plan, long long work_limit);

 private:
  double length(int demand, int arc, const Plan& plan) const;
  bool try_closing(const std::vector<int>& edges, const Permitted& permitted, Plan& plan);
  double load_of(int demand) const;
  void change_users(int demand, int arc, int by, Plan& plan);
  void change_load(int demand, int arc, int by, Plan& plan);
  void change_sizes(int demand, std::size_t edge, int by, Plan& plan);

  const Model& model_;
  std::map<std::pair<int, int>, std::vector<double>> lower_;  ///< per root and plain profile
  std::vector<double> distance_;
  std::vector<int> via_;
  std::vector<int> stamp_;
  std::vector<double> span_;  ///< by demand: how far its last path was above its lower bound
  double lower_span_ = 0;     ///< of the last lower bounds: how far the farthest node was
  DistanceHeap heap_;
  int epoch_ = 0;
  std::vector<int> closing_stamp_;  ///< one an edge: equal to closing_ where it is to be closed
  int closing_ = 0;
};

}  // namespace roomloom::network
