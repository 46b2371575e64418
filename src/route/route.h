#pragma once

#include "types/plan.h"

namespace roomloom {

/// How hard to search. `quick`: one dual ascent, guided plans, rip-up and reroute. `normal`: then
/// whole groups of runs are moved to other holes. `prove`: until proved or out of time (a minute
/// unless told otherwise); then the plan may depend on the clock.
enum class RouteEffort { quick, normal, prove };

struct RouteOptions {
  RouteEffort effort = RouteEffort::normal;
  double seconds =
      0;  ///< wall clock, 0 = by effort alone (then the plan never depends on the clock)
  /// Where to put the proof of a bound, for the program `check_bound`; null: not asked for. It
  /// holds for the whole graph without ruling anything out, so its bound may be below the plan's.
  std::string* certificate = nullptr;
};

/// Plans all runs jointly on the track graph, and proves how near the best that is.
///
/// What a run pays on an edge: metres x (cable price x `cable_weight` + `minutes_per_run_m` x
/// `money_per_minute`) + `TrackEdge::per_run_cost`; charges and the raceway's size are paid once by
/// all who share them. Edges are closed to a run by service, by its cable's diameter, and by its
/// `avoid` names (a part, sheet, void, zone, conduit or crossing; '*' and '?' allowed).
///
/// A run that turns in raceway asks for a size in which its cable can bend, on both straight
/// stretches that meet there, where the catalogue has one. The bound counts that from `normal` on,
/// where the graph is not too large for it and no cable lies already; else sizes by load alone.
///
/// Rules beyond that are kept after the joint optimum, one run at a time, and named in
/// Plan::relaxations since the bound leaves them out:
/// - `via`: two legs, meeting where the run by itself would pass the named thing most cheaply;
/// - `same_way_as`: the run follows the other's edges wherever it can;
/// - `not_with`: the run shares no raceway, hole, support, bay or conduit with the other.
///
/// @return  one PlannedRun for each of Ends::runs; a run without a way names what stands in it, the
///          others are planned all the same. Places an end may move to get the cheapest way given
///          what is open by then. `terms` sum to `objective` exactly. Deterministic.
/// @cost    tenths of a second for thirty runs on a room's graph.
Plan route_runs(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                const RouteOptions& options = {});

/// Objective of a plan's ways at the prices of `job` on `tracks`, which must be the graph that the
/// plan was made on, prices apart. Of a plan just made it is `Plan::objective`.
double price_plan(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                  const Plan& plan);

}  // namespace roomloom
