// network_against_cbc RUNS WIDE DEEP HIGH [SEED]
// The same graph solved to proven optimality by this solver and by COIN-OR CBC on the whole
// disaggregated integer programme; prints processor seconds side by side, in one process.

#include <sys/resource.h>

#include <cstdio>
#include <cstdlib>

#include "network/full_milp.h"
#include "network/grid_problems.h"
#include "network/network.h"

namespace {

double processor_seconds() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_utime.tv_sec) +
         static_cast<double>(usage.ru_utime.tv_usec) * 1e-6;
}

}  // namespace

int main(int count, char** words) {
  using namespace roomloom::network;
  if (count < 5) {
    std::fprintf(stderr, "usage: network_against_cbc RUNS WIDE DEEP HIGH [SEED]\n");
    return 2;
  }
  GridSpec spec;
  spec.runs = std::atoi(words[1]);
  spec.wide = std::atoi(words[2]);
  spec.deep = std::atoi(words[3]);
  spec.high = std::atoi(words[4]);
  if (count > 5) spec.seed = static_cast<std::uint64_t>(std::atoi(words[5]));
  const Problem problem = grid_problem(spec);
  Effort effort;
  effort.level = EffortLevel::prove;
  const double start = processor_seconds();
  const auto ours = solve(problem, effort);
  const double middle = processor_seconds();
  if (!ours) return 3;
  const double optimum = milp_optimum(problem);
  const double end = processor_seconds();
  std::printf(
      "runs %d arcs %zu objective %.4f (cbc %.4f) proven %d %.3f s processor, cbc %.3f s, ratio "
      "%.0f\n",
      spec.runs, 2 * problem.edges.size(), ours->objective, optimum, ours->proven, middle - start,
      end - middle, (end - middle) / (middle - start));
  return 0;
}
