#include "network/full_milp.h"

#include <algorithm>
#include <cmath>
#include <coin/CbcModel.hpp>
#include <coin/CbcSolver.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#include <map>
#include <tuple>
#include <vector>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

struct Rows {
  std::vector<int> rows, columns;
  std::vector<double> elements, low, high;
  int add(double from, double to) {
    low.push_back(from);
    high.push_back(to);
    return static_cast<int>(low.size()) - 1;
  }
  void put(int row, int column, double element) {
    rows.push_back(row);
    columns.push_back(column);
    elements.push_back(element);
  }
};

bool may_use(const Edge& edge, const Commodity& c, int index, bool forward) {
  if (edge.one_way && !forward) return false;
  if ((edge.forbidden_classes >> c.class_index) & 1U) return false;
  for (int f : c.forbidden_edges)
    if (f == index) return false;
  return true;
}

/// Sizes of charges, and that of edges which pass one thing a commodity uses one, and all of them
/// go one way, which is asked of commodities with a common end: for problems with one source.
class ThingRows {
 public:
  ThingRows(const Problem& problem, Rows& rows, std::vector<double>& cost, int first_column)
      : problem_(problem), rows_(rows), cost_(cost), next_(first_column) {
    for (std::size_t g = 0; g < problem.charges.size(); ++g) add_sizes(g);
  }
  int columns() const { return next_; }

  /// To be told of each flow of a commodity on an edge.
  void tie(int commodity, int edge, bool forward, int column) {
    const Edge& e = problem_.edges[at(edge)];
    for (std::size_t i = 0; i < e.charges.size(); ++i) {
      const int g = e.charges[i];
      tie_size(g, e.level, problem_.commodities[at(commodity)].load, column);
      if (e.passes.empty()) continue;
      const int thing = e.passes[i] / 2, way = (e.passes[i] ^ (forward ? 0 : 1)) & 1;
      const auto [once, added] = once_.try_emplace({commodity, g, thing}, -1);
      if (added) once->second = rows_.add(-COIN_DBL_MAX, 1);
      rows_.put(once->second, column, 1);
      const auto [turned, is_new] = turned_.try_emplace({g, thing}, next_);
      if (is_new) add_column(0);
      const int row = way == 0 ? rows_.add(-COIN_DBL_MAX, 1) : rows_.add(-COIN_DBL_MAX, 0);
      rows_.put(row, column, 1);
      rows_.put(row, turned->second, way == 0 ? 1 : -1);
    }
  }

 private:
  void add_column(double cost) {
    cost_.push_back(cost);
    ++next_;
  }
  void add_sizes(std::size_t g) {
    const std::vector<ChargeSize>& sizes = problem_.charges[g].sizes;
    first_size_.push_back(next_);
    holds_.push_back(-1);
    if (sizes.empty()) return;
    double all = 0;
    for (const Commodity& c : problem_.commodities) all += c.load;
    const int one = rows_.add(-COIN_DBL_MAX, 1);
    holds_.back() = rows_.add(-COIN_DBL_MAX, 0);
    for (const ChargeSize& size : sizes) {
      rows_.put(one, next_, 1);
      rows_.put(holds_.back(), next_, -std::min(size.capacity, all));
      add_column(size.price);
    }
  }
  void tie_size(int g, int level, double load, int column) {
    const std::vector<ChargeSize>& sizes = problem_.charges[at(g)].sizes;
    if (sizes.empty()) return;
    rows_.put(holds_[at(g)], column, load);
    const int serves = rows_.add(-COIN_DBL_MAX, 0);
    rows_.put(serves, column, 1);
    for (std::size_t s = 0; s < sizes.size(); ++s)
      if ((sizes[s].levels >> level) & 1U)
        rows_.put(serves, first_size_[at(g)] + static_cast<int>(s), -1);
  }

  const Problem& problem_;
  Rows& rows_;
  std::vector<double>& cost_;
  int next_;
  std::vector<int> first_size_, holds_;  ///< one a charge
  std::map<std::tuple<int, int, int>, int> once_;
  std::map<std::pair<int, int>, int> turned_;
};

}  // namespace

