#include "network/flow_design.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <coin/CoinPackedMatrix.hpp>
#include <coin/OsiClpSolverInterface.hpp>
#include <string>
#include <utility>

#include "integer/branch.h"
#include "network/pooled_design.h"

namespace roomloom::network {
namespace {

constexpr double kFar = kUnlimited;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

double now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

Status validate(const FlowProblem& problem) {
  const auto fail = [](const std::string& where, const std::string& what) {
    return Error{"network.malformed", what, where, "Mend the graph handed to the network solver."};
  };
  const auto is_node = [&](int v) { return v >= 0 && v < problem.node_count; };
  for (std::size_t a = 0; a < problem.arcs.size(); ++a) {
    const FlowArc& arc = problem.arcs[a];
    const std::string where = "arc " + std::to_string(a);
    if (!is_node(arc.tail) || !is_node(arc.head)) return fail(where, "An end is not a node.");
    if (!std::isfinite(arc.fixed) || !std::isfinite(arc.cost) || arc.fixed < 0 || arc.cost < 0 ||
        !(arc.capacity >= 0))
      return fail(where, "Prices and capacity must not be negative.");
  }
  for (std::size_t k = 0; k < problem.demands.size(); ++k) {
    const FlowDemand& d = problem.demands[k];
    if (!is_node(d.from) || !is_node(d.to) || !std::isfinite(d.amount) || d.amount < 0)
      return fail("demand " + std::to_string(k),
                  "An end is not a node, or the amount is negative.");
  }
  return Done{};
}

/// Columns: openings first (one an arc), then flows (one a demand and arc), as shares of the
/// demand, so that all numbers are near one.
class FlowModel {
 public:
  FlowModel(const FlowProblem& problem) : problem_(problem), arcs_(problem.arcs.size()) {
    for (const FlowDemand& d : problem.demands)
      if (d.from != d.to && d.amount > 0) demands_.push_back(d);
    for (const FlowDemand& d : demands_) total_ += d.amount;
    build();
  }

  bool empty() const { return demands_.empty(); }
  /// @return false where the demands cannot be met
  bool relax(double deadline) {
    solver_.initialSolve();
    if (!solver_.isProvenOptimal()) return false;
    value_ = solver_.getObjValue();
    // Ties leave every plan in: a solve that does not end well after them was stopped.
    for (int round = 0; round < 50 && now() < deadline && tie(); ++round) {
      solver_.getModelPtr()->setMaximumSeconds(std::max(0.1, deadline - now()));
      solver_.resolve();
      if (!solver_.isProvenOptimal()) break;
      value_ = solver_.getObjValue();
    }
    // What is left of this limit would stop the branching's relaxations, and a node whose
    // relaxation is stopped counts as one without a solution.
    solver_.getModelPtr()->setMaximumSeconds(-1);
    return true;
  }
  double value() const { return value_; }
  OsiClpSolverInterface& solver() { return solver_; }

  double largest(std::size_t arc) const { return std::min(problem_.arcs[arc].capacity, total_); }
  int flow_column(std::size_t demand, std::size_t arc) const {
    return static_cast<int>(arcs_ + demand * arcs_ + arc);
  }

  /// Flow an arc of a solution.
  std::vector<double> flows(const double* x) const {
    std::vector<double> flow(arcs_, 0.0);
    for (std::size_t k = 0; k < demands_.size(); ++k)
      for (std::size_t a = 0; a < arcs_; ++a) flow[a] += demands_[k].amount * x[flow_column(k, a)];
    for (double& f : flow)
      if (f < 1e-7 * total_) f = 0;
    return flow;
  }

  double price(const std::vector<double>& flow) const {
    double sum = 0;
    for (std::size_t a = 0; a < arcs_; ++a)
      if (flow[a] > 0) sum += problem_.arcs[a].fixed + problem_.arcs[a].cost * flow[a];
    return sum;
  }

  /// Slope scaling: the fixed price is spread over the flow of the round before.
  std::vector<double> scaled_flow(int rounds, double deadline) {
    OsiClpSolverInterface plain(solver_);
    plain.messageHandler()->setLogLevel(0);
    std::vector<double> best, flow(arcs_, 0.0);
    double least = kFar;
    for (std::size_t a = 0; a < arcs_; ++a) {
      plain.setObjCoeff(static_cast<int>(a), 0);
      flow[a] = std::max(1e-6, solver_.getColSolution()[a]) * largest(a);
    }
    plain.getModelPtr()->setMaximumSeconds(-1);
    for (int round = 0; round < rounds && (round == 0 || now() < deadline); ++round) {
      for (std::size_t k = 0; k < demands_.size(); ++k) {
        for (std::size_t a = 0; a < arcs_; ++a) {
          const FlowArc& arc = problem_.arcs[a];
          const double slope =
              arc.cost + (flow[a] > 0 ? arc.fixed / flow[a] : 2 * arc.fixed / (0.02 * total_));
          plain.setObjCoeff(flow_column(k, a), demands_[k].amount * slope);
        }
      }
      plain.resolve();
      if (!plain.isProvenOptimal()) break;
      const std::vector<double> fresh = flows(plain.getColSolution());
      if (price(fresh) < least) {
        least = price(fresh);
        best = fresh;
      }
      for (std::size_t a = 0; a < arcs_; ++a)
        if (fresh[a] > 0) flow[a] = fresh[a];
    }
    return best;
  }

