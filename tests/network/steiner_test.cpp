#include "network/steiner.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "network/bag_memory.h"
#include "network/bag_states.h"
#include "network/steiner_bags.h"
#include "network/steiner_extend.h"
#include "network/steiner_subsets.h"

namespace roomloom::network {
namespace {

enum class Kind { grid, sparse, plane };

struct Case {
  Kind kind;
  int costs;  ///< 1 .. costs: few make ties
  int seed;
};

void PrintTo(const Case& c, std::ostream* out) {
  *out << "kind " << static_cast<int>(c.kind) << " costs " << c.costs << " seed " << c.seed;
}

/// Connected, with two to nine terminals, so that programming over subsets tells the optimum.
SteinerProblem problem_of(const Case& c) {
  std::mt19937 random(static_cast<unsigned>(c.seed));
  const auto below = [&](int limit) {
    return static_cast<int>(random() % static_cast<unsigned>(limit));
  };
  const auto cost = [&] { return 1.0 + below(c.costs); };
  SteinerProblem problem;
  if (c.kind == Kind::grid) {
    const int rows = 3 + below(3), columns = 4 + below(4);
    problem.node_count = rows * columns;
    for (int v = 0; v < problem.node_count; ++v) {
      if (v + columns < problem.node_count) problem.edges.push_back({v, v + columns, cost()});
      if ((v + 1) % columns != 0) problem.edges.push_back({v, v + 1, cost()});
    }
  } else {
    problem.node_count = 10 + below(15);
    std::vector<std::pair<int, int>> points;
    for (int v = 0; v < problem.node_count; ++v) points.emplace_back(below(100), below(100));
    const auto link = [&](int a, int b) {
      if (a == b) return;
      const auto [ax, ay] = points[static_cast<std::size_t>(a)];
      const auto [bx, by] = points[static_cast<std::size_t>(b)];
      problem.edges.push_back(
          {a, b, c.kind == Kind::plane ? std::round(std::hypot(ax - bx, ay - by)) : cost()});
    };
    for (int v = 1; v < problem.node_count; ++v) link(below(v), v);
    for (int i = below(2 * problem.node_count); i > 0; --i)
      link(below(problem.node_count), below(problem.node_count));
  }
  for (int i = 2 + below(8); i > 0; --i) problem.terminals.push_back(below(problem.node_count));
  return problem;
}

std::vector<Case> cases() {
  std::vector<Case> list;
  for (int seed = 0; seed < 60; ++seed)
    for (const Kind kind : {Kind::grid, Kind::sparse, Kind::plane})
      for (const int costs : {3, 100}) list.push_back({kind, costs, seed});
  return list;
}

double cost_of(const std::vector<SteinerEdge>& edges, const std::vector<int>& chosen) {
  double sum = 0;
  for (int e : chosen) sum += edges[static_cast<std::size_t>(e)].cost;
  return sum;
}

double optimum(const SteinerProblem& problem) {
  const SteinerCore core = make_core(SteinerGraph(problem));
  return core.terminals.size() < 2 ? 0 : solve_by_subsets(core).cost;
}

class RandomGraph : public testing::TestWithParam<Case> {};

TEST_P(RandomGraph, IsSolvedOverATreeDecompositionAsOverSubsets) {
  const SteinerCore core = make_core(SteinerGraph(problem_of(GetParam())));
  if (core.terminals.size() < 2) return;
  const double best = solve_by_subsets(core).cost;
  const int root = core.terminals.back();
  const Elimination elimination = eliminate(core, root, kBagPlaces);
  ASSERT_EQ(elimination.order.size(), static_cast<std::size_t>(core.node_count));
  SteinerDual nothing;  // no bound: no partial tree is too dear
  nothing.root = root;
  nothing.reduced.assign(2 * core.edges.size(), 0.0);
  const double none = std::numeric_limits<double>::infinity();
  for (const SteinerDual& dual : {ascend(core, root, 0), nothing}) {
    for (const double limit : {none, best + 0.5}) {
      const BagsAnswer answer = solve_by_bags(core, elimination, dual, limit, 20'000'000, {});
      ASSERT_TRUE(answer.finished);
      EXPECT_EQ(answer.tree.cost, best);
      EXPECT_EQ(cost_of(core.edges, answer.tree.edges), best);
    }
    const BagsAnswer below = solve_by_bags(core, elimination, dual, best, 20'000'000, {});
    EXPECT_TRUE(below.finished);
    EXPECT_EQ(below.tree.cost, none) << "nothing is below the optimum";
  }
}

TEST_P(RandomGraph, KeepsItsOptimumWhenReduced) {
  const SteinerProblem problem = problem_of(GetParam());
  SteinerGraph graph(problem);
  reduce(graph, {});
  const SteinerCore core = make_core(graph);
  const double rest = core.terminals.size() < 2 ? 0 : solve_by_subsets(core).cost;
  EXPECT_EQ(graph.fixed_cost() + rest, optimum(problem));
}

TEST_P(RandomGraph, KeepsItsOptimumWhenReducedByExtension) {
  const SteinerProblem problem = problem_of(GetParam());
  const double best = optimum(problem);
  // With bounds and trees, and by trees alone.
  for (const double limit : {best + 0.5, 1e9}) {
    SteinerGraph graph(problem);
    for (int pass = 0; pass < 3; ++pass) {
      const SteinerCore core = make_core(graph);
      if (core.terminals.size() < 2) break;
      const std::vector<SteinerDual> duals{ascend(core, core.terminals.front(), 0),
                                           ascend(core, core.terminals.back(), 0)};
      reduce_by_extension(graph, core, std::vector<char>(core.edges.size(), 1), duals,
                          limit - graph.fixed_cost(), [] { return false; });
      const SteinerCore left = make_core(graph);
      ASSERT_EQ(graph.fixed_cost() + solve_by_subsets(left).cost, best);
      reduce(graph, {});
    }
  }
}

// By hand: a terminal at either end of two ways of cost 2, of which one is enough.
TEST(Extension, LeavesOneOfTwoWaysOfEqualCost) {
  SteinerProblem problem;
  problem.node_count = 4;
  problem.edges = {{0, 1, 1}, {1, 2, 1}, {0, 3, 1}, {3, 2, 1}};
  problem.terminals = {0, 2};
  SteinerGraph graph(problem);
  const SteinerCore core = make_core(graph);
  EXPECT_GT(
      reduce_by_extension(graph, core, std::vector<char>(4, 1), {}, 1e9, [] { return false; }), 0);
  reduce(graph, {});
  EXPECT_EQ(graph.terminal_count(), 1) << "what is left is the one way, and that is taken";
  EXPECT_EQ(graph.fixed_cost(), 2);
}

// By hand: from 0 as root, the component of terminal 2 takes 1 in; all ways to terminal 3 lead
// through it then, so that no cut counts the arc from 3 to 1, and that keeps its cost.
TEST(Ascent, TakesInWhatItsComponentEncloses) {
  SteinerProblem problem;
  problem.node_count = 4;
  problem.edges = {{0, 1, 5}, {1, 2, 1}, {1, 3, 10}};
  problem.terminals = {0, 2, 3};
  const SteinerCore core = make_core(SteinerGraph(problem));
  const SteinerDual dual = ascend(core, 0, 0);
  EXPECT_EQ(dual.bound, 16);
  EXPECT_EQ(dual.reduced[5], 10);
}

TEST_P(RandomGraph, IsProvedOptimalByTheWholeSearch) {
  const SteinerProblem problem = problem_of(GetParam());
  SteinerBudget budget;
  budget.tree_work = 100'000;
  budget.lp_iterations = 1'000'000;
  budget.subset_seconds = 0;
  budget.bag_work = 0;  // by branch and cut alone
  const SteinerOutcome cut = solve_steiner(problem, 1, budget);
  budget.bag_work = 1'000'000;
  const SteinerOutcome bags = solve_steiner(problem, 1, budget);
  const double best = optimum(problem);
  for (const SteinerOutcome& outcome : {cut, bags}) {
    EXPECT_EQ(outcome.objective, best);
    EXPECT_EQ(outcome.bound, best);
    EXPECT_EQ(cost_of(problem.edges, outcome.edges), best);
  }
}

INSTANTIATE_TEST_SUITE_P(ByKind, RandomGraph, testing::ValuesIn(cases()));

class RepeatedParts : public testing::TestWithParam<int> {};

// Equal copies of a small graph, each hung on the same three nodes: their tables are made once.
TEST_P(RepeatedParts, AreSolvedOverATreeDecompositionAsOverSubsets) {
  std::mt19937 random(static_cast<unsigned>(GetParam()));
  const auto below = [&](int limit) {
    return static_cast<int>(random() % static_cast<unsigned>(limit));
  };
  constexpr int kShared = 3, kCopies = 4, kNodes = 5;
  std::vector<SteinerEdge> part;  // ends below kShared are shared
  for (int v = 1; v < kShared + kNodes; ++v) part.push_back({below(v), v, 1.0 + below(4)});
  for (int i = 0; i < 7; ++i) {
    const int a = below(kShared + kNodes), b = kShared + below(kNodes);
    if (a != b) part.push_back({a, b, 1.0 + below(4)});
  }
  SteinerProblem problem;
  problem.node_count = kShared + kCopies * kNodes;
  for (int copy = 0; copy < kCopies; ++copy) {
    const auto node = [&](int v) { return v < kShared ? v : v + copy * kNodes; };
    for (const SteinerEdge& edge : part)
      problem.edges.push_back({node(edge.a), node(edge.b), edge.cost});
    problem.terminals.insert(problem.terminals.end(), {node(kShared + 1), node(kShared + 4)});
  }
  const SteinerCore core = make_core(SteinerGraph(problem));
  const double best = solve_by_subsets(core).cost;
  const Elimination elimination = eliminate(core, core.terminals.back(), kBagPlaces);
  ASSERT_FALSE(elimination.order.empty());
  SteinerDual nothing;
  nothing.root = core.terminals.back();
  nothing.reduced.assign(2 * core.edges.size(), 0.0);
  const BagsAnswer answer = solve_by_bags(core, elimination, nothing, best + 0.5, 20'000'000, {});
  ASSERT_TRUE(answer.finished);
  EXPECT_EQ(answer.tree.cost, best);
  EXPECT_EQ(cost_of(core.edges, answer.tree.edges), best);
  // The edges told are a tree that joins the terminals, not those of another copy.
  SteinerProblem chosen = problem;
  chosen.edges.clear();
  for (int e : answer.tree.edges) chosen.edges.push_back(core.edges[static_cast<std::size_t>(e)]);
  chosen.node_count = core.node_count;
  chosen.terminals = core.terminals;
  EXPECT_EQ(optimum(chosen), best);
}

INSTANTIATE_TEST_SUITE_P(BySeed, RepeatedParts, testing::Range(0, 60));

TEST(BagMemory, TellsTablesMadeAlikeFromOthers) {
  BagMemory memory;
  EXPECT_EQ(memory.find({1, 2}), nullptr);
  const auto first = memory.keep({1, 2}, {});
  const auto second = memory.keep({1, 3}, {});
  EXPECT_EQ(memory.find({1, 2}), first);
  EXPECT_EQ(memory.find({1, 3}), second);
  EXPECT_NE(first->content, second->content);
}

TEST(Elimination, HasABagForEachNodeAndEdge) {
  const SteinerProblem problem = problem_of({Kind::grid, 9, 5});
  const SteinerCore core = make_core(SteinerGraph(problem));
  const Elimination elimination = eliminate(core, 0, 20);
  ASSERT_EQ(elimination.order.size(), static_cast<std::size_t>(core.node_count));
  EXPECT_EQ(elimination.order.back(), 0);
  for (const SteinerEdge& edge : core.edges) {
    const bool found = std::any_of(elimination.bags.begin(), elimination.bags.end(),
                                   [&](const std::vector<int>& bag) {
                                     return std::count(bag.begin(), bag.end(), edge.a) > 0 &&
                                            std::count(bag.begin(), bag.end(), edge.b) > 0;
                                   });
    EXPECT_TRUE(found);
  }
}

// By hand: the whole of K6 cannot be parted into bags of five.
TEST(Elimination, GivesUpWhereABagWouldBeTooLarge) {
  SteinerProblem problem;
  problem.node_count = 6;
  for (int a = 0; a < 6; ++a)
    for (int b = 0; b < a; ++b) problem.edges.push_back({a, b, 1});
  problem.terminals = {0, 1};
  const SteinerCore core = make_core(SteinerGraph(problem));
  EXPECT_TRUE(eliminate(core, 0, 5).order.empty());
  EXPECT_EQ(eliminate(core, 0, 6).largest_bag, 6U);
}

}  // namespace
}  // namespace roomloom::network
