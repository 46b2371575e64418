#pragma once

#include <functional>
#include <memory>
#include <set>
#include <vector>

#include "network/max_flow.h"
#include "network/steiner_ascent.h"

class ClpSimplex;

namespace roomloom::network {

/// The directed cut relaxation of a Steiner tree problem; cuts, and rows that balance the flow at
/// nodes, come as needed, since the simplex method is slow on many rows.
class SteinerLp {
 public:
  SteinerLp(const SteinerCore& core, const SteinerDual& dual);
  ~SteinerLp();
  SteinerLp(const SteinerLp&) = delete;
  SteinerLp& operator=(const SteinerLp&) = delete;

  enum class State { solved, infeasible, stopped };
  /// Simplex once, with the rows there are. @return solved, or infeasible (also when not below
  /// `limit`), or stopped: numerical trouble or time.
  State resolve(double limit, double seconds_left);
  /// Adds violated cuts for terminals and nodes held in; stops early when time is out. @return how
  /// many
  int separate(const std::function<bool()>& out_of_time);
  double value() const;
  /// One an edge: the larger of its two directions.
  std::vector<double> edge_values() const;
  /// Fixes arcs that no tree below `limit` uses, by reduced costs. @return how many are fixed now
  int fix_arcs(double limit);
  /// Edges both directions of which are fixed at zero.
  std::vector<char> dead_edges() const;

  /// Share of the tree that enters a node: 1 for all in it but the root.
  std::vector<double> node_values() const;
  /// Holds a node in (1), out (0) or free (-1).
  void hold(int node, int state);
  std::vector<double> arc_values() const;
  void hold_arc(int arc, int state);
  void drop_slack_rows();
  int root() const { return root_; }
  /// A tree, one an arc, leaving the root: cuts are looked for half way to it first, which finds
  /// those that it crosses once (in-out separation, Ben-Ameur and Neto 2007).
  void set_guide(std::vector<double> arcs) { guide_ = std::move(arcs); }
  long long iterations() const { return iterations_; }

 private:
  void build();
  double lower_terminals(std::vector<double>& cost) const;
  /// @return false: the cut was added before in this round
  bool add_cut(const std::vector<char>& sink_side, int node);
  void flush();
  void add_row(std::vector<int> columns, std::vector<double> elements, double low);
  int separate_nodes(const std::vector<double>& x);
  /// @param guided  half way to the guide
  int separate_cuts(const std::vector<double>& x, bool guided,
                    const std::function<bool()>& out_of_time);
  double violation_of(const std::vector<char>& sink_side, const std::vector<double>& x) const;

  const SteinerCore& core_;
  const SteinerDual& dual_;
  int root_;
  std::unique_ptr<ClpSimplex> simplex_;
  std::unique_ptr<MaxFlow> flow_;
  std::vector<int> entering_row_;  ///< one a node; -1: not there yet
  std::vector<int> held_;          ///< one a node
  std::vector<char> fixed_;        ///< one an arc, for good
  std::vector<std::vector<int>> new_columns_;
  std::vector<std::vector<double>> new_elements_;
  std::vector<double> new_low_;
  std::set<std::vector<int>> seen_cuts_;  ///< arcs of those of terminals in this round
  std::vector<double> guide_;             ///< empty: none yet
  std::size_t turn_ = 0;
  long long iterations_ = 0;
};

}  // namespace roomloom::network
