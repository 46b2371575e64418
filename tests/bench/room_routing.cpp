// room_routing JOB [quick|normal|prove] [REPEATS] [twice]
// Routing alone, on the tracks of a job: least processor seconds of the repeats, plan and bound.
// `twice` plans it again with a further track in the middle between any two on every face: what the
// tracks leave out.

#include <sys/resource.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "geometry/polygon.h"
#include "planned_room.h"
#include "route/route.h"
#include "tracks/tracks.h"

namespace {

using namespace roomloom;

double processor_seconds() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
         static_cast<double>(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-6;
}

RouteEffort effort_of(const std::string& word) {
  return word == "quick"   ? RouteEffort::quick
         : word == "prove" ? RouteEffort::prove
                           : RouteEffort::normal;
}

/// A number that differs where plans do.
unsigned long long mark_of(const Plan& plan) {
  unsigned long long mark = 14695981039346656037ULL;
  for (const PlannedRun& run : plan.runs)
    for (const Step& step : run.steps)
      mark = (mark ^ static_cast<unsigned long long>(2 * step.edge + (step.forward ? 1 : 0))) *
             1099511628211ULL;
  return mark;
}

/// The middles of the gaps between numbers that are further apart than tracks merge.
std::vector<double> middles(std::vector<double> at, double least_gap) {
  std::sort(at.begin(), at.end());
  std::vector<double> result;
  for (std::size_t i = 1; i < at.size(); ++i)
    if (at[i] - at[i - 1] > 2 * least_gap) result.push_back(0.5 * (at[i] + at[i - 1]));
  return result;
}

/// Tracks start from ends: ends that no run uses bring the tracks through their places.
Tracks twice_the_tracks(const PlannedRoom& planned) {
  Ends ends = planned.ends;
  for (std::size_t s = 0; s < planned.room.sheets.size(); ++s) {
    const Sheet& sheet = planned.room.sheets[s];
    const PlaceId home{PlaceKind::sheet, static_cast<int>(s)};
    std::vector<double> us, vs;
    for (const TrackNode& node : planned.tracks.nodes)
      if (node.home == home) {
        const Vec2 p = sheet.frame.to_plane(node.position);
        us.push_back(p.x);
        vs.push_back(p.y);
      }
    us = middles(us, planned.tracks.merge_tolerance_m);
    vs = middles(vs, planned.tracks.merge_tolerance_m);
    for (std::size_t i = 0; i < std::max(us.size(), vs.size()); ++i) {
      if (us.empty() || vs.empty()) break;
      const Vec2 p{us[i % us.size()], vs[i % vs.size()]};
      if (!sheet.fixable || !contains(sheet.region, p)) continue;
      End end;
      end.id = "middle " + std::to_string(ends.ends.size());
      end.place = {sheet.frame.to_world(p), home, sheet.frame.n};
      ends.ends.push_back(end);
    }
  }
  return build_tracks(planned.scene, planned.room, ends, planned.job);
}

/// The plan without runs for which `other` found no way: an end in the middle of a narrow place can
/// close it.
Plan without_blocked(const PlannedRoom& planned, const Plan& other, const RouteOptions& route) {
  Ends ends = planned.ends;
  ends.runs.clear();
  for (const PlannedRun& run : other.runs) {
    const Run& told = planned.ends.runs[static_cast<std::size_t>(run.run)];
    if (run.steps.empty())
      std::printf("left out, without a way on twice the tracks: %s\n", told.id.c_str());
    else
      ends.runs.push_back(told);
  }
  return route_runs(planned.tracks, ends, planned.room, planned.job, route);
}

void report(const char* what, const Tracks& tracks, const Plan& plan, double seconds) {
  std::printf(
      "%s edges %zu runs %zu separate %.4f objective %.6f bound %.6f gap %.2f%% %.3f s plan "
      "%llx\n",
      what, tracks.edges.size(), plan.runs.size(), plan.separate_objective, plan.objective,
      plan.bound, 100 * (plan.objective - plan.bound) / plan.bound, seconds, mark_of(plan));
  for (const Term& term : plan.terms)
    std::printf("  %s %.2f %s: %.2f\n", term.name.c_str(), term.amount, term.unit.c_str(),
                term.cost);
}

}  // namespace

int main(int count, char** words) {
  if (count < 2) {
    std::fprintf(stderr, "usage: room_routing JOB [EFFORT] [REPEATS]\n");
    return 2;
  }
  const auto planned = planned_room(words[0], words[1]);
  if (!planned) return 2;
  RouteOptions route;
  route.effort = effort_of(count > 2 ? words[2] : "normal");
  const int repeats = count > 3 ? std::atoi(words[3]) : 3;
  double least = 1e9;
  Plan plan;
  for (int i = 0; i < repeats; ++i) {
    const double start = processor_seconds();
    plan = route_runs(planned->tracks, planned->ends, planned->room, planned->job, route);
    least = std::min(least, processor_seconds() - start);
  }
  report(count > 2 ? words[2] : "normal", planned->tracks, plan, least);
  if (count > 4) {
    const Tracks finer = twice_the_tracks(*planned);
    const Plan other = route_runs(finer, planned->ends, planned->room, planned->job, route);
    report("twice the tracks", finer, other, 0);
    plan = without_blocked(*planned, other, route);
    std::printf("discretisation error %.2f%%\n",
                100 * (plan.objective - other.objective) / other.objective);
  }
  return 0;
}
