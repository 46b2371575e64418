#pragma once

#include <memory>
#include <vector>

#include "network/ascent.h"
#include "network/model.h"
#include "network/plan.h"

class ClpSimplex;

/// The disaggregated linear relaxation over the arcs still permitted, solved exactly; rows that tie
/// a demand's flow to an opening are added as they are needed.
namespace roomloom::network {

/// Fraction of one opening in the relaxation's solution.
struct Opening {
  int column = 0;
  double value = 0;
};

class DesignLp {
 public:
  /// @param dual  tells which ties are worth having from the start
  DesignLp(const Model& model, const Permitted& permitted, const Dual& dual);
  ~DesignLp();
  DesignLp(const DesignLp&) = delete;
  DesignLp& operator=(const DesignLp&) = delete;

  /// Solves with the current bounds. @return the relaxation's value; kInfinity when infeasible or
  /// not below `limit`; minus infinity when the simplex gave up or `seconds` are over.
  double solve(double limit, double seconds);
  /// Openings that are neither 0 nor 1, nearest to one half first; flows when all openings are
  /// whole and the model is capacitated.
  std::vector<Opening> fractional() const;
  void bound_column(int column, double low, double high);
  double column_low(int column) const;
  double column_high(int column) const;
  int column_count() const;
  int opening_count() const { return static_cast<int>(openings_.size()); }
  int opening(int index) const { return openings_[static_cast<std::size_t>(index)]; }
  double reduced_cost(int column) const;
  double value(int column) const;
  /// Follows the largest flows: one weight an edge, 0 open .. 1 closed.
  std::vector<double> closedness() const;
  /// Paths when every flow is whole; false otherwise.
  bool whole_plan(Router& router, Plan& plan) const;
  /// Node potentials of a demand from the dual values: for each arc what it draws on charges.
  std::vector<double> drawn(int demand) const;
  long long iterations() const { return iterations_; }

 private:
  struct Flow {
    int demand = 0;
    int arc = 0;
    int column = 0;
    int tie = -1;  ///< row that ties it to its opening, -1: none yet
  };
  struct Rows;
  void build();
  void add_flows(Rows& rows, int& columns);
  void add_payers(Rows& rows);
  void add_limits(Rows& rows);
  void tie_what_draws();
  int add_openings();
  bool add_violated();
  void solve_first();
  void tie_rows(const std::vector<int>& flows);
  int opening_of(int demand, int arc) const;

  bool explicit_edges_ = false;
  const Model& model_;
  const Permitted& permitted_;
  const Dual& dual_;
  std::unique_ptr<ClpSimplex> simplex_;
  std::vector<Flow> flows_;
  std::vector<int> openings_;        ///< columns that are to be whole
  std::vector<int> edge_column_;     ///< opening of an edge where that of its arcs does not do
  std::vector<char> one_direction_;  ///< per family: an edge never need be used both ways
  std::vector<std::vector<int>> arc_column_;  ///< per family and arc
  std::vector<int> charge_column_;
  std::vector<std::vector<int>> node_row_;  ///< per demand and node
  std::vector<double> costs_;
  long long iterations_ = 0;
};

}  // namespace roomloom::network
