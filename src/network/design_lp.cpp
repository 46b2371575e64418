#include "network/design_lp.h"

#include <algorithm>
#include <cmath>
#include <coin/ClpSimplex.hpp>
#include <coin/ClpSolve.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <utility>

namespace roomloom::network {
namespace {

constexpr double kViolated = 1e-6;
constexpr int kRounds = 60;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

bool is_limited(const Model& model, std::size_t edge) {
  const Edge& e = model.problem->edges[edge];
  return model.capacitated && (e.floor > 0 || !std::isinf(e.capacity));
}

/// With limits, two paths of a family that pass an edge in opposite directions can exchange their
/// ways to the root only if they are alike in load and cost.
std::vector<char> families_use_one_direction(const Model& model) {
  std::vector<char> result(model.families.size(), 1);
  if (!model.capacitated || model.problem->outward) return result;
  const auto& commodities = model.problem->commodities;
  for (std::size_t q = 0; q < model.families.size(); ++q) {
    const Demand& first = model.demands[at(model.families[q].members.front())];
    for (int k : model.families[q].members) {
      const Demand& d = model.demands[at(k)];
      if (d.profile != first.profile ||
          commodities[at(d.commodity)].load != commodities[at(first.commodity)].load)
        result[q] = 0;
    }
  }
  return result;
}

}  // namespace

DesignLp::DesignLp(const Model& model, const Permitted& permitted, const Dual& dual)
    : model_(model), permitted_(permitted), dual_(dual), simplex_(std::make_unique<ClpSimplex>()) {
  build();
}

DesignLp::~DesignLp() = default;

int DesignLp::opening_of(int demand, int arc) const {
  return arc_column_[at(model_.demands[at(demand)].family)][at(arc)];
}

/// Columns of the openings: per family and arc, per edge where needed, and per shared charge. An
/// edge without any charge or limit needs none. @return the number of columns
int DesignLp::add_openings() {
  arc_column_.assign(model_.families.size(), std::vector<int>(at(model_.arc_count), -1));
  edge_column_.assign(model_.own.size(), -1);
  charge_column_.assign(model_.price.size(), -1);
  int columns = 0;
  const auto open = [&](double cost) {
    costs_.push_back(cost);
    openings_.push_back(columns);
    return columns++;
  };
  for (std::size_t k = 0; k < permitted_.size(); ++k) {
    const int family = model_.demands[k].family;
    for (int arc = 0; arc < model_.arc_count; ++arc) {
      if (!permitted_[k][at(arc)] || arc_column_[at(family)][at(arc)] >= 0) continue;
      const std::size_t edge = at(edge_of(arc));
      const bool shares = model_.shared_begin[edge] < model_.shared_begin[edge + 1];
      const bool limited = is_limited(model_, edge);
      if (model_.own[edge] <= 0 && !shares && !limited) continue;
      const bool separate = explicit_edges_ || limited;
      if (separate && edge_column_[edge] < 0 && (model_.own[edge] > 0 || limited))
        edge_column_[edge] = open(model_.own[edge]);
      arc_column_[at(family)][at(arc)] = open(separate ? 0.0 : model_.own[edge]);
      for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
        const int charge = model_.shared[at(i)];
        if (charge_column_[at(charge)] < 0)
          charge_column_[at(charge)] = open(model_.price[at(charge)]);
      }
    }
  }
  return columns;
}

