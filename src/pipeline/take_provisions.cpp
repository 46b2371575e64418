#include "pipeline/take_provisions.h"

#include <algorithm>
#include <tuple>
#include <vector>

#include "geometry/arc.h"
#include "job/job.h"
#include "pipeline/choose_gauges.h"
#include "place/place.h"

namespace roomloom {
namespace {

struct Pair {
  double away_m = 0;  ///< both ends together
  Taking taking;
  std::string cable;  ///< of an open gauge, the lying one
};

double length_of(const std::vector<WayStretch>& track) {
  double sum = 0;
  for (const WayStretch& stretch : track) sum += distance(stretch.from, stretch.to);
  return sum;
}

bool is_provision(const BuiltRun& built, const Job& job) {
  if (built.provision) return true;
  return std::any_of(job.runs.begin(), job.runs.end(),
                     [&](const RunSpec& run) { return run.id == built.id && run.provision; });
}

std::string cable_of(const BuiltRun& built, const Job& job) {
  for (const RunSpec& run : job.runs)
    if (run.id == built.id) return run.cable;
  return built.cable;
}

/// The job may ask for the run itself, as more than a provision: then its cable is its own.
bool asked_for(const BuiltRun& built, const Job& job) {
  return std::any_of(job.runs.begin(), job.runs.end(),
                     [&](const RunSpec& run) { return run.id == built.id && !run.provision; });
}

/// Whether the run is no newer than the provision: half the work being recorded is no reason to
/// lead a cable elsewhere than it was pulled for.
bool was_planned_beside(const std::string& run, const BuiltRun& built) {
  return std::find(built.planned_beside.begin(), built.planned_beside.end(), run) !=
         built.planned_beside.end();
}

/// Whether the run may have that cable: the same, or of an open gauge one that is thick enough.
bool would_do(const Job& job, const RunSpec& run, const std::string& cable, double length_m) {
  if (run.open_cable.empty()) return run.cable == cable;
  const auto row = gauge_row(job, run);
  const auto place =
      std::find_if(row.begin(), row.end(), [&](const CableType* one) { return one->id == cable; });
  return place != row.end() &&
         choose_cable(job, run, row, length_m).chosen <= static_cast<int>(place - row.begin());
}

double away_m(const BuiltRun& built, const Vec3& from, const Vec3& to) {
  const Vec3 &a = built.track.front().from, &b = built.track.back().to;
  return std::min(distance(a, from) + distance(b, to), distance(a, to) + distance(b, from));
}

std::vector<Pair> pairs_of(const Ends& ends, const std::set<Taking>& refused, const Job& job) {
  std::vector<Pair> pairs;
  for (const Run& run : ends.runs) {
    if (run.spec < 0) continue;
    const RunSpec& spec = job.runs[static_cast<std::size_t>(run.spec)];
    if (spec.installed || spec.provision || spec.own_cable) continue;
    for (const BuiltRun& built : job.as_built.runs) {
      const std::string cable = cable_of(built, job);
      if (built.track.empty() || !is_provision(built, job) || asked_for(built, job) ||
          refused.contains({run.id, built.id}) || built.id == run.id ||
          was_planned_beside(run.id, built) || !would_do(job, spec, cable, built.measured_m))
        continue;
      const double away =
          away_m(built, ends.ends[static_cast<std::size_t>(run.from)].place.position,
                 ends.ends[static_cast<std::size_t>(run.to)].place.position);
      if (away <= built.measured_m - length_of(built.track))
        pairs.push_back({away, {run.id, built.id}, cable});
    }
  }
  std::sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) {
    return std::tie(a.away_m, a.taking) < std::tie(b.away_m, b.taking);
  });
  return pairs;
}

}  // namespace

std::set<Taking> take_provisions(const Scene& scene, const Room& room,
                                 const std::set<Taking>& refused, Job& job) {
  if (std::none_of(job.as_built.runs.begin(), job.as_built.runs.end(),
                   [&](const BuiltRun& built) { return is_provision(built, job); }))
    return {};
  Job guessed = job;
  guess_gauges(guessed, scene);
  const Ends ends = place_ends(scene, room, guessed);
  if (!ends.problems.empty()) return {};  // planning will tell them
  std::set<Taking> taken;
  std::set<std::string> used;
  for (const Pair& pair : pairs_of(ends, refused, job)) {
    const auto& [run, provision] = pair.taking;
    if (used.contains(run) || used.contains(provision)) continue;
    if (!take_over(run, provision, job)) continue;
    for (RunSpec& spec : job.runs)
      if (spec.id == run) spec.cable = pair.cable;
    used.insert({run, provision});
    taken.insert(pair.taking);
  }
  return taken;
}

std::set<Taking> too_short(const PlannedRoom& planned) {
  std::set<Taking> all;
  for (const RunRow& row : planned.takeoff.runs) {
    if (row.takes_over.empty()) continue;
    const Run& run = planned.ends.runs[static_cast<std::size_t>(row.run)];
    double fitting = 0;
    for (const int end : {run.from, run.to})
      if (planned.ends.ends[static_cast<std::size_t>(end)].state == EndState::fitted)
        fitting += planned.job.prefer.termination_m;
    if (!row.routed || row.drawn_m + fitting > row.cut_m) all.insert({row.id, row.takes_over});
  }
  return all;
}

}  // namespace roomloom
