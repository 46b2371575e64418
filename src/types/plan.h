#pragma once

#include <string>
#include <vector>

#include "types/tracks.h"

namespace roomloom {

struct Step {
  int edge = -1;
  bool forward = true;
  bool operator==(const Step&) const = default;
};

/// The way of one run, or why there is none.
struct PlannedRun {
  int run = -1;  ///< into Ends::runs
  bool routed = false;
  std::vector<Step> steps;  ///< from -> to
  std::vector<std::vector<Step>>
      alternative_steps;                   ///< to each may_move_to place of its ends, in order
  std::vector<int> alternative_terminals;  ///< terminal of each
  std::string blocked_by;                  ///< part or rule that stands in the way
  bool held = false;                       ///< lies there in the room and was not to be moved
};

/// A run that does not lie where the plan that was started from had it.
struct MovedRun {
  int run = -1;
  double off_m = 0;  ///< of its way that is new
  std::string why;
};

/// What was opened and who shares it.
struct PlannedCharge {
  int charge = -1;        ///< into Tracks::charges
  std::vector<int> runs;  ///< into Ends::runs, ascending
};

/// The raceway bought on an edge.
struct PlannedRaceway {
  int edge = -1;
  int option = -1;
  std::vector<int> runs;
  double load_m2 = 0;
  int count = 1;
};

/// Metres that the same set of runs shares, end to end.
struct Trunk {
  std::vector<int> edges;
  std::vector<int> runs;
  double length_m = 0;
};

struct Term {
  std::string name;
  double amount = 0;
  std::string unit;
  double cost = 0;
};

/// All runs jointly, and how near the best it is.
struct Plan {
  std::vector<PlannedRun> runs;  ///< one for each of Ends::runs, same order
  std::vector<PlannedCharge> charges;
  std::vector<PlannedRaceway> raceways;
  std::vector<Trunk> trunks;
  std::vector<Term> terms;  ///< cable, holes, raceway, work, visible: sums to objective
  double objective = 0;
  double bound = 0;   ///< proven: no plan on this track graph costs less
  std::string model;  ///< which graph and which relaxations the bound is for
  bool proven = false;
  double separate_objective = 0;  ///< what independent cheapest paths would cost, for comparison
  std::vector<std::string> relaxations;
  std::vector<std::string> notes;  ///< what else is to be said of rules and of what was held
  bool started_from = false;       ///< it began with the ways of a written plan
  std::vector<MovedRun> moved;     ///< against that plan
};

}  // namespace roomloom
