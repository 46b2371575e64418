#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "types/plan.h"

namespace roomloom::route {

/// What a run pays at least, whatever the others do. Empty = not known, which is only slower.
struct LeastWay {
  std::vector<double> to_end;  ///< by node: no way from there to the run's `to_node` costs less
  std::vector<Step> steps;     ///< the way that costs no more than that
};

/// What a run is to the graph.
struct RunNeeds {
  int from_node = -1, to_node = -1;
  std::vector<std::string> via;  ///< what it is to pass, in this order, as far as it can
  /// Where it is sent through that, in this order: both ends of each edge passed. Empty = it is
  /// sent nowhere.
  std::vector<int> via_nodes;
  /// By leg between these nodes: edges that are another leg's, ascending. A run that must pass a
  /// hole or a void would else turn back into where it came from.
  std::vector<std::vector<int>> leg_closed;
  std::vector<int> leg_only;  ///< by leg: the one edge that it is; -1 = any way
  double rate = 0;            ///< objective a metre, for cable and pulling
  double cable_rate = 0;      ///< of which cable
  double area_m2 = 0;         ///< pi d^2 / 4
  double diameter_m = 0, bend_radius_m = 0;
  std::uint32_t service = 0;
  double greatest_length_m = 0;  ///< 0 = none
  double out_of_reach_m = 0;     ///< what its cable reaches, where even its shortest way is longer
  std::vector<char> forbidden;   ///< by edge; empty = none beyond service and diameter
  /// The way that is best whatever the others do: it draws on no charge and has no raceway. Such
  /// runs (between two components of one rack) are no part of the joint problem, nor are those
  /// that lie and those whose lying cable is led on.
  std::vector<Step> settled;
  bool lies = false;  ///< `settled` is where it lies in the room: it costs nothing and never moves
  std::vector<char> lying;  ///< by edge: its cable lies there and costs nothing; empty = nowhere
  /// Where the plan that is started from has it, if that way is whole on this graph.
  std::vector<Step> written;
  std::vector<char> on_written;  ///< by edge: part of that way; empty = no such plan
  double moving_price = 0;       ///< a metre off that way, while plans are weighed
  bool stays = false;            ///< it keeps to `written`
  LeastWay least;
  std::string why_not;  ///< why it cannot
};

struct Layers;

/// An edge as a node sees it.
struct Neighbour {
  int edge = 0;
  int node = 0;          ///< at its other end
  bool forward = false;  ///< it leads there from its `a`
};

/// Room for later cables, kept in raceway on the ways of some runs.
struct SpareNeeds {
  double area_m2 = 0;       ///< of all its cables
  std::vector<char> along;  ///< by run; empty = every way that two or more share
};

/// The whole problem, resolved once.
struct Setting {
  const Tracks& tracks;
  const Ends& ends;
  const Room& room;
  const Job& job;
  std::vector<RunNeeds> runs;
  std::vector<std::vector<Neighbour>> edges_at;  ///< by node, edges ascending
  std::vector<char> is_terminal;                 ///< by node: no run passes through another's end
  std::vector<SpareNeeds> spares;
  /// By edge: a draw cord lies there, so that pulling takes no time of its own. Empty = none.
  std::vector<char> corded;
  const Layers* layers = nullptr;  ///< whose tracks these are; null = they are the room's
};

std::vector<std::vector<Neighbour>> neighbours_of(const Tracks& tracks);

Setting make_setting(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job);

/// Whether the edge is everybody's, or leads to an end of the run.
bool is_open_to_ends_of(const Setting& setting, int run, const TrackEdge& edge);
bool may_use(const Setting& setting, int run, int edge);

/// Square metres that the job keeps free beside these runs (each once).
double spare_m2(const Setting& setting, const std::vector<int>& runs);

/// The cheapest raceway of an edge for a load: option and how many side by side. Price 0 and option
/// -1 when the edge has none or the load is 0.
struct SizeChoice {
  int option = -1;
  int count = 0;
  double price = 0;
};
SizeChoice choose_size(const Tracks& tracks, const TrackEdge& edge, double load_m2);

/// What the raceway on an edge must be clear inside, across and off the sheet. 0 = nothing asked.
struct ClearNeed {
  double width_m = 0, depth_m = 0;
};
using ClearNeeds = std::map<int, ClearNeed>;  ///< by edge

/// Whether the edge is a straight stretch of raceway, whose size bends at its ends have a say in.
bool is_leg(const TrackEdge& edge);

/// Turns that are flatter than 15 degrees ask for nothing.
constexpr double kNoBend = 0.26;

/// What a run asks of raceway that leads along `direction` on a sheet with `normal` where it turns
/// there by an angle from or to a raceway along `other`.
ClearNeed need_of_bend(const RunNeeds& run, const Vec3& direction, const Vec3& other,
                       double angle_rad, const Vec3& normal);

/// The clear size h of a mitred corner in which a cable of diameter d can bend to radius R: solved
/// from R = (h k - d (1 + k) / 2) / (k - 1), k = 1 / cos(angle / 2). Geometry. Metres.
double least_clear_m(double radius_m, double diameter_m, double angle_rad);

/// Ways of all runs; an empty way of a run whose two nodes differ means it is not routed.
using Ways = std::vector<std::vector<Step>>;

/// A run that turns in raceway asks for a clear size on the whole of both straight stretches that
/// meet there: raceway does not change its size in the middle of a wall for a corner's sake.
ClearNeeds clear_needs(const Setting& setting, const Ways& ways);

/// The cheapest raceway for a load among those as clear as `need` asks; among those that come
/// nearest where none is (then the bend is tight, and the shape says so).
SizeChoice choose_size(const Setting& setting, int edge, double load_m2, const ClearNeeds& needs);
SizeChoice choose_size(const Setting& setting, int edge, double load_m2, const ClearNeed& need);

/// Objective of the ways: what is paid by each and what is shared.
double price_ways(const Setting& setting, const Ways& ways);

/// What leaving written ways weighs; no part of the objective.
double moving_cost(const Setting& setting, const Ways& ways);

/// Square metres by which ways exceed what edges can hold; raceways always find a size.
double overload_m2(const Setting& setting, const Ways& ways);

/// Whether a draw cord lies on an edge.
bool is_corded(const Setting& setting, int edge);

/// Variable cost of one run on one edge.
double run_cost(const Setting& setting, int run, int edge);

/// Fills charges, raceways, trunks, terms and objective from the ways.
void fill_plan(const Setting& setting, const Ways& ways, Plan& plan);

}  // namespace roomloom::route
