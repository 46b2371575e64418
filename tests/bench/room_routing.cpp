// room_routing JOB [quick|normal|prove] [REPEATS]
// Routing alone, on the tracks of a job: least processor seconds of the repeats, plan and bound.

#include <sys/resource.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "pipeline/roomloom.h"
#include "route/route.h"

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

}  // namespace

int main(int count, char** words) {
  if (count < 2) {
    std::fprintf(stderr, "usage: room_routing JOB [EFFORT] [REPEATS]\n");
    return 2;
  }
  PlanOptions options;
  options.effort = PlanEffort::quick;
  options.compare_variants = false;
  options.reader_program = std::filesystem::path(words[0]).parent_path() / "roomloom-read";
  const auto planned = plan_job(words[1], options);
  if (!planned) {
    std::fprintf(stderr, "%s\n", to_text(planned.error()).c_str());
    return 2;
  }
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
  std::printf(
      "%s edges %zu runs %zu separate %.4f objective %.6f bound %.6f gap %.2f%% %.3f s plan %llx\n",
      count > 2 ? words[2] : "normal", planned->tracks.edges.size(), plan.runs.size(),
      plan.separate_objective, plan.objective, plan.bound,
      100 * (plan.objective - plan.bound) / plan.bound, least, mark_of(plan));
  return 0;
}
