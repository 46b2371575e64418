// network_generated ROOMS RUNS SIDE [quick|normal|prove] [SECONDS] [plain|equal|mixed] [SEED]
// A floor of ROOMS rooms along a corridor with a tray, each room a grid of SIDE x SIDE ceiling
// tracks, RUNS runs from one rack; prints one line. `equal` and `mixed` give
// the edges sizes and the runs loads of one or three kinds, and close a fifth of the edges to a
// third of the runs, as mains nearby would. SEED gives other rooms of the kind. Invented; prices
// are in no real unit.

#include <sys/resource.h>

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "network/network.h"

namespace {

using namespace roomloom::network;

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  int below(int limit) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<int>((state_ >> 33) % static_cast<std::uint64_t>(limit));
  }

 private:
  std::uint64_t state_;
};

void add_edge(Problem& problem, int a, int b, double length, double fixed_per_metre) {
  Edge edge;
  edge.a = a;
  edge.b = b;
  edge.length = edge.cost = length;
  edge.charges = {static_cast<int>(problem.charges.size())};
  problem.charges.push_back({length * fixed_per_metre});
  problem.edges.push_back(std::move(edge));
}

Problem floor_of(int rooms, int runs, int side, std::uint64_t seed) {
  Problem problem;
  Dice dice(seed);
  const double pitch = 8.0 / side;  // rooms of 8 m x 8 m
  const int tray = rooms / 2 + 1;   // corridor nodes, one a pair of rooms; node 0 is the rack
  problem.node_count = tray + rooms * side * side;
  for (int i = 0; i + 1 < tray; ++i) add_edge(problem, i, i + 1, 8, 4);
  for (int r = 0; r < rooms; ++r) {
    const int first = tray + r * side * side;
    const auto node = [&](int x, int y) { return first + y * side + x; };
    for (int y = 0; y < side; ++y) {
      for (int x = 0; x < side; ++x) {
        const auto raceway = [&] { return 5.0 + dice.below(60) / 10.0; };
        if (x + 1 < side) add_edge(problem, node(x, y), node(x + 1, y), pitch, raceway());
        if (y + 1 < side) add_edge(problem, node(x, y), node(x, y + 1), pitch, raceway());
      }
    }
    add_edge(problem, r / 2 + 1 < tray ? r / 2 + 1 : r / 2, node(side / 2, 0), 1, 10);
  }
  for (int k = 0; k < runs; ++k) {
    Commodity c;
    c.source = 0;
    c.target = tray + (k % rooms) * side * side + dice.below(side * side);
    problem.commodities.push_back(c);
  }
  return problem;
}

/// Sizes on every edge but those of the tray, and a mask.
void add_sizes(bool mixed, std::uint64_t seed, Problem& problem) {
  Dice dice(seed);
  problem.class_count = 2;
  for (Edge& edge : problem.edges) {
    double& price = problem.charges[static_cast<std::size_t>(edge.charges[0])].price;
    const double first = 0.5 * price;  // half for fixing it, half for the raceway by its size
    price -= first;
    edge.steps = {{2, first}, {4, 1.5 * first}, {9, 2.5 * first}, {1000, 4 * first}};
    if (dice.below(5) == 0) edge.forbidden_classes = 2;
  }
  for (std::size_t k = 0; k < problem.commodities.size(); ++k) {
    Commodity& c = problem.commodities[k];
    c.load = mixed ? 1 + 0.4 * static_cast<double>(k % 3) : 1;
    c.class_index = k % 3 == 0 ? 1 : 0;
  }
}

}  // namespace

int main(int count, char** words) {
  if (count < 4) {
    std::fprintf(stderr,
                 "usage: network_generated ROOMS RUNS SIDE [EFFORT] [SECONDS] [SIZES] [SEED]\n");
    return 2;
  }
  const std::uint64_t seed = count > 7 ? std::strtoull(words[7], nullptr, 10) : 42;
  Problem problem = floor_of(std::atoi(words[1]), std::atoi(words[2]), std::atoi(words[3]), seed);
  const std::string sizes = count > 6 ? words[6] : "plain";
  if (sizes != "plain") add_sizes(sizes == "mixed", seed, problem);
  Effort effort;
  const std::string level = count > 4 ? words[4] : "normal";
  effort.level = level == "quick"   ? EffortLevel::quick
                 : level == "prove" ? EffortLevel::prove
                                    : EffortLevel::normal;
  if (count > 5) effort.time_limit_s = std::atof(words[5]);
  const auto solution = solve(problem, effort);
  if (!solution) return 3;
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  std::printf(
      "rooms %s runs %s nodes %d edges %zu objective %.3f bound %.3f gap %.2f%% proven %d "
      "%.2f s wall %.2f s processor %.0f MB defects %zu\n",
      words[1], words[2], problem.node_count, problem.edges.size(), solution->objective,
      solution->bound, 100 * solution->gap, solution->proven, solution->seconds,
      static_cast<double>(usage.ru_utime.tv_sec) +
          static_cast<double>(usage.ru_utime.tv_usec) * 1e-6,
      static_cast<double>(usage.ru_maxrss) / 1024, defects(problem, *solution).size());
  return 0;
}
