#include "takeoff/ladder.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "takeoff/built.h"
#include "takeoff/cells.h"
#include "takeoff/days.h"
#include "takeoff/high_work.h"
#include "takeoff/minutes.h"
#include "takeoff/work_day.h"

namespace roomloom {
namespace {

using Kind = HighThing::Kind;

/// What the record of what was built says is done.
DayProgress built_already(const DayWorld& w) {
  DayProgress progress;
  for (std::size_t i = 0; i < w.takeoff.holes.size(); ++i)
    if (w.takeoff.holes[i].cut_already) progress.holes.insert(static_cast<int>(i));
  for (std::size_t i = 0; i < w.shapes.supports.size(); ++i)
    if (on_recorded_way(w.shapes.supports[i].at, w.job.as_built))
      progress.supports.insert(static_cast<int>(i));
  for (std::size_t i = 0; i < w.takeoff.raceway_pieces.size(); ++i)
    if (w.takeoff.raceway_pieces[i].fixed) progress.pieces.insert(static_cast<int>(i));
  return progress;
}

std::vector<BoxWants> boxes_to_mount(const Takeoff& takeoff,
                                     const std::vector<Termination>& terminations) {
  std::vector<BoxWants> boxes;
  for (const OutletBox& box : takeoff.boxes) {
    if (box.there) continue;
    BoxWants& wants = boxes.emplace_back();
    wants.name = box.name;
    for (const Termination& one : terminations)
      if (one.box == box.name) wants.runs.push_back(one.run);
    const std::string words = "into box " + box.name + " ";
    for (std::size_t i = 0; i < takeoff.raceway_pieces.size(); ++i)
      if (takeoff.raceway_pieces[i].start.find(words) != std::string::npos ||
          takeoff.raceway_pieces[i].end.find(words) != std::string::npos)
        wants.pieces.push_back(static_cast<int>(i));
  }
  return boxes;
}

std::vector<char> runs_with_open_ends(const Takeoff& takeoff,
                                      const std::vector<Termination>& terminations) {
  std::vector<char> open(takeoff.runs.size(), 0);
  for (const Termination& one : terminations)
    if (one.state == "leave coiled" || one.state == "leave unterminated")
      open[static_cast<std::size_t>(one.run)] = 1;
  return open;
}

std::vector<PieceRuns> runs_of_pieces(const Takeoff& takeoff, const std::vector<int>& order,
                                      const Ends& ends, const AsBuilt& built) {
  const auto covers = [](const RacewayPiece& piece, const HoleRow& hole) {
    return (piece.start + ",").find(" " + hole.name + ",") != std::string::npos ||
           (piece.end + ",").find(" " + hole.name + ",") != std::string::npos;
  };
  std::vector<char> to_do(takeoff.runs.size(), 0);
  for (const int run : order) to_do[static_cast<std::size_t>(run)] = 1;
  std::vector<PieceRuns> pieces;
  for (const RacewayPiece& piece : takeoff.raceway_pieces) {
    PieceRuns& runs = pieces.emplace_back();
    for (const int run : piece.runs) {
      if (element(to_do, run) == 0) continue;
      runs.to_do.push_back(run);
      if (is_laid_in(piece, element(takeoff.runs, run), ends, built)) runs.laid_in.push_back(run);
    }
    for (std::size_t i = 0; i < takeoff.holes.size(); ++i)
      if (covers(piece, takeoff.holes[i])) runs.holes.push_back(static_cast<int>(i));
  }
  return pieces;
}

double minutes_of(const std::vector<WorkStep>& steps) {
  double sum = 0;
  for (const WorkStep& step : steps) sum += step.minutes;
  return sum;
}

/// What all days of one job's work stand on.
class Work {
 public:
  explicit Work(const DayWorld& world) : w_(world), start_(built_already(world)) { group_runs(); }

