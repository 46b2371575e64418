#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "takeoff/high_work.h"
#include "takeoff/standing.h"
#include "takeoff/terminations.h"
#include "types/takeoff.h"

namespace roomloom {

/// What a day leaves behind for the next.
struct DayProgress {
  std::set<int> holes, supports, pieces;
  std::set<int> ramps;     ///< that lie, into Takeoff::ramps
  std::set<int> unfitted;  ///< of those pieces, closed with their fittings still to come
  std::set<std::string> boxes;
};

/// Runs of a piece of raceway, and what it covers.
struct PieceRuns {
  std::vector<int> to_do;    ///< that are in the order of work
  std::vector<int> laid_in;  ///< whose cable is still to be laid in it
  std::vector<int> holes;    ///< under its end pieces, into Takeoff::holes
};

/// A box to mount, and what asks for it.
struct BoxWants {
  std::string name;
  std::vector<int> runs;    ///< that end in it
  std::vector<int> pieces;  ///< of raceway that stop at its sides
};

/// What all days of a job share.
struct DayWorld {
  const Takeoff& takeoff;
  const std::vector<Termination>& terminations;
  const CableShapes& shapes;
  const Ends& ends;
  const Room& room;
  const Job& job;
  const std::vector<Spot>& spots;
  const std::vector<HighThing>& things;
  const std::vector<std::vector<int>>& spots_for_things;  ///< as spots_for() has them
  const std::vector<std::vector<int>>& along;
  const std::vector<int>& order;  ///< pull order of all runs
  const std::vector<PieceRuns>& piece_runs;
  const std::vector<BoxWants>& boxes;
  const std::vector<char>& open_ends;  ///< by run: an end of it is left coiled or unterminated
};

struct PlannedDay {
  std::vector<WorkStep> steps;
  int moves = 0;              ///< of the ladder
  bool fewest_places = true;  ///< proven: no fewer standing places would do
  bool fewest_stops = true;   ///< proven: no round of these places has fewer stops
};

/// How much of the work for some runs a day takes on.
enum class DayPart {
  all,
  preparation  ///< only holes, supports, boxes and raceway: what need not be on one day with cable
};

/// The steps of day `number` for some runs: places to stand, raceway, holes, pulling, ends, tests,
/// and what is closed again. Raceway that no run of the order lies in is fixed on the first day.
/// The fittings of raceway wait for the hole that an end of it covers.
/// Adds to what is done, to the places and to their names by spot. What more is done before never
/// makes the day longer.
PlannedDay plan_day(const DayWorld& world, const std::set<int>& runs, int number,
                    DayProgress& progress, std::vector<LadderPlace>& places,
                    std::map<int, std::string>& place_names, DayPart part = DayPart::all);

}  // namespace roomloom
