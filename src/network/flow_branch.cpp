#include "network/flow_branch.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#include <utility>

#include "integer/branch.h"
#include "network/flow_ascent.h"
#include "network/flow_cuts.h"
#include "network/flow_trees.h"

namespace roomloom::network {
namespace {

constexpr std::int64_t kMostPivots = 2'000'000;
constexpr std::int64_t kPivotsAnArc = 5'000;
constexpr std::uint64_t kAnneals = 4;
constexpr int kMostVain = 4;  ///< searches one after the other that find no cut

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// Openings, then flows; a tie of each flow to its opening by all that flows.
void load(const PooledFlow& flow, OsiClpSolverInterface& solver) {
  const std::size_t arcs = flow.arcs.size();
  double total = 0;
  for (const double b : flow.balance) total += std::max(0.0, b);
  std::vector<int> rows, columns;
  std::vector<double> elements, low(flow.balance), high(flow.balance), cost(2 * arcs);
  const auto put = [&](std::size_t row, std::size_t column, double element) {
    rows.push_back(static_cast<int>(row));
    columns.push_back(static_cast<int>(column));
    elements.push_back(element);
  };
  std::vector<double> most(2 * arcs, 1.0);
  for (std::size_t a = 0; a < arcs; ++a) {
    const FlowArc& arc = flow.arcs[a];
    cost[a] = arc.fixed;
    cost[arcs + a] = arc.cost;
    most[arcs + a] = arc.tail == arc.head ? 0 : COIN_DBL_MAX;
    if (arc.tail != arc.head) {
      put(at(arc.tail), arcs + a, 1);
      put(at(arc.head), arcs + a, -1);
    }
    put(low.size(), a, total);
    put(low.size(), arcs + a, -1);
    low.push_back(0);
    high.push_back(COIN_DBL_MAX);
  }
  CoinPackedMatrix matrix(true, rows.data(), columns.data(), elements.data(),
                          static_cast<CoinBigIndex>(rows.size()));
  matrix.setDimensions(static_cast<int>(low.size()), static_cast<int>(cost.size()));
  const std::vector<double> least(2 * arcs, 0.0);
  solver.messageHandler()->setLogLevel(0);
  solver.loadProblem(matrix, least.data(), most.data(), cost.data(), low.data(), high.data());
  for (std::size_t a = 0; a < arcs; ++a) solver.setInteger(static_cast<int>(a));
}

void add(const std::vector<FlowCut>& cuts, std::size_t arcs, OsiClpSolverInterface& solver) {
  std::vector<CoinBigIndex> starts{0};
  std::vector<int> columns;
  std::vector<double> elements, low, high;
  for (const FlowCut& cut : cuts) {
    for (const FlowCut::Part& part : cut.parts) {
      columns.push_back(static_cast<int>(part.opening ? at(part.arc) : arcs + at(part.arc)));
      elements.push_back(part.opening ? cut.needed : 1);
    }
    starts.push_back(static_cast<CoinBigIndex>(columns.size()));
    low.push_back(cut.needed);
    high.push_back(COIN_DBL_MAX);
  }
  solver.addRows(static_cast<int>(cuts.size()), starts.data(), columns.data(), elements.data(),
                 low.data(), high.data());
}

/// Takes off the cuts, all rows from `first` on, that do not bind.
void drop_idle(int first, OsiClpSolverInterface& solver) {
  std::vector<int> idle;
  for (int row = first; row < solver.getNumRows(); ++row)
    if (solver.getRowActivity()[row] > solver.getRowLower()[row] * (1 + 1e-3)) idle.push_back(row);
  if (!idle.empty()) solver.deleteRows(static_cast<int>(idle.size()), idle.data());
}

/// Relaxation with cuts until none is found, or none that helps. @return its value; 0: not even the
/// first was solved
double relax(const PooledFlow& flow, double deadline, double target,
             OsiClpSolverInterface& solver) {
  const std::size_t arcs = flow.arcs.size();
  const int first_cut = solver.getNumRows();
  double value = 0, before = 0;
  int vain = 0;
  add(ascent_cuts(flow), arcs, solver);
  for (std::uint64_t round = 0; now() < deadline; ++round) {
    solver.getModelPtr()->setMaximumSeconds(std::max(0.1, deadline - now()));
    round == 0 ? solver.initialSolve() : solver.resolve();
    if (!solver.isProvenOptimal()) break;
    value = std::max(value, solver.getObjValue());
    if (value >= target) break;
    const double* x = solver.getColSolution();
    const std::vector<FlowCut> cuts =
        violated_cuts(flow, {x, arcs}, {x + arcs, arcs}, round, deadline);
    vain = cuts.empty() ? vain + 1 : 0;
    if (vain == kMostVain) break;
    if (vain > 0) continue;
    if (round % 5 == 4) drop_idle(first_cut, solver);
    if (round % 20 == 19 && value < before * (1 + 1e-4)) break;
    if (round % 20 == 19) before = value;
    add(cuts, arcs, solver);
  }
  // What is left of this limit would stop the branching's relaxations, and a node whose relaxation
  // is stopped counts as one without a solution.
  solver.getModelPtr()->setMaximumSeconds(-1);
  return value;
}

/// All plans on trees cost whole numbers: flows there are whole where the balances are.
bool whole(const PooledFlow& flow) {
  const auto is_whole = [](double number) { return number == std::floor(number); };
  return std::all_of(flow.balance.begin(), flow.balance.end(), is_whole) &&
         std::all_of(flow.arcs.begin(), flow.arcs.end(),
                     [&](const FlowArc& arc) { return is_whole(arc.fixed) && is_whole(arc.cost); });
}

}  // namespace

double price(const PooledFlow& flow, const std::vector<double>& amounts) {
  double sum = 0;
  for (std::size_t a = 0; a < amounts.size(); ++a)
    if (amounts[a] > 0) sum += flow.arcs[a].fixed + flow.arcs[a].cost * amounts[a];
  return sum;
}

std::optional<BoundedFlow> cut_and_branch(const PooledFlow& flow, double deadline) {
  const double seconds = deadline - now();
  std::vector<double> best;
  double least = kUnlimited;
  const std::int64_t pivots =
      std::min(kMostPivots, kPivotsAnArc * static_cast<std::int64_t>(flow.arcs.size()));
  for (std::uint64_t seed = 1; seed <= kAnneals; ++seed) {
    std::vector<double> plan = anneal_trees(flow, pivots, seed, deadline - 0.6 * seconds);
    if (plan.empty() || price(flow, plan) >= least) continue;
    least = price(flow, plan);
    best = std::move(plan);
  }
  if (best.empty()) return std::nullopt;
  // Nothing between a whole number and the one below it counts.
  const double step = whole(flow) ? 1 - 1e-6 : 0;
  const auto settled = [&](double bound) {
    return step > 0 ? std::ceil(bound - 1e-6 * (1 + bound)) : bound;
  };
  OsiClpSolverInterface solver;
  load(flow, solver);
  double bound = settled(relax(flow, deadline - 0.3 * seconds, least * (1 - 1e-9), solver));
  const double left = deadline - now();
  if (left > 0 && bound < least * (1 - 1e-9)) {
    const double cutoff = least * (1 - 1e-9) - step;
    const BranchAnswer found = branch_within(solver, cutoff, left);
    bound = std::max(bound, found.bound >= cutoff ? least : settled(found.bound));
    if (!found.x.empty()) {
      std::vector<double> plan(found.x.begin() + static_cast<std::ptrdiff_t>(flow.arcs.size()),
                               found.x.end());
      for (double& amount : plan)
        if (amount < 1e-6) amount = 0;
      if (price(flow, plan) < least) {
        least = price(flow, plan);
        best = std::move(plan);
      }
    }
  }
  return BoundedFlow{std::move(best), least, bound};
}

}  // namespace roomloom::network
