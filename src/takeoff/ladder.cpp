#include "takeoff/ladder.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/high_work.h"
#include "takeoff/work_day.h"

namespace roomloom {
namespace {

using Kind = HighThing::Kind;

double head_m(const CableType& cable) {
  return std::hypot(cable.head_width_m, cable.head_height_m);
}

/// What the record of what was built says is done.
DayProgress built_already(const Takeoff& takeoff, const Job& job) {
  DayProgress progress;
  for (std::size_t i = 0; i < takeoff.holes.size(); ++i)
    if (is_cut(takeoff.holes[i], job.as_built)) progress.holes.insert(static_cast<int>(i));
  for (std::size_t i = 0; i < takeoff.raceway_pieces.size(); ++i)
    if (takeoff.raceway_pieces[i].fixed) progress.pieces.insert(static_cast<int>(i));
  int fittings = 0;
  for (const RacewayFitting& fitting : takeoff.raceway_fittings) fittings += fitting.count;
  if (!progress.pieces.empty())
    progress.fittings = fittings * static_cast<int>(progress.pieces.size()) /
                        static_cast<int>(takeoff.raceway_pieces.size());
  return progress;
}

double minutes_of(const std::vector<WorkStep>& steps) {
  double sum = 0;
  for (const WorkStep& step : steps) sum += step.minutes;
  return sum;
}

/// Runs that take the same first hole are done together, the longest bundle first; what stays at
/// the floor comes after, cords last.
std::vector<int> batch_order(const std::vector<int>& pull, const DayWorld& w) {
  std::map<std::string, int> size;
  std::vector<std::string> group(w.ends.runs.size());
  for (const int run : pull) {
    std::string& name = group[static_cast<std::size_t>(run)];
    for (const int thing : element(w.along, run))
      if (name.empty() && element(w.things, thing).kind == Kind::hole)
        name = element(w.takeoff.holes, element(w.things, thing).index).name;
    ++size[name];
  }
  const auto rank = [&](int run) {
    const std::string& name = element(group, run);
    const bool cord = is_cord(element(w.ends.runs, run), w.ends);
    return std::tuple(cord, name.empty(), -size[name], name);
  };
  std::vector<int> order = pull;
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return rank(a) < rank(b); });
  return order;
}

}  // namespace

std::vector<int> pull_order(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  std::vector<int> order;
  for (const RunRow& row : takeoff.runs)
    if (row.routed && !row.installed) order.push_back(row.run);
  const auto key = [&](int run) {
    const CableType& cable = element(job.catalogue.cables, element(ends.runs, run).cable);
    return std::pair(-head_m(cable), -element(takeoff.runs, run).cut_m * cable.diameter_m);
  };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return key(a) < key(b); });
  return order;
}

void plan_work(Takeoff& takeoff, const std::vector<Termination>& terminations,
               const CableShapes& shapes, const Plan& plan, const Tracks& tracks, const Ends& ends,
               const Room& room, const Job& job) {
  const std::vector<Spot> spots = standing_spots(room, ends);
  const std::vector<HighThing> things = high_things(takeoff, shapes, ends, room, job);
  const std::vector<std::vector<int>> along = things_along(things, plan, tracks);
  const std::vector<int> order = pull_order(takeoff, ends, job);
  const DayWorld world{takeoff, terminations, shapes, ends, room, job, spots, things, along, order};
  DayProgress progress = built_already(takeoff, job);
  std::map<int, std::string> names;
  std::vector<LadderPlace> places;
  std::vector<WorkStep> steps;
  takeoff.fewest_places = true;
  const std::vector<int> queue = batch_order(order, world);
  int number = 1;
  for (std::size_t next = 0; next < queue.size(); ++number) {
    std::set<int> batch{queue[next++]};
    const auto planned = [&](const std::set<int>& runs, DayProgress& after,
                             std::vector<LadderPlace>& at, std::map<int, std::string>& called) {
      return plan_day(world, runs, next >= queue.size(), number, after, at, called);
    };
    for (; next < queue.size(); ++next) {
      std::set<int> more = batch;
      more.insert(queue[next]);
      DayProgress after = progress;
      std::vector<LadderPlace> at = places;
      std::map<int, std::string> called = names;
      if (minutes_of(planned(more, after, at, called).steps) > job.work.day_minutes) break;
      batch = std::move(more);
    }
    const PlannedDay day = planned(batch, progress, places, names);
    takeoff.ladder_moves += day.moves;
    takeoff.fewest_places = takeoff.fewest_places && day.proven;
    steps.insert(steps.end(), day.steps.begin(), day.steps.end());
  }
  takeoff.ladder_places = std::move(places);
  takeoff.steps = std::move(steps);
}

}  // namespace roomloom
