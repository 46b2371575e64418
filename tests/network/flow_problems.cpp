#include "network/flow_problems.h"

#include <algorithm>
#include <cmath>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#include <random>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

PooledFlow made_up(std::uint64_t seed, int nodes) {
  std::mt19937_64 random(seed);
  const auto any = [&](int most) {
    return static_cast<int>(random() % static_cast<unsigned>(most));
  };
  PooledFlow flow;
  for (int v = 0; v < nodes; ++v) {
    flow.arcs.push_back({v, (v + 1) % nodes, 1.0 + any(50), 1.0 + any(5), kUnlimited});
    flow.arcs.push_back({(v + 1) % nodes, v, 1.0 + any(50), 1.0 + any(5), kUnlimited});
    flow.arcs.push_back({v, any(nodes), 1.0 + any(50), 1.0 + any(5), kUnlimited});
  }
  flow.balance.assign(at(nodes), 0.0);
  for (int v = 0; v < nodes / 3; ++v) {
    const double amount = 1.0 + any(20);
    flow.balance[at(v)] += amount;
    flow.balance[at(nodes - 1 - any(nodes / 3))] -= amount;
  }
  return flow;
}

PooledFlow scattered(std::uint64_t seed, int nodes, int arcs) {
  std::mt19937_64 random(seed);
  const auto any = [&](int most) {
    return static_cast<int>(random() % static_cast<unsigned>(most));
  };
  PooledFlow flow;
  const int dear = 1 + any(100);
  for (int a = 0; a < arcs; ++a)
    flow.arcs.push_back({any(nodes), any(nodes), 1.0 * any(dear), 0.5 * any(10), kUnlimited});
  flow.balance.assign(at(nodes), 0.0);
  for (int i = 0; i < 1 + nodes / 2; ++i) {
    const double amount = 1.0 + any(9);
    flow.balance[at(any(nodes))] += amount;
    flow.balance[at(any(nodes))] -= amount;
  }
  return flow;
}

double cost_of(const PooledFlow& flow, const std::vector<double>& amounts) {
  double sum = 0;
  for (std::size_t a = 0; a < amounts.size(); ++a)
    if (amounts[a] > 0) sum += flow.arcs[a].fixed + flow.arcs[a].cost * amounts[a];
  return sum;
}

double missed(const PooledFlow& flow, const std::vector<double>& amounts) {
  std::vector<double> left(flow.balance);
  double most = 0;
  for (std::size_t a = 0; a < amounts.size(); ++a) {
    left[at(flow.arcs[a].tail)] -= amounts[a];
    left[at(flow.arcs[a].head)] += amounts[a];
    most = std::max(most, -amounts[a]);
  }
  for (const double l : left) most = std::max(most, std::abs(l));
  return most;
}

double plain_optimum(const PooledFlow& flow) {
  const int arcs = static_cast<int>(flow.arcs.size());
  const int nodes = static_cast<int>(flow.balance.size());
  double total = 0;
  for (const double b : flow.balance) total += std::max(0.0, b);
  CoinPackedMatrix matrix(false, 0, 0);
  matrix.setDimensions(nodes + arcs, 0);
  std::vector<double> cost, low(at(2 * arcs), 0.0), high(at(2 * arcs), 1.0);
  for (int a = 0; a < arcs; ++a) {
    const int row = nodes + a;
    const double most = total;
    matrix.appendCol(1, &row, &most);
    cost.push_back(flow.arcs[at(a)].fixed);
  }
  for (int a = 0; a < arcs; ++a) {
    const FlowArc& arc = flow.arcs[at(a)];
    const int rows[] = {nodes + a, arc.tail, arc.head};
    const double elements[] = {-1, 1, -1};
    matrix.appendCol(arc.tail == arc.head ? 1 : 3, rows, elements);
    cost.push_back(arc.cost);
    high[at(arcs + a)] = total;
  }
  std::vector<double> least(flow.balance), most(flow.balance);
  least.resize(at(nodes + arcs), 0.0);
  most.resize(at(nodes + arcs), COIN_DBL_MAX);
  OsiClpSolverInterface solver;
  solver.messageHandler()->setLogLevel(0);
  solver.loadProblem(matrix, low.data(), high.data(), cost.data(), least.data(), most.data());
  for (int a = 0; a < arcs; ++a) solver.setInteger(a);
  CbcModel model(solver);
  CbcSolverUsefulData data;
  data.noPrinting_ = true;
  CbcMain0(model, data);
  model.setLogLevel(0);
  const char* words[] = {"test", "-log", "0", "-ratio", "0", "-solve", "-quit"};
  CbcMain1(
      7, words, model, [](CbcModel*, int) { return 0; }, data);
  return model.isProvenOptimal() && model.bestSolution() != nullptr ? model.getObjValue() : -1;
}

}  // namespace roomloom::network
