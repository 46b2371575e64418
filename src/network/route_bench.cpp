#include <sys/resource.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <string>
#include <string_view>

#include "network/instance_files.h"

/// route_bench FILE [--seconds S] [--effort quick|normal|prove]
/// Solves one published instance and prints one line of JSON.
namespace {

using namespace roomloom;
using namespace roomloom::network;

double peak_mb() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024;
}

std::string number(double value) {
  if (!std::isfinite(value)) return "null";
  char text[40];
  const auto end = std::to_chars(text, text + sizeof text, value);
  return {text, end.ptr};
}

template <typename Any>
void print(const Any& solution) {
  std::printf(
      "{\"objective\": %s, \"bound\": %s, \"gap\": %s, \"proven\": %s, \"seconds\": %s, "
      "\"peak_mb\": %s, \"model\": \"%s\"}\n",
      number(solution.objective).c_str(), number(solution.bound).c_str(),
      number(solution.gap).c_str(), solution.proven ? "true" : "false",
      number(solution.seconds).c_str(), number(peak_mb()).c_str(), solution.model.c_str());
}

int fail(const Error& error) {
  std::fprintf(stderr, "route_bench: %s\n", to_text(error).c_str());
  return 2;
}

int usage() {
  std::fprintf(stderr, "usage: route_bench FILE [--seconds S] [--effort quick|normal|prove]\n");
  return 2;
}

int solve_and_print(const std::string& path, const Effort& effort) {
  const Result<Instance> instance = read_instance(path);
  if (!instance) return fail(instance.error());
  if (const auto* paths = std::get_if<Problem>(&instance->problem)) {
    const Result<Solution> solution = solve(*paths, effort);
    if (!solution) return fail(solution.error());
    for (const Route& route : solution->routes)
      if (!route.reachable)
        return fail({"instance.infeasible", "Some terminals cannot be connected.", path, ""});
    print(*solution);
  } else {
    const Result<FlowSolution> solution =
        solve_flow(std::get<FlowProblem>(instance->problem), effort);
    if (!solution) return fail(solution.error());
    print(*solution);
  }
  return 0;
}

}  // namespace

int main(int count, char** words) {
  std::string path;
  Effort effort;
  effort.level = EffortLevel::prove;
  for (int i = 1; i < count; ++i) {
    const std::string_view word = words[i];
    const std::string_view next = i + 1 < count ? words[i + 1] : "";
    if (word == "--seconds") {
      double seconds = 0;
      const auto end = std::from_chars(next.data(), next.data() + next.size(), seconds);
      if (end.ec != std::errc{} || end.ptr != next.data() + next.size() || !(seconds > 0))
        return usage();
      effort.time_limit_s = seconds;
      ++i;
    } else if (word == "--effort") {
      if (next == "quick")
        effort.level = EffortLevel::quick;
      else if (next == "normal")
        effort.level = EffortLevel::normal;
      else if (next != "prove")
        return usage();
      ++i;
    } else if (path.empty() && !word.starts_with("--")) {
      path = word;
    } else {
      return usage();
    }
  }
  return path.empty() ? usage() : solve_and_print(path, effort);
}