/// The matrix while it is gathered.
struct DesignLp::Rows {
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

void DesignLp::add_flows(Rows& rows, int& columns) {
  node_row_.assign(permitted_.size(), std::vector<int>(at(model_.node_count), -1));
  for (std::size_t k = 0; k < permitted_.size(); ++k) {
    const Demand& d = model_.demands[k];
    const auto row_of = [&](int node) {
      int& row = node_row_[k][at(node)];
      if (row < 0) row = rows.add(node == d.terminal ? 1 : 0, node == d.terminal ? 1 : 0);
      return row;
    };
    for (int arc = 0; arc < model_.arc_count; ++arc) {
      if (!permitted_[k][at(arc)]) continue;
      flows_.push_back({static_cast<int>(k), arc, columns, -1});
      costs_.push_back(model_.cost(static_cast<int>(k), arc));
      if (model_.head[at(arc)] != d.root) rows.put(row_of(model_.head[at(arc)]), columns, 1);
      if (model_.tail(arc) != d.root) rows.put(row_of(model_.tail(arc)), columns, -1);
      ++columns;
    }
  }
}

/// What opens an arc opens its edge and draws on its shared charges; both directions together where
/// a family never need use both.
void DesignLp::add_payers(Rows& rows) {
  for (std::size_t q = 0; q < model_.families.size(); ++q) {
    for (std::size_t e = 0; e < model_.own.size(); ++e) {
      std::vector<int> payers;
      if (edge_column_[e] >= 0) payers.push_back(edge_column_[e]);
      for (int i = model_.shared_begin[e]; i < model_.shared_begin[e + 1]; ++i)
        payers.push_back(charge_column_[at(model_.shared[at(i)])]);
      const int arcs[2] = {arc_column_[q][2 * e], arc_column_[q][2 * e + 1]};
      if (arcs[0] < 0 && arcs[1] < 0) continue;
      for (int payer : payers) {
        int row = -1;
        for (int arc : arcs) {
          if (arc < 0) continue;
          if (row < 0 || !one_direction_[q]) {
            row = rows.add(0, COIN_DBL_MAX);
            rows.put(row, payer, 1);
          }
          rows.put(row, arc, -1);
        }
      }
    }
  }
}

/// floor * opening <= sum of loads <= capacity * opening.
void DesignLp::add_limits(Rows& rows) {
  const Problem& problem = *model_.problem;
  std::vector<std::vector<int>> flows_of(model_.own.size());
  for (std::size_t i = 0; i < flows_.size(); ++i) {
    const std::size_t edge = at(edge_of(flows_[i].arc));
    if (is_limited(model_, edge)) flows_of[edge].push_back(static_cast<int>(i));
  }
  for (std::size_t e = 0; e < flows_of.size(); ++e) {
    if (flows_of[e].empty()) continue;
    const Edge& edge = problem.edges[e];
    const auto put_loads = [&](int row) {
      for (int i : flows_of[e]) {
        const Flow& flow = flows_[at(i)];
        const int commodity = model_.demands[at(flow.demand)].commodity;
        rows.put(row, flow.column, problem.commodities[at(commodity)].load);
      }
    };
    if (!std::isinf(edge.capacity)) {
      const int row = rows.add(-COIN_DBL_MAX, 0);
      put_loads(row);
      rows.put(row, edge_column_[e], -edge.capacity);
    }
    if (edge.floor > 0) {
      const int row = rows.add(0, COIN_DBL_MAX);
      put_loads(row);
      rows.put(row, edge_column_[e], -edge.floor);
    }
  }
}

/// Ties worth having from the start: those that the dual solution draws on.
void DesignLp::tie_what_draws() {
  std::vector<int> ties;
  std::vector<std::vector<char>> drawn(permitted_.size());
  for (std::size_t k = 0; k < permitted_.size(); ++k) {
    drawn[k].assign(at(model_.arc_count), 0);
    for (int arc : dual_.potentials[k].arcs) drawn[k][at(arc)] = 1;
  }
  for (std::size_t i = 0; i < flows_.size(); ++i)
    if (opening_of(flows_[i].demand, flows_[i].arc) >= 0 &&
        drawn[at(flows_[i].demand)][at(flows_[i].arc)])
      ties.push_back(static_cast<int>(i));
  tie_rows(ties);
}

void DesignLp::build() {
  one_direction_ = families_use_one_direction(model_);
  explicit_edges_ =
      model_.families.size() > 1 || std::count(one_direction_.begin(), one_direction_.end(), 0) > 0;
  int columns = add_openings();
  Rows rows;
  add_flows(rows, columns);
  add_payers(rows);
  if (model_.capacitated) add_limits(rows);
  std::vector<double> low(at(columns), 0.0), high(at(columns), COIN_DBL_MAX);
  for (int column : openings_) high[at(column)] = 1;
  CoinPackedMatrix matrix(true, rows.rows.data(), rows.columns.data(), rows.elements.data(),
                          static_cast<CoinBigIndex>(rows.rows.size()));
  matrix.setDimensions(static_cast<int>(rows.low.size()), columns);
  simplex_->setLogLevel(0);
  simplex_->loadProblem(matrix, low.data(), high.data(), costs_.data(), rows.low.data(),
                        rows.high.data());
  tie_what_draws();
}

void DesignLp::tie_rows(const std::vector<int>& flows) {
  if (flows.empty()) return;
  std::vector<CoinBigIndex> starts{0};
  std::vector<int> columns;
  std::vector<double> elements;
  int row = simplex_->numberRows();
  for (int index : flows) {
    Flow& flow = flows_[at(index)];
    columns.insert(columns.end(), {opening_of(flow.demand, flow.arc), flow.column});
    elements.insert(elements.end(), {1.0, -1.0});
    starts.push_back(static_cast<CoinBigIndex>(columns.size()));
    flow.tie = row++;
  }
  const std::vector<double> low(flows.size(), 0.0), high(flows.size(), COIN_DBL_MAX);
  simplex_->addRows(static_cast<int>(flows.size()), low.data(), high.data(), starts.data(),
                    columns.data(), elements.data());
}

bool DesignLp::add_violated() {
  const double* x = simplex_->getColSolution();
  std::vector<int> violated;
  for (std::size_t i = 0; i < flows_.size(); ++i) {
    const Flow& flow = flows_[i];
    if (flow.tie >= 0 || x[flow.column] < kViolated) continue;
    const int opening = opening_of(flow.demand, flow.arc);
    if (opening >= 0 && x[flow.column] > x[opening] + kViolated)
      violated.push_back(static_cast<int>(i));
  }
  tie_rows(violated);
  return !violated.empty();
}

/// Most rows say that a flow goes on along the only way there is: with these taken out the rest is
/// solved in half of the time.
void DesignLp::solve_first() {
  ClpSolve options;
  options.setSolveType(ClpSolve::useDual);
  options.setPresolveType(ClpSolve::presolveOn);
  simplex_->initialSolve(options);
}

double DesignLp::solve(double limit, double seconds) {
  // Counted by Clp from now, over all rounds.
  simplex_->setMaximumSeconds(std::isfinite(seconds) ? std::max(0.0, seconds) : -1);
  for (int round = 0; round < kRounds; ++round) {
    if (iterations_ == 0)
      solve_first();
    else
      simplex_->dual();
    iterations_ += simplex_->numberIterations();
    if (simplex_->status() == 1) return kInfinity;
    if (simplex_->status() != 0) return -kInfinity;
    if (simplex_->objectiveValue() >= limit) return kInfinity;
    if (!add_violated()) break;
  }
  return simplex_->objectiveValue();
}

std::vector<Opening> DesignLp::fractional() const {
  const double* x = simplex_->getColSolution();
  std::vector<Opening> list;
  for (int column : openings_)
    if (x[column] > 1e-6 && x[column] < 1 - 1e-6) list.push_back({column, x[column]});
  if (list.empty() && model_.capacitated)
    for (const Flow& flow : flows_)
      if (x[flow.column] > 1e-6 && x[flow.column] < 1 - 1e-6)
        list.push_back({flow.column, x[flow.column]});
  std::stable_sort(list.begin(), list.end(), [](const Opening& a, const Opening& b) {
    return std::abs(a.value - 0.5) < std::abs(b.value - 0.5);
  });
  return list;
}

void DesignLp::bound_column(int column, double low, double high) {
  simplex_->setColumnBounds(column, low, high);
}

double DesignLp::column_low(int column) const { return simplex_->getColLower()[column]; }
double DesignLp::column_high(int column) const { return simplex_->getColUpper()[column]; }
int DesignLp::column_count() const { return simplex_->numberColumns(); }
double DesignLp::reduced_cost(int column) const { return simplex_->getReducedCost()[column]; }
double DesignLp::value(int column) const { return simplex_->getColSolution()[column]; }

std::vector<double> DesignLp::closedness() const {
  std::vector<double> weight(model_.own.size(), 1.0);
  const double* x = simplex_->getColSolution();
  for (const Flow& flow : flows_)
    weight[at(edge_of(flow.arc))] = std::min(weight[at(edge_of(flow.arc))], 1 - x[flow.column]);
  for (double& w : weight) w = std::clamp(w, 0.0, 1.0);
  return weight;
}

bool DesignLp::whole_plan(Router& router, Plan& plan) const {
  const double* x = simplex_->getColSolution();
  std::vector<std::vector<int>> into(permitted_.size());
  for (const Flow& flow : flows_) {
    if (x[flow.column] < 1e-5) continue;
    if (x[flow.column] < 1 - 1e-5) return false;
    into[at(flow.demand)].push_back(flow.arc);
  }
  plan = router.nothing();
  for (std::size_t k = 0; k < permitted_.size(); ++k) {
    std::vector<int> path;
    for (int node = model_.demands[k].terminal; node != model_.demands[k].root;) {
      const auto found = std::find_if(into[k].begin(), into[k].end(),
                                      [&](int a) { return model_.head[at(a)] == node; });
      if (found == into[k].end()) return false;
      path.push_back(*found);
      node = model_.tail(*found);
      into[k].erase(found);
    }
    std::reverse(path.begin(), path.end());
    router.place(static_cast<int>(k), path, plan);
  }
  return true;
}

std::vector<double> DesignLp::drawn(int demand) const {
  std::vector<double> result(at(model_.arc_count), 0.0);
  const double* price = simplex_->getRowPrice();
  for (const Flow& flow : flows_)
    if (flow.demand == demand && flow.tie >= 0)
      result[at(flow.arc)] = std::max(0.0, price[flow.tie]);
  return result;
}

}  // namespace roomloom::network
