#include "takeoff/ladder.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/days.h"
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

/// What all days of one job's work stand on.
class Work {
 public:
  explicit Work(const DayWorld& world)
      : w_(world), start_(built_already(world.takeoff, world.job)) {
    group_runs();
  }

  /// The runs of each day: the groups as they move the ladder least, then, where there is time
  /// left, what is done at the floor.
  std::vector<std::set<int>> days() {
    const Division division = divide_into_days(
        static_cast<int>(groups_.size()), w_.job.work.day_minutes,
        [&](GroupSet day, GroupSet done) { return cost_of(runs_of(day), after(runs_of(done))); });
    fewest_ = division.fewest;
    std::vector<std::set<int>> days;
    for (const GroupSet day : division.days) days.push_back(runs_of(day));
    for (const int run : at_floor_) put_into_a_day(run, days);
    return days;
  }
  bool fewest() const { return fewest_; }
  const DayProgress& start() const { return start_; }

 private:
  std::string first_hole(int run) const {
    for (const int thing : element(w_.along, run))
      if (element(w_.things, thing).kind == Kind::hole)
        return element(w_.takeoff.holes, element(w_.things, thing).index).name;
    return "";
  }

  bool needs_ladder(int run) const {
    return std::any_of(w_.things.begin(), w_.things.end(), [&](const HighThing& thing) {
      return std::find(thing.runs.begin(), thing.runs.end(), run) != thing.runs.end();
    });
  }

  /// Runs that take the same first hole are done together, the longest bundle first. A bundle that
  /// is too much for a day is done in parts, the longest and stiffest first. What stays at the
  /// floor comes after, cords last.
  void group_runs() {
    std::map<std::string, std::vector<int>> bundles;
    std::vector<int> cords;
    for (const int run : w_.order) {
      if (needs_ladder(run))
        bundles[first_hole(run)].push_back(run);
      else
        (is_cord(element(w_.ends.runs, run), w_.ends) ? cords : at_floor_).push_back(run);
    }
    at_floor_.insert(at_floor_.end(), cords.begin(), cords.end());
    std::vector<std::vector<int>> sorted;
    for (const auto& [name, runs] : bundles) sorted.push_back(runs);
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const auto& a, const auto& b) { return a.size() > b.size(); });
    for (const std::vector<int>& bundle : sorted) {
      std::set<int> part;
      for (const int run : bundle) {
        std::set<int> more = part;
        more.insert(run);
        if (!part.empty() && cost_of(more, start_).minutes > w_.job.work.day_minutes) {
          groups_.push_back(part);
          more = {run};
        }
        part = more;
      }
      groups_.push_back(part);
    }
  }

  std::set<int> runs_of(GroupSet set) const {
    std::set<int> runs;
    for (std::size_t g = 0; g < groups_.size(); ++g)
      if ((set >> g & 1) != 0) runs.insert(groups_[g].begin(), groups_[g].end());
    return runs;
  }

  /// The day's steps do not change what is kept here: places are named when the days are written.
  PlannedDay tried(const std::set<int>& runs, DayProgress& progress) const {
    std::vector<LadderPlace> places;
    std::map<int, std::string> names;
    return plan_day(w_, runs, false, 1, progress, places, names);
  }

  DayCost cost_of(const std::set<int>& runs, DayProgress progress) const {
    const PlannedDay day = tried(runs, progress);
    return {minutes_of(day.steps), day.moves};
  }

  DayProgress after(const std::set<int>& runs) const {
    DayProgress progress = start_;
    if (!runs.empty()) tried(runs, progress);
    return progress;
  }

  /// The first day with the time for it, else a new one. What is done earlier saves time later.
  void put_into_a_day(int run, std::vector<std::set<int>>& days) const {
    DayProgress progress = start_;
    for (std::set<int>& day : days) {
      std::set<int> more = day;
      more.insert(run);
      if (cost_of(more, progress).minutes <= w_.job.work.day_minutes) {
        day = more;
        return;
      }
      tried(day, progress);
    }
    days.push_back({run});
  }

  const DayWorld& w_;
  DayProgress start_;
  std::vector<std::set<int>> groups_;
  std::vector<int> at_floor_;
  bool fewest_ = false;
};

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
  Work work(world);
  const std::vector<std::set<int>> days = work.days();
  DayProgress progress = work.start();
  std::map<int, std::string> names;
  std::vector<LadderPlace> places;
  std::vector<WorkStep> steps;
  takeoff.fewest_places = true;
  takeoff.fewest_moves = work.fewest();
  for (std::size_t d = 0; d < days.size(); ++d) {
    const PlannedDay day = plan_day(world, days[d], d + 1 == days.size(), static_cast<int>(d) + 1,
                                    progress, places, names);
    takeoff.ladder_moves += day.moves;
    takeoff.fewest_places = takeoff.fewest_places && day.fewest_places;
    takeoff.fewest_moves = takeoff.fewest_moves && day.fewest_stops;
    steps.insert(steps.end(), day.steps.begin(), day.steps.end());
  }
  takeoff.ladder_places = std::move(places);
  takeoff.steps = std::move(steps);
}

}  // namespace roomloom
