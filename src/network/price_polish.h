#pragma once

#include <vector>

#include "network/ascent.h"
#include "network/heap.h"
#include "network/model.h"
#include "network/plan.h"

/// Prices on the disaggregated model, made better step by step: each demand pays a price of its own
/// for each charge it draws on and takes its cheapest path; each charge is opened for whoever pays
/// more than it costs. What paths cost less what openings gain is a bound for any prices; prices
/// follow a running mean of what paths use (Barahona and Anbil's volume algorithm, Mathematical
/// Programming 87, 2000). Unlike the ascent it knows steps of size: a set of demands pays together
/// at most what the smallest size that holds it costs.
namespace roomloom::network {

class PricePolish {
 public:
  PricePolish(const Model& model, const Permitted& permitted);

  /// Takes what a dual solution of the same demands draws as the first prices. `slope`: what each
  /// unit of load was charged on an edge besides, empty for none.
  /// The running means start at what `plan` uses: at the best prices its users pay, and only they.
  void start_from(const Dual& dual, const std::vector<double>& slope, const Plan& plan);
  /// Moves the prices `rounds` times toward a bound of `target`, and stops when it is reached.
  void improve(int rounds, double target);
  double bound() const { return best_bound_; }
  /// Takes from `permitted` what no plan cheaper than `limit` can use, and forgets it here too.
  /// @return how many flags fell.
  long long fix(double limit, Permitted& permitted);
  /// How much of an edge the running mean of paths leaves closed: 0 open .. 1 closed.
  std::vector<double> closedness() const;
  long long pair_count() const { return static_cast<long long>(pairs_.size()); }

 private:
  /// A demand on an arc that it may use.
  struct Pair {
    int demand = 0;
    int arc = 0;
    double cost = 0;
    double mean = 0;  ///< of use
    int slots_begin = 0;
    int slots_end = 0;
  };
  /// What a pair pays for one charge.
  struct Slot {
    int pair = 0;
    double price = 0;   ///< tried now
    double center = 0;  ///< of the best bound
    double opened = 0;  ///< how far the charge is open to it now
    double mean = 0;    ///< running mean of use less opening
  };
  /// Slots of one family and arc within a group.
  struct Side {
    int begin = 0, end = 0;  ///< into Group::slots
    int family = 0, arc = 0;
  };
  /// The own charge of an edge with its steps, or a shared charge.
  struct Group {
    std::vector<SizeStep> steps;  ///< one without a limit: a flat price
    std::vector<int> slots;       ///< by family, then by arc
    std::vector<Side> sides;
  };

  /// The pairs of one demand by the node they enter: they follow each other; or by the node they
  /// leave, through `pairs`.
  struct Fan {
    std::vector<int> begin;  ///< node_count + 1
    std::vector<int> pairs;  ///< empty where they follow each other
    std::vector<int> next;   ///< the node at the other end of each
  };

  void build(const Permitted& permitted);
  void find_lower_bounds();
  std::vector<int> arcs_by_head(const std::vector<char>& row) const;
  Fan fan_into(const std::vector<int>& arcs) const;
  Fan fan_out_of(int demand) const;
  double evaluate(bool exact);
  double find_path(int demand);
  void measure(int demand, const Fan& fan, int start, std::vector<double>& distance);
  double open(const Group& group, bool exact);
  double open_flat(const Group& group, double price);
  double open_stepped(const Group& group);
  double fill(const std::vector<int>& slots, double capacity, bool mark);
  void find_sides(Group& group) const;
  void move(double step);
  double slack(int pair) const;

  const Model& model_;
  std::vector<Pair> pairs_;      ///< by demand, then by the node they enter
  std::vector<int> first_pair_;  ///< one a demand, and one past the last
  std::vector<Slot> slots_;
  std::vector<int> group_of_slot_;
  std::vector<Group> groups_;
  std::vector<double> group_left_;          ///< what is left of its price when the most is drawn
  std::vector<double> load_of_slot_;        ///< where the group has steps of size
  std::vector<Fan> in_;                     ///< one a demand
  std::vector<std::vector<double>> lower_;  ///< what arcs alone cost from the root to each node
  std::vector<int> lower_of_demand_;        ///< into lower_
  DistanceHeap heap_;
  std::vector<char> used_;  ///< one a pair: on the demand's cheapest path
  std::vector<double> lengths_, value_, best_value_;
  std::vector<double> distance_;
  std::vector<int> via_;
  double best_bound_ = -kInfinity;
  double pace_ = 0.3;
  int since_ = 0;  ///< rounds without gain
  int moves_ = 0;
};

}  // namespace roomloom::network
