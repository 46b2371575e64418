#include "network/grid_problems.h"

#include <algorithm>

namespace roomloom::network {
namespace {

/// Linear congruential generator (Knuth, MMIX), so that problems are the same everywhere.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed * 2654435761U + 12345) {}
  int below(int limit) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<int>((state_ >> 33) % static_cast<std::uint64_t>(limit));
  }

 private:
  std::uint64_t state_;
};

void add_edge(Problem& problem, int a, int b, double length, double raceway) {
  Edge edge;
  edge.a = a;
  edge.b = b;
  edge.cost = edge.length = length;
  edge.charges.push_back(static_cast<int>(problem.charges.size()));
  problem.charges.push_back({raceway});
  problem.edges.push_back(edge);
}

void add_sizes(Problem& problem) {
  const std::size_t count = problem.edges.size();
  for (std::size_t e = 0; e < count; ++e) {
    problem.edges[e].capacity = 2;
    const Edge small = problem.edges[e];
    const double price = problem.charges[static_cast<std::size_t>(small.charges[0])].price;
    add_edge(problem, small.a, small.b, small.length, 1.5 * price);
    problem.edges.back().floor = 3;
    problem.edges.back().capacity = 5;
  }
}

}  // namespace

Problem grid_problem(const GridSpec& spec) {
  Dice dice(spec.seed);
  Problem problem;
  problem.node_count = spec.wide * spec.deep * spec.high;
  problem.class_count = spec.classes;
  const auto node = [&](int x, int y, int z) { return (z * spec.deep + y) * spec.wide + x; };
  for (int z = 0; z < spec.high; ++z) {
    for (int y = 0; y < spec.deep; ++y) {
      for (int x = 0; x < spec.wide; ++x) {
        const auto length = [&] { return (20 + dice.below(80)) / 10.0; };
        const auto raceway = [&] { return (10 + dice.below(150)) / 10.0; };
        if (x + 1 < spec.wide)
          add_edge(problem, node(x, y, z), node(x + 1, y, z), length(), raceway());
        if (y + 1 < spec.deep)
          add_edge(problem, node(x, y, z), node(x, y + 1, z), length(), raceway());
        if (z + 1 < spec.high)
          add_edge(problem, node(x, y, z), node(x, y, z + 1), length(), raceway());
      }
    }
  }
  if (spec.capacities) add_sizes(problem);
  const int edges = static_cast<int>(problem.edges.size());
  for (int g = 0; g < spec.shared_charges; ++g) {
    const int charge = static_cast<int>(problem.charges.size());
    problem.charges.push_back({(30 + dice.below(200)) / 10.0});
    for (int i = 0; i < 4; ++i) {
      auto& list = problem.edges[static_cast<std::size_t>(dice.below(edges))].charges;
      if (std::find(list.begin(), list.end(), charge) == list.end()) list.push_back(charge);
    }
  }
  if (spec.masks)
    for (Edge& edge : problem.edges)
      if (dice.below(5) == 0) edge.forbidden_classes = 1ULL << dice.below(spec.classes);
  for (int k = 0; k < spec.runs; ++k) {
    Commodity c;
    c.source = (k % spec.sources) * (problem.node_count / spec.sources);
    c.target = 1 + dice.below(problem.node_count - 1);
    c.class_index = dice.below(spec.classes);
    c.rate = 1 + 0.5 * c.class_index;
    problem.commodities.push_back(c);
  }
  return problem;
}

}  // namespace roomloom::network
