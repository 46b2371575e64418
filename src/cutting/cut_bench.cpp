#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "cutting/cutting.h"
#include "cutting/instance_files.h"

/// cut_bench FILE [--seconds S]
/// Solves published instances and prints one line of JSON each.
namespace {

using namespace roomloom;

int fail(const Error& error) {
  std::fprintf(stderr, "cut_bench: %s\n", to_text(error).c_str());
  return 2;
}

CutJob job_of(const cutting::Instance& instance, double seconds) {
  CutJob job;
  job.seconds = seconds;
  job.improve_leftover = false;
  job.stock.push_back({"stock", instance.capacity, 1, false, {}});
  for (const double length : instance.lengths)
    job.pieces.push_back({std::to_string(job.pieces.size()), length});
  return job;
}

int solve_and_print(const std::string& path, double seconds) {
  const auto instances = cutting::read_instances(path);
  if (!instances) return fail(instances.error());
  for (const cutting::Instance& instance : *instances) {
    const auto started = std::chrono::steady_clock::now();
    const Result<CutPlan> plan = plan_cuts(job_of(instance, seconds));
    if (!plan) return fail(plan.error());
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - started;
    std::printf(
        "{\"name\": \"%s\", \"bins\": %zu, \"bound\": %d, \"proven\": %s, \"seconds\": %.3f}\n",
        instance.name.c_str(), plan->bars.size(), static_cast<int>(plan->cost_bound),
        plan->proven ? "true" : "false", taken.count());
    std::fflush(stdout);
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  std::string path;
  double seconds = 10;
  for (int i = 1; i < argc; ++i) {
    const std::string argument = argv[i];
    if (argument == "--seconds" && i + 1 < argc)
      seconds = std::strtod(argv[++i], nullptr);
    else if (path.empty() && argument.rfind("--", 0) != 0)
      path = argument;
    else
      path.clear(), i = argc;
  }
  if (path.empty()) {
    std::fprintf(stderr,
                 "usage: cut_bench FILE [--seconds S]\n"
                 "Reads OR-Library bin packing files, \"n / capacity / one size a line\", and\n"
                 "cutting stock as \"capacity\" and then rows of \"length demand\".\n");
    return 2;
  }
  return solve_and_print(path, seconds);
}