 private:
  void build() {
    std::vector<int> rows, columns;
    std::vector<double> elements, low, high, cost;
    const auto add_row = [&](double from, double to) {
      low.push_back(from);
      high.push_back(to);
      return static_cast<int>(low.size()) - 1;
    };
    const auto put = [&](int row, int column, double element) {
      rows.push_back(row);
      columns.push_back(column);
      elements.push_back(element);
    };
    for (const FlowArc& arc : problem_.arcs) cost.push_back(arc.fixed);
    for (std::size_t k = 0; k < demands_.size(); ++k) {
      const int first = static_cast<int>(low.size());
      for (int v = 0; v < problem_.node_count; ++v) {
        const double balance = v == demands_[k].from ? 1 : v == demands_[k].to ? -1 : 0;
        add_row(balance, balance);
      }
      for (std::size_t a = 0; a < arcs_; ++a) {
        const FlowArc& arc = problem_.arcs[a];
        cost.push_back(arc.cost * demands_[k].amount);
        if (arc.tail == arc.head) continue;
        put(first + arc.tail, flow_column(k, a), 1);
        put(first + arc.head, flow_column(k, a), -1);
      }
    }
    for (std::size_t a = 0; a < arcs_; ++a) {
      if (largest(a) <= 0) continue;
      const int row = add_row(0, COIN_DBL_MAX);
      put(row, static_cast<int>(a), 1);
      for (std::size_t k = 0; k < demands_.size(); ++k)
        put(row, flow_column(k, a), -demands_[k].amount / largest(a));
    }
    const std::vector<double> from(cost.size(), 0.0);
    std::vector<double> to(cost.size(), 1.0);
    for (std::size_t a = 0; a < arcs_; ++a)
      if (largest(a) <= 0)
        for (std::size_t k = 0; k < demands_.size(); ++k) to[at(flow_column(k, a))] = 0;
    CoinPackedMatrix matrix(true, rows.data(), columns.data(), elements.data(),
                            static_cast<CoinBigIndex>(rows.size()));
    matrix.setDimensions(static_cast<int>(low.size()), static_cast<int>(cost.size()));
    solver_.messageHandler()->setLogLevel(0);
    solver_.loadProblem(matrix, from.data(), to.data(), cost.data(), low.data(), high.data());
    for (std::size_t a = 0; a < arcs_; ++a) solver_.setInteger(static_cast<int>(a));
    tied_.assign(arcs_ * demands_.size(), 0);
  }

  /// Adds x <= opening where it is violated.
  bool tie() {
    const double* x = solver_.getColSolution();
    std::vector<CoinBigIndex> starts{0};
    std::vector<int> columns;
    std::vector<double> elements;
    for (std::size_t k = 0; k < demands_.size(); ++k) {
      for (std::size_t a = 0; a < arcs_; ++a) {
        char& tied = tied_[k * arcs_ + a];
        const double most = std::min(1.0, largest(a) / demands_[k].amount);
        if (tied || x[flow_column(k, a)] <= most * x[a] + 1e-6) continue;
        tied = 1;
        columns.insert(columns.end(), {static_cast<int>(a), flow_column(k, a)});
        elements.insert(elements.end(), {most, -1.0});
        starts.push_back(static_cast<CoinBigIndex>(columns.size()));
      }
    }
    const int count = static_cast<int>(starts.size()) - 1;
    if (count == 0) return false;
    const std::vector<double> low(at(count), 0.0), high(at(count), COIN_DBL_MAX);
    solver_.addRows(count, starts.data(), columns.data(), elements.data(), low.data(), high.data());
    return true;
  }

  const FlowProblem& problem_;
  std::size_t arcs_;
  std::vector<FlowDemand> demands_;
  double total_ = 0;
  double value_ = 0;  ///< of the relaxation last solved
  OsiClpSolverInterface solver_;
  std::vector<char> tied_;
};

double seconds_of(const Effort& effort) {
  if (effort.time_limit_s) return *effort.time_limit_s;
  return effort.level == EffortLevel::quick ? 2 : effort.level == EffortLevel::normal ? 10 : 60;
}

FlowSolution close(FlowSolution solution, double started) {
  solution.bound = std::min(solution.bound, solution.objective);
  const double distance = solution.objective - solution.bound;
  solution.gap = distance <= 0 ? 0 : solution.bound > 0 ? distance / solution.bound : kFar;
  solution.proven = solution.gap <= 1e-6;
  solution.seconds = now() - started;
  return solution;
}

}  // namespace

Result<FlowSolution> solve_flow(const FlowProblem& problem, const Effort& effort) {
  const double started = now();
  const Status status = validate(problem);
  if (!status) return status.error();
  FlowSolution solution;
  solution.flow.assign(problem.arcs.size(), 0.0);
  const double seconds = seconds_of(effort);
  if (design_pooled(problem, started + seconds, solution)) return close(solution, started);
  solution.model = "divisible flow, each demand's flow at most its opening, sums within capacity";
  FlowModel model(problem);
  if (!model.empty()) {
    // Half the time for the relaxation, a quarter for plans, the rest for branching.
    if (!model.relax(started + 0.5 * seconds))
      return Error{"network.infeasible", "The demands cannot all be met.", "flow problem",
                   "Raise capacities or lower demands."};
    solution.bound = model.value();
    solution.flow = model.scaled_flow(20, started + 0.75 * seconds);
    solution.objective = model.price(solution.flow);
    const double left = seconds - (now() - started);
    if (left > 0 && solution.objective > solution.bound * (1 + 1e-9)) {
      const double cutoff = solution.objective * (1 - 1e-9);
      const BranchAnswer found = branch_within(model.solver(), cutoff, left);
      solution.bound = std::max(solution.bound, found.bound);
      if (!found.x.empty()) {
        const std::vector<double> flow = model.flows(found.x.data());
        if (model.price(flow) < solution.objective) {
          solution.flow = flow;
          solution.objective = model.price(flow);
        }
      }
    }
  }
  return close(solution, started);
}

}  // namespace roomloom::network
