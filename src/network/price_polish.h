#pragma once

#include <unordered_map>
#include <vector>

#include "network/ascent.h"
#include "network/heap.h"
#include "network/model.h"
#include "network/plan.h"
#include "network/price_groups.h"

/// Prices on the disaggregated model, made better step by step: each demand pays a price of its own
/// for each charge it draws on and takes its cheapest path; each charge is opened for whoever pays
/// more than it costs. What paths cost less what openings gain is a bound for any prices; prices
/// follow a running mean of what paths use (Barahona and Anbil's volume algorithm, Mathematical
/// Programming 87, 2000). Unlike the ascent it knows steps of size: a set of demands pays together
/// at most what the smallest size that holds it costs.
///
/// A price moves only where it is not zero or a path has come by: of all demands on all arcs some
/// five in a hundred. Only these are kept.
namespace roomloom::network {

/// What a demand pays on an arc toward a charge.
struct Payment {
  int demand = 0;
  int arc = 0;
  int shared = -1;  ///< shared charge of the model; -1: the edge's own price and size
  double amount = 0;
};

class PricePolish {
 public:
  PricePolish(const Model& model, const Permitted& permitted);

  /// Takes what a dual solution of the same demands needs as the first prices; it may be one of a
  /// model with lines in place of steps.
  /// The running means start at what `plan` uses: at the best prices its users pay, and only they.
  void start_from(const Dual& dual, const Plan& plan);
  /// Moves the prices `rounds` times toward a bound of `target`, and stops when it is reached.
  void improve(int rounds, double target);
  double bound() const { return best_bound_; }
  /// Takes from `permitted` what no plan cheaper than `limit` can use, and forgets it here too.
  /// @return how many flags fell.
  long long fix(double limit, Permitted& permitted);
  /// The best prices that are not zero, for a certificate; `bound` is then exactly what they prove.
  std::vector<Payment> payments();
  /// How much of an edge the running mean of paths leaves closed: 0 open .. 1 closed.
  std::vector<double> closedness() const;

 private:
  /// A demand on an arc where it pays or has come by.
  struct Pair {
    int demand = 0;
    int arc = 0;
    double cost = 0;
    double mean = 0;  ///< of use
    bool used = false;
    int slots_begin = 0;
    int slots_end = 0;
  };

  void find_lower_bounds();
  void set_lengths(const Permitted& permitted);
  int pair_of(int demand, int arc);
  void pay_what_rises(int demand, const Potential& potential);
  double evaluate(bool exact);
  double find_path(int demand);
  void walk_path(int demand);
  void measure(int demand, bool from_root, std::vector<double>& distance);
  void move(double step);
  void note_means(double weight);
  void keep(double bound);
  void forget_forbidden(const Permitted& permitted);
  double& length(int demand, int arc) {
    return lengths_[static_cast<std::size_t>(demand)][static_cast<std::size_t>(arc)];
  }

  const Model& model_;
  PriceGroups groups_;
  std::vector<Pair> pairs_;
  std::vector<std::unordered_map<int, int>> pair_at_;  ///< by demand: of arc
  std::vector<std::vector<double>> lengths_;           ///< by demand, one an arc; kInfinity: closed
  std::vector<std::vector<double>> lower_;  ///< what arcs alone cost from the root to each node
  std::vector<int> lower_of_demand_;        ///< into lower_
  DistanceHeap heap_;
  std::vector<double> value_;  ///< length of each demand's cheapest path
  std::vector<double> distance_;
  std::vector<int> via_;
  double best_bound_ = -kInfinity;
  double pace_ = 0.3;
  int since_ = 0;  ///< rounds without gain
  int moves_ = 0;
};

}  // namespace roomloom::network
