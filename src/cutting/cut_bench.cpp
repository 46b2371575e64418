#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "cutting/cutting.h"
#include "cutting/instance_files.h"

/// cut_bench FILE [--effort N] [--within S]
/// Solves published instances and prints one line of JSON each; with --within, the last line says
/// whether each was proven in so many seconds, and the exit status is 1 where one was not.
namespace {

using namespace roomloom;

int fail(const Error& error) {
  std::fprintf(stderr, "cut_bench: %s\n", to_text(error).c_str());
  return 2;
}

CutJob job_of(const cutting::Instance& instance, long effort) {
  CutJob job;
  if (effort > 0) job.effort = effort;
  job.improve_leftover = false;
  job.stock.push_back({"stock", instance.capacity, 1, false, {}});
  for (const double length : instance.lengths)
    job.pieces.push_back({std::to_string(job.pieces.size()), length});
  return job;
}

struct Options {
  std::string path;
  long effort = 0;    ///< 0: as jobs have it
  double within = 0;  ///< seconds; 0: no limit
};

int solve_and_print(const Options& options) {
  const auto instances = cutting::read_instances(options.path);
  if (!instances) return fail(instances.error());
  double slowest = 0;
  int unproven = 0;
  for (const cutting::Instance& instance : *instances) {
    const auto started = std::chrono::steady_clock::now();
    const Result<CutPlan> plan = plan_cuts(job_of(instance, options.effort));
    if (!plan) return fail(plan.error());
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
    slowest = std::max(slowest, taken.count());
    unproven += plan->proven ? 0 : 1;
    std::printf(
        "{\"name\": \"%s\", \"bins\": %zu, \"bound\": %d, \"proven\": %s, \"rounds\": %ld, "
        "\"seconds\": %.3f}\n",
        instance.name.c_str(), plan->bars.size(), static_cast<int>(plan->cost_bound),
        plan->proven ? "true" : "false", plan->effort_spent, taken.count());
    std::fflush(stdout);
  }
  if (options.within <= 0) return 0;
  const bool kept = unproven == 0 && slowest <= options.within;
  std::printf("{\"instances\": %zu, \"unproven\": %d, \"slowest\": %.3f, \"kept\": %s}\n",
              instances->size(), unproven, slowest, kept ? "true" : "false");
  return kept ? 0 : 1;
}

}  // namespace

int main(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const std::string argument = argv[i];
    if (argument == "--effort" && i + 1 < argc)
      options.effort = std::strtol(argv[++i], nullptr, 10);
    else if (argument == "--within" && i + 1 < argc)
      options.within = std::strtod(argv[++i], nullptr);
    else if (options.path.empty() && argument.rfind("--", 0) != 0)
      options.path = argument;
    else
      options.path.clear(), i = argc;
  }
  if (options.path.empty()) {
    std::fprintf(stderr,
                 "usage: cut_bench FILE [--effort N] [--within S]\n"
                 "Reads OR-Library bin packing files, \"n / capacity / one size a line\", and\n"
                 "cutting stock as \"capacity\" and then rows of \"length demand\".\n");
    return 2;
  }
  return solve_and_print(options);
}
