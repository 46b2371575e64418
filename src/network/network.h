#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

/// Fixed-charge network design: the cheapest set of paths, one a commodity, in a graph whose edges
/// draw on charges that all users share. Knows nothing of rooms or cables; costs are in any one
/// unit of the caller's. Steiner trees (charges only, one source), shortest paths (no charges) and
/// single-source network design (both) are special cases.
namespace roomloom::network {

constexpr double kUnlimited = std::numeric_limits<double>::infinity();

/// A size that what a charge stands for can have.
struct ChargeSize {
  double capacity = kUnlimited;  ///< the most that this size holds
  double price = 0;              ///< finite, >= 0
  std::uint32_t levels = ~0U;    ///< bit l set: it serves edges of Edge::level l
};

/// A price paid once if any commodity uses any edge that draws on it: a hole, a metre of raceway,
/// a fitting, a move of the ladder.
struct Charge {
  double price = 0;  ///< finite, >= 0
  /// Paid on top: the cheapest that holds all loads together and serves the levels of all edges in
  /// use. Prices ascend; the last holds and serves everything. The edges must pass one thing.
  std::vector<ChargeSize> sizes = {};
};

/// What an edge costs once it holds a load: raceway in sizes, holes drilled wider.
struct SizeStep {
  double capacity = kUnlimited;  ///< the most that this size holds
  double price = 0;              ///< of the whole edge at this size; finite, >= 0
};

/// A connection between two nodes. Parallel edges are allowed and are how options of a stretch
/// (raceway sizes, each with its own charge, floor and capacity) are told.
///
/// What a commodity k pays on the edge: cost * k.rate + class_cost[k.class_index] (0 when
/// `class_cost` is empty) + its surcharge there, and the edge's charges and its step of size once
/// together with all others.
struct Edge {
  int a = 0;                            ///< node, 0-based
  int b = 0;                            ///< node, 0-based; a != b
  bool one_way = false;                 ///< usable from a to b only
  double cost = 0;                      ///< per commodity, times its rate; >= 0
  double length = 0;                    ///< counts toward Commodity::max_length; >= 0
  std::vector<double> class_cost;       ///< empty, or one a class, >= 0
  std::uint64_t forbidden_classes = 0;  ///< bit i set: class i may not use the edge
  std::vector<int> charges;             ///< indices into Problem::charges, no repeats
  /// By charge: 2 * thing + way. Of the edges that pass one thing of a charge no commodity uses
  /// two, and commodities with a common end pass it one way, as Problem::outward asks: the bound is
  /// one for such plans. From b to a the edge passes it the other way. Empty: each edge its own
  /// thing.
  std::vector<int> passes;
  int level = 0;  ///< 0 .. 31: what it asks of the sizes of its charges
  /// Paid once, by all loads together: the price of the first step whose capacity holds their sum,
  /// the last step's where none does. Capacities and prices ascend. Empty: none.
  std::vector<SizeStep> steps;
  double floor = 0;              ///< if used at all, the loads on it must sum to at least this
  double capacity = kUnlimited;  ///< the loads of all commodities on it, both ways, at most this
};

/// What one commodity pays on an edge besides what its class does.
struct Surcharge {
  int edge = 0;
  double cost = 0;  ///< finite, >= 0
};

/// One path to be found, from source to target.
struct Commodity {
  int source = 0;
  int target = 0;                     ///< may equal source: an empty path
  int class_index = 0;                ///< 0 .. Problem::class_count - 1
  double rate = 1;                    ///< multiplies Edge::cost; >= 0
  double load = 1;                    ///< counts toward floor and capacity; >= 0
  double max_length = kUnlimited;     ///< of the sum of Edge::length on its path
  std::vector<int> forbidden_edges;   ///< edges this commodity alone may not use
  std::vector<Surcharge> surcharges;  ///< no edge twice
};

struct Problem {
  int node_count = 0;
  int class_count = 1;  ///< 1 .. 64
  std::vector<Charge> charges;
  std::vector<Edge> edges;
  std::vector<Commodity> commodities;
  /// Asks for plans in which commodities with a common end pass each edge in the same direction,
  /// away from that end; the bound is then one for such plans, and far nearer to them. Without it
  /// that is used only where it holds by itself: for commodities of proportional costs.
  bool outward = false;
};

/// How much work may be spent. The plan depends on the level alone, never on the clock, unless
/// `time_limit_s` is given and reached; then the best plan and bound so far are returned, and
/// `Solution::relaxations` says so.
enum class EffortLevel {
  quick,   ///< one dual ascent and one round of improvement; the bound may be a few per cent off
  normal,  ///< several ascents, refined bound, a small search tree
  prove    ///< until proved, or the time limit (60 s when none is given)
};

/// One edge of a path and the direction in which the path passes it (forward: a to b).
struct Step {
  int edge = 0;
  bool forward = true;
  bool operator==(const Step&) const = default;
};

/// The path of one commodity, in order from its source to its target.
struct Route {
  bool reachable = true;  ///< false: no permitted path exists; then it has no steps and no cost
  bool too_long = false;  ///< its length exceeds Commodity::max_length; no shorter one was found
  double cost = 0;        ///< variable cost only, without charges
  double length = 0;
  std::vector<Step> steps;
};

struct Effort {
  EffortLevel level = EffortLevel::normal;
  std::optional<double> time_limit_s;  ///< wall clock, seconds; > 0
  /// Asked with the plan and bound of the ascent, before prices are moved: whether they will do.
  /// Empty: they are moved.
  std::function<bool(const std::vector<Route>& routes, double bound)> enough;
};

/// An edge whose loads could not be brought within its floor or capacity.
struct Overload {
  int edge = 0;
  double load = 0;
};

/// A plan and how good it is at worst.
struct Solution {
  std::vector<Route> routes;  ///< one a commodity, in the order of the problem
  /// Other plans met on the way, the cheapest first, for callers with costs beyond the model; they
  /// keep floors and capacities, though not always greatest lengths.
  std::vector<std::vector<Route>> others;
  std::vector<int> paid_charges;    ///< ascending
  std::vector<Overload> overloads;  ///< empty when floors and capacities are kept
  double objective = 0;  ///< variable costs, paid charges and sizes of all reachable commodities
  double bound = 0;      ///< no plan for the same commodities costs less
  double gap = 0;        ///< (objective - bound) / bound; 0 when both are 0
  bool proven = false;   ///< the plan is optimal (gap within 1e-6) and keeps every rule
  std::string model;     ///< one line: which model the bound is proved for
  double seconds = 0;    ///< wall clock
  std::vector<std::string> relaxations;  ///< what the bound or the plan leaves out, in plain words
  double certified_bound = 0;  ///< what `certificate` proves; at most `bound` apart from rounding
  std::string certificate;     ///< text for `check_bound`, when asked for by `solve_certified`
};

/// Finds a plan and a proven lower bound. The same problem and level give the same plan, whatever
/// the number of cores.
/// @param warm  a plan of the same or a similar problem to start from; steps that no longer exist
///              or are not permitted are dropped. Never makes the result worse.
/// @return  commodities that cannot be connected are told in Route::reachable; the rest is planned.
/// @error `network.malformed` an index out of range, a negative or non-finite number; `where` names
///        the edge, charge or commodity.
Result<Solution> solve(const Problem& problem, const Effort& effort,
                       const Solution* warm = nullptr);

/// As `solve`, and fills `Solution::certificate`: node potentials and graph from which the separate
/// program `check_bound` recomputes `Solution::certified_bound` without this solver's code.
/// The certificate holds for the whole graph without ruling anything out or branching, so its bound
/// may be lower than `Solution::bound`. Floors, capacities and greatest lengths are left out of it.
/// @param besides  what every plan pays beyond the problem; the certificate adds it and says so
Result<Solution> solve_certified(const Problem& problem, const Effort& effort,
                                 const Solution* warm = nullptr, double besides = 0);

/// What a commodity pays for itself alone on an edge.
double variable_cost(const Problem& problem, const Commodity& commodity, int edge);

/// Fills `certificate` and `certified_bound` of a solution of a sound problem, as
/// `solve_certified`.
void certify(const Problem& problem, EffortLevel level, double besides, Solution& solution);

/// Objective of `solution.routes` computed afresh from the problem: what a plan really costs.
double price(const Problem& problem, const Solution& solution);

/// What an edge's steps of size cost under a load; 0 when nothing uses it.
double price_of_size(const std::vector<SizeStep>& steps, double load);

/// What a charge's sizes cost under a load and for the levels in use; 0 when nothing uses it.
double price_of_size(const std::vector<ChargeSize>& sizes, double load, std::uint32_t levels);

/// Everything wrong with `solution` as a plan for `problem` (broken paths, forbidden edges,
/// overloads not told, a wrong objective), one sentence each; empty when sound.
std::vector<std::string> defects(const Problem& problem, const Solution& solution);

}  // namespace roomloom::network