double milp_optimum(const Problem& problem) {
  const int charges = static_cast<int>(problem.charges.size());
  const int edges = static_cast<int>(problem.edges.size());
  const auto flow = [&](int k, int e, bool forward) {
    return charges + edges + (k * edges + e) * 2 + (forward ? 0 : 1);
  };
  const int commodities = static_cast<int>(problem.commodities.size());
  std::vector<int> first_size(at(edges) + 1, flow(commodities, 0, true));  ///< column, one an edge
  for (int e = 0; e < edges; ++e)
    first_size[at(e) + 1] = first_size[at(e)] + static_cast<int>(problem.edges[at(e)].steps.size());
  int columns = first_size[at(edges)];
  std::vector<double> cost(at(columns), 0.0), high(at(columns), 1.0);
  for (int g = 0; g < charges; ++g) cost[at(g)] = problem.charges[at(g)].price;
  Rows rows;
  ThingRows things(problem, rows, cost, columns);
  for (int k = 0; k < commodities; ++k) {
    const Commodity& c = problem.commodities[at(k)];
    const int first = static_cast<int>(rows.low.size());
    for (int v = 0; v < problem.node_count; ++v) {
      const double out = (v == c.source ? 1 : 0) - (v == c.target ? 1 : 0);
      rows.add(out, out);
    }
    for (int e = 0; e < edges; ++e) {
      const Edge& edge = problem.edges[at(e)];
      for (const bool forward : {true, false}) {
        const int column = flow(k, e, forward);
        cost[at(column)] = edge.cost * c.rate;
        if (!edge.class_cost.empty()) cost[at(column)] += edge.class_cost[at(c.class_index)];
        for (const Surcharge& surcharge : c.surcharges)
          if (surcharge.edge == e) cost[at(column)] += surcharge.cost;
        if (!may_use(edge, c, e, forward)) high[at(column)] = 0;
        rows.put(first + (forward ? edge.a : edge.b), column, 1);
        rows.put(first + (forward ? edge.b : edge.a), column, -1);
        for (int g : edge.charges) {
          const int tie = rows.add(0, COIN_DBL_MAX);
          rows.put(tie, g, 1);
          rows.put(tie, column, -1);
        }
        things.tie(k, e, forward, column);
        const int used = rows.add(0, COIN_DBL_MAX);
        rows.put(used, charges + e, 1);
        rows.put(used, column, -1);
      }
    }
  }
  for (int k = 0; k < commodities; ++k) {
    if (std::isinf(problem.commodities[at(k)].max_length)) continue;
    const int row = rows.add(-COIN_DBL_MAX, problem.commodities[at(k)].max_length);
    for (int e = 0; e < edges; ++e)
      for (const bool forward : {true, false})
        rows.put(row, flow(k, e, forward), problem.edges[at(e)].length);
  }
  for (int e = 0; e < edges; ++e) {
    const Edge& edge = problem.edges[at(e)];
    for (const bool upper : {true, false}) {
      const double limit = upper ? edge.capacity : edge.floor;
      if (std::isinf(limit) || limit <= 0) continue;
      const int row = upper ? rows.add(-COIN_DBL_MAX, 0) : rows.add(0, COIN_DBL_MAX);
      rows.put(row, charges + e, -limit);
      for (int k = 0; k < commodities; ++k)
        for (const bool forward : {true, false})
          rows.put(row, flow(k, e, forward), problem.commodities[at(k)].load);
    }
  }
  double all = 0;
  for (const Commodity& c : problem.commodities) all += c.load;
  for (int e = 0; e < edges; ++e) {  // one size at most, and it holds the loads
    const Edge& edge = problem.edges[at(e)];
    if (edge.steps.empty()) continue;
    const int one = rows.add(0, 1), holds = rows.add(-COIN_DBL_MAX, 0);
    for (std::size_t s = 0; s < edge.steps.size(); ++s) {
      const int column = first_size[at(e)] + static_cast<int>(s);
      cost[at(column)] = edge.steps[s].price;
      rows.put(one, column, 1);
      rows.put(holds, column, s + 1 == edge.steps.size() ? -all : -edge.steps[s].capacity);
    }
    for (int k = 0; k < commodities; ++k)
      for (const bool forward : {true, false})
        rows.put(holds, flow(k, e, forward), problem.commodities[at(k)].load);
  }
  columns = things.columns();
  high.resize(at(columns), 1.0);
  const std::vector<double> low(at(columns), 0.0);
  CoinPackedMatrix matrix(true, rows.rows.data(), rows.columns.data(), rows.elements.data(),
                          static_cast<CoinBigIndex>(rows.rows.size()));
  matrix.setDimensions(static_cast<int>(rows.low.size()), columns);
  OsiClpSolverInterface solver;
  solver.messageHandler()->setLogLevel(0);
  solver.loadProblem(matrix, low.data(), high.data(), cost.data(), rows.low.data(),
                     rows.high.data());
  for (int column = 0; column < columns; ++column) solver.setInteger(column);
  CbcModel model(solver);
  CbcSolverUsefulData data;
  data.noPrinting_ = true;
  CbcMain0(model, data);
  model.setLogLevel(0);
  const char* arguments[] = {"test", "-log", "0", "-ratio", "0", "-solve", "-quit"};
  CbcMain1(
      7, arguments, model, [](CbcModel*, int) { return 0; }, data);
  return model.isProvenOptimal() && model.bestSolution() != nullptr ? model.getObjValue() : -1;
}

}  // namespace roomloom::network
