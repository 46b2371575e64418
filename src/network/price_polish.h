#pragma once

#include <functional>
#include <string>
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
  void start_from(const std::vector<Dual>& duals, const Plan& plan);
  /// Moves the prices `rounds` times toward a bound of `target`, and stops when it is reached.
  void improve(int rounds, double target);
  double bound() const { return best_bound_; }
  /// Takes from `permitted` what no plan cheaper than `limit` can use, and forgets it here too.
  /// @return how many flags fell.
  long long fix(double limit, Permitted& permitted);
  /// Of the permitted pairs of a demand and an arc the `count` through which plans may cost least,
  /// as far as the best prices tell; more where they tie.
  Permitted nearest(std::size_t count, const Permitted& permitted);
  /// The best prices that are not zero, for a certificate; `bound` is then exactly what they prove.
  std::vector<Payment> payments();
  /// How much of an edge the running mean of paths leaves closed: 0 open .. 1 closed.
  std::vector<double> closedness() const;

  /// Forgets what is no longer permitted.
  void forget_forbidden(const Permitted& permitted);
  /// What demands pay for edges' own charges at the best prices: a row a demand, one number an arc.
  std::vector<std::vector<double>> own_prices() const;

 private:
  /// A demand on an arc where it pays or has come by.
  struct Pair {
    int demand = 0;
    int arc = 0;
    double cost = 0;
    double mean = 0;      ///< of use, times `fading_`
    int place = 0;        ///< of its arc, into length_
    int slots_begin = 0;  ///< into PriceGroups::of_pair
    int slots_end = 0;
  };
  /// A permitted arc.
  struct Way {
    int tail = 0;
    int arc = 0;
  };
  /// Those of the demands to which the same arcs are permitted, by the node that they enter, so
  /// that a search reads them in a row.
  struct Ways {
    std::vector<int> begin;  ///< node_count + 1
    std::vector<Way> list;
    std::vector<int> at_arc;  ///< one an arc; -1: not permitted
  };
  /// What a demand pays, one a way of those that it shares.
  struct Prices {
    int ways = 0;   ///< into ways_
    int first = 0;  ///< of its ways, into length_ and pair_at_
  };
  /// What a search knows of a node; of this search where the epoch is.
  struct Label {
    double distance = 0;
    double lower = 0;  ///< what arcs alone cost from the root; of all searches
    int way = -1;
    int epoch = 0;
  };

  void find_lower_bounds();
  void set_ways(const Permitted& permitted);
  Ways ways_through(const std::string& open) const;
  int pair_of(int demand, int arc);
  void pay_what_rises(int demand, const Potential& potential, double share);
  double evaluate(bool exact);
  using Tell = std::function<void(std::size_t demand, std::size_t arc, double least)>;
  void tell_least(const Permitted& permitted, const Tell& tell);
  double find_path(int demand);
  void walk_path(int demand);
  void measure(int demand, bool from_root, const std::vector<double>& slack,
               std::vector<double>& distance);
  void set_lengths(bool all);
  void note(double weight, bool as_centers);
  /// Of an arc at the prices tried now; kInfinity where it is not permitted.
  double length(int demand, int arc) const {
    const int way = ways_of(demand).at_arc[static_cast<std::size_t>(arc)];
    return way < 0 ? kInfinity
                   : length_[static_cast<std::size_t>(
                         prices_[static_cast<std::size_t>(demand)].first + way)];
  }
  const Ways& ways_of(int demand) const {
    return ways_[static_cast<std::size_t>(prices_[static_cast<std::size_t>(demand)].ways)];
  }

  const Model& model_;
  PriceGroups groups_;
  std::vector<Pair> pairs_;
  std::vector<int> of_several_;  ///< pairs of several slots
  std::vector<double> length_;   ///< at the prices tried now: one a demand and way
  std::vector<int> pair_at_;     ///< one a demand and way; -1: nothing is paid there
  std::vector<char> used_;       ///< by pair: by the paths found last
  std::vector<int> used_list_;
  double fading_ = 1;           ///< what a running mean of use begun at 1 is now, if never used
  std::vector<Ways> ways_;      ///< by what is permitted
  std::vector<Prices> prices_;  ///< by demand
  std::vector<int> lower_of_demand_;  ///< into labels_
  DistanceHeap heap_;
  double span_ = 0;                         ///< of the last search to all nodes
  std::vector<double> value_;               ///< length of each demand's cheapest path
  std::vector<std::vector<Label>> labels_;  ///< by root and profile, one a node
  int epoch_ = 0;
  double best_bound_ = -kInfinity;
  double pace_ = 0.3;
  int since_ = 0;  ///< rounds without gain
  int moves_ = 0;
};

}  // namespace roomloom::network
