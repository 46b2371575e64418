#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "route/costs.h"

namespace roomloom::route {

constexpr double kClosed = 1e300;

/// Cheapest way between nodes; `cost` gives an edge's cost, kClosed where it may not be used.
/// Ties go to the lower node, then to the lower edge.
using EdgeCost = std::function<double(int edge)>;
struct Search {
  std::vector<double> away;
  std::vector<Step> by;  ///< the step that enters each node; edge -1 at the start
};
/// With a `goal` the search ends there: other nodes may then be unreached or too far.
Search search_from(const Setting& setting, int node, const EdgeCost& cost, int goal = -1);
/// The way from the search's start to `node`; nothing when it was not reached.
std::optional<std::vector<Step>> way_to(const Setting& setting, const Search& search, int node);
/// A run's cheapest way leg by leg through what it must pass; empty where a leg has none.
std::vector<Step> way_by_legs(const Setting& setting, int run, const EdgeCost& cost);
std::vector<Step> reversed(std::vector<Step> way);
/// Whether an edge is not for this leg of the run's way between what it must pass.
bool closed_to_leg(const RunNeeds& needs, std::size_t leg, int edge);

/// What is open already: who lies where.
class Occupation {
 public:
  explicit Occupation(const Setting& setting);
  void add(int run, const std::vector<Step>& way);
  void remove(int run, const std::vector<Step>& way);
  /// What `run` would pay more if it lay on `edge` too; kClosed if it may not or does not fit.
  double marginal_cost(int run, int edge) const;
  /// What `run` would pay more for the whole way: a charge that several of its edges draw on counts
  /// once. kClosed if some edge is closed or full.
  double way_cost(int run, const std::vector<Step>& way) const;

 private:
  const Setting& setting_;
  /// How much dearer the edge's raceway gets by one run more.
  double added_size_price(const TrackEdge& track, std::size_t edge, int run) const;
  /// Room kept for later on an edge, with one run more (-1: without).
  double spare_on(std::size_t edge, int run) const;
  std::vector<double> load_;             ///< by edge, square metres
  std::vector<int> charge_users_;        ///< by charge, count of edge uses
  std::vector<std::vector<int>> lying_;  ///< by edge, its runs; kept only where room is kept
};

/// True for a run that lies in the room, and for one that nothing moves off its written way.
bool keeps_its_way(const Setting& setting, int run);

/// Fills RunNeeds::settled and, where there is room for it, RunNeeds::least.
void settle_simple_runs(Setting& setting);

/// Each run by itself, as if it were alone.
Ways separate_ways(const Setting& setting);

/// Where the plan that is started from has its runs; the others one after the other at what each
/// adds.
Ways written_ways(const Setting& setting);

double length_of(const Setting& setting, const std::vector<Step>& way);
/// Plans runs as if their cables had no greatest length where not even the shortest way keeps it:
/// another cable is needed, and its way is the one to plan.
void lift_hopeless_lengths(Setting& setting);
/// Metres by which a way is longer than its run's cable reaches; 0 where it reaches.
double too_long_m(const Setting& setting, int run, const std::vector<Step>& way);
/// Runs that are too long for their cables on the cheapest way that was found that is not, where
/// one was: length is weighed more and more.
Ways shortened_ways(const Setting& setting, Ways ways);

/// One run after another at what each adds, then rip-up and reroute until nothing improves or
/// `rounds` are over.
Ways improved_ways(const Setting& setting, Ways start, int rounds);

/// Closes each open hole, and each bend for whose sake a larger raceway is bought, in turn and lets
/// its runs find other ways; keeps what lowers the objective. Until nothing does, or `rounds` are
/// over.
Ways regrouped_ways(const Setting& setting, Ways ways, int rounds);

}  // namespace roomloom::route