  /// The runs of each day: the groups as they move the ladder least, then, where there is time
  /// left, what is done at the floor.
  std::vector<std::set<int>> days() {
    std::vector<std::set<int>> days;
    fewest_ = groups_.size() <= static_cast<std::size_t>(kMostTogether);
    if (!fewest_) largest_heads_first();
    std::set<int> earlier;
    for (std::size_t first = 0; first < groups_.size(); first += kMostTogether) {
      const std::size_t end = std::min(groups_.size(), first + kMostTogether);
      const Division division = divide_into_days(
          static_cast<int>(end - first), w_.job.work.day_minutes,
          [&](GroupSet day, GroupSet done) {
            std::set<int> before = runs_of(done, first);
            before.insert(earlier.begin(), earlier.end());
            return cost_of(runs_of(day, first), after(before));
          },
          heads_before(first, end));
      fewest_ = fewest_ && division.fewest;
      for (const GroupSet day : division.days) days.push_back(runs_of(day, first));
      for (std::size_t g = first; g < end; ++g)
        earlier.insert(groups_[g].begin(), groups_[g].end());
    }
    put_floor_runs_into(days);
    DayProgress progress = start_;
    if (days.empty() && !tried({}, progress).steps.empty()) days.emplace_back();
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

  double head_of(int run) const {
    return head_diagonal_m(element(w_.job.catalogue.cables, element(w_.ends.runs, run).cable));
  }

  void largest_heads_first() {
    const auto largest = [&](const std::set<int>& runs) {
      double most = 0;
      for (const int run : runs) most = std::max(most, head_of(run));
      return most;
    };
    std::stable_sort(groups_.begin(), groups_.end(),
                     [&](const auto& a, const auto& b) { return largest(a) > largest(b); });
  }

  /// The holes that a run passes.
  std::set<int> holes_of(int run) const {
    std::set<int> holes;
    for (const int thing : element(w_.along, run))
      if (element(w_.things, thing).kind == Kind::hole)
        holes.insert(element(w_.things, thing).index);
    return holes;
  }

  /// Holes are as wide as heads need that pass before the cables without (shape/fixings.cpp): by
  /// group, those with the larger head through a hole that it passes too.
  std::vector<GroupSet> heads_before(std::size_t first, std::size_t end) const {
    std::vector<GroupSet> before(end - first, 0);
    std::vector<std::map<int, std::pair<double, double>>> heads(end - first);  // least, most
    for (std::size_t g = 0; g < heads.size(); ++g)
      for (const int run : groups_[first + g]) {
        const double head = head_of(run);
        for (const int hole : holes_of(run)) {
          const auto [found, added] = heads[g].try_emplace(hole, head, head);
          found->second = {std::min(found->second.first, head),
                           std::max(found->second.second, head)};
        }
      }
    for (std::size_t g = 0; g < heads.size(); ++g)
      for (std::size_t other = 0; other < heads.size(); ++other)
        for (const auto& [hole, sizes] : heads[other]) {
          const auto mine = heads[g].find(hole);
          if (other != g && mine != heads[g].end() && mine->second.first < sizes.second - 1e-6)
            before[g] |= GroupSet{1} << other;
        }
    return before;
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

  std::set<int> runs_of(GroupSet set, std::size_t first) const {
    std::set<int> runs;
    for (std::size_t g = first; g < groups_.size() && g < first + kMostTogether; ++g)
      if ((set >> (g - first) & 1) != 0) runs.insert(groups_[g].begin(), groups_[g].end());
    return runs;
  }

  /// The day's steps do not change what is kept here: places are named when the days are written.
  PlannedDay tried(const std::set<int>& runs, DayProgress& progress) const {
    std::vector<LadderPlace> places;
    std::map<int, std::string> names;
    return plan_day(w_, runs, 1, progress, places, names);
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

  /// Of its own in any day: nobody else's work saves it.
  double minutes_to_pull(int run) const {
    const RunRow& row = element(w_.takeoff.runs, run);
    if (row.lies() || is_cord(element(w_.ends.runs, run), w_.ends)) return 0;
    WorkStep pulling;
    pulling.task = "pull a metre of cable";
    pulling.count = row.cut_m;
    time_step(pulling, w_.job);
    return pulling.minutes;
  }

  /// Each into the first day with the time for it, else into a new one. What is done earlier saves
  /// time later.
  void put_floor_runs_into(std::vector<std::set<int>>& days) const {
    std::vector<DayProgress> before{start_};  // each day, as far as it is known
    std::vector<double> minutes;
    const auto go_through = [&](const std::set<int>& day) {
      DayProgress progress = before.back();
      minutes.push_back(minutes_of(tried(day, progress).steps));
      before.push_back(std::move(progress));
    };
    for (const int run : at_floor_) {
      const double least = minutes_to_pull(run), most = w_.job.work.day_minutes;
      std::size_t day = 0;
      for (; day < days.size(); ++day) {
        if (minutes.size() == day) go_through(days[day]);
        if (minutes[day] + least > most) continue;
        std::set<int> more = days[day];
        more.insert(run);
        if (cost_of(more, before[day]).minutes <= most) break;
      }
      if (day == days.size()) {
        days.push_back({run});
        continue;
      }
      days[day].insert(run);
      minutes.resize(day);
      before.resize(day + 1);
    }
  }

  const DayWorld& w_;
  DayProgress start_;
  std::vector<std::set<int>> groups_;
  std::vector<int> at_floor_;
  bool fewest_ = false;
};

/// Whether the work for one cable is too long for a day, and a day before that cuts the holes and
/// fixes what it hangs on and lies in makes it shorter. Either day leaves the room usable.
bool needs_preparation(const DayWorld& world, const std::set<int>& runs, DayProgress progress) {
  std::vector<LadderPlace> places;
  std::map<int, std::string> names;
  const auto minutes = [&](DayProgress& done, DayPart part) {
    return minutes_of(plan_day(world, runs, 1, done, places, names, part).steps);
  };
  DayProgress undivided = progress;
  const double whole = minutes(undivided, DayPart::all), most = world.job.work.day_minutes + 1e-6;
  if (whole <= most) return false;
  const double before = minutes(progress, DayPart::preparation);
  return before > 0 && before <= most && minutes(progress, DayPart::all) < whole - 1e-6;
}

/// Spools are cut as the days pull: who cuts in the morning finds no later day's cable in the way.
void cut_as_pulled(Takeoff& takeoff) {
  std::map<std::string, std::pair<int, int>> when;  // run -> day and place in the order of work
  int number = 0;
  for (const WorkStep& step : takeoff.steps)
    if (step.task == "pull a metre of cable" || step.task == "lay a cord")
      for (const std::string& run : step.runs) when[run] = {step.day, ++number};
  for (Spool& spool : takeoff.spools) {
    for (SpoolCut& cut : spool.cuts) cut.day = when[cut.id].first;
    std::stable_sort(spool.cuts.begin(), spool.cuts.end(),
                     [&](const SpoolCut& a, const SpoolCut& b) { return when[a.id] < when[b.id]; });
  }
}

}  // namespace

std::vector<int> pull_order(const Takeoff& takeoff, const Ends& ends, const Job& job) {
  std::vector<int> order;
  for (const RunRow& row : takeoff.runs)
    if (row.routed && (!row.installed || row.to_finish)) order.push_back(row.run);
  const auto key = [&](int run) {
    const CableType& cable = element(job.catalogue.cables, element(ends.runs, run).cable);
    return std::pair(-head_diagonal_m(cable), -element(takeoff.runs, run).cut_m * cable.diameter_m);
  };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return key(a) < key(b); });
  return order;
}

void plan_work(Takeoff& takeoff, const std::vector<Termination>& terminations,
               const CableShapes& shapes, const Plan& plan, const Tracks& tracks, const Ends& ends,
               const Room& room, const Job& job) {
  const std::vector<Spot> spots = standing_spots(room, ends);
  const std::vector<HighThing> things = high_things(takeoff, shapes, ends, room, job);
  const std::vector<std::vector<int>> along = things_along(things, takeoff, plan, tracks, ends);
  const std::vector<int> order = pull_order(takeoff, ends, job);
  const std::vector<PieceRuns> piece_runs = runs_of_pieces(takeoff, order, ends, job.as_built);
  std::vector<std::vector<int>> spots_for_things;
  for (const HighThing& thing : things)
    spots_for_things.push_back(spots_for(thing.point, spots, job.work.reach_m));
  const std::vector<BoxWants> boxes = boxes_to_mount(takeoff, terminations);
  const std::vector<char> open_ends = runs_with_open_ends(takeoff, terminations);
  const DayWorld world{takeoff, terminations,     shapes, ends,  room,       job,   spots,
                       things,  spots_for_things, along,  order, piece_runs, boxes, open_ends};
  Work work(world);
  const std::vector<std::set<int>> days = work.days();
  DayProgress progress = work.start();
  std::map<int, std::string> names;
  std::vector<LadderPlace> places;
  std::vector<WorkStep> steps;
  takeoff.fewest_places = true;
  takeoff.fewest_moves = work.fewest();
  int number = 0;
  const auto add = [&](const PlannedDay& day) {
    takeoff.ladder_moves += day.moves;
    takeoff.fewest_places = takeoff.fewest_places && day.fewest_places;
    takeoff.fewest_moves = takeoff.fewest_moves && day.fewest_stops;
    steps.insert(steps.end(), day.steps.begin(), day.steps.end());
  };
  for (const std::set<int>& runs : days) {
    if (needs_preparation(world, runs, progress)) {
      takeoff.fewest_moves = false;
      add(plan_day(world, runs, ++number, progress, places, names, DayPart::preparation));
    }
    add(plan_day(world, runs, ++number, progress, places, names));
  }
  takeoff.ladder_places = std::move(places);
  takeoff.steps = std::move(steps);
  cut_as_pulled(takeoff);
}

}  // namespace roomloom
