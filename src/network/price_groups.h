#pragma once

#include <cstdint>
#include <vector>

#include "network/model.h"

/// What demands pay together for a charge, and for whom opening it pays. Part of `PricePolish`.
namespace roomloom::network {

/// How much one demand pays toward one charge on one arc: what each round looks at.
struct PriceSlot {
  double price = 0;     ///< tried now
  double center = 0;    ///< of the best bound
  double mean = 0;      ///< running mean of use less opening
  double cost = 0;      ///< what the arc alone costs the demand
  int pair = 0;         ///< of the polish
  int place = 0;        ///< of the arc's length to the demand in the polish
  bool alone = true;    ///< the only slot of its pair
  bool opened = false;  ///< the charge is open to it now
};

/// Who pays what in a slot.
struct PricePayer {
  int arc = 0;
  int side = 0;  ///< 2 * thing + way: what is passed toward the charge
  int demand = 0;
  int family = 0;
  int group = 0;
  std::uint32_t level = 1;  ///< one bit
  double load = 0;          ///< where the group has steps of size
};

/// The own charge of an edge with its steps, or a shared charge with its sizes, and who pays for
/// it.
struct PriceGroup {
  /// Slots of one family and side; of each demand only that which pays most counts.
  struct Side {
    int begin = 0, end = 0;  ///< into slots
    int family = 0, side = 0;
  };
  std::vector<ChargeSize> steps;  ///< one without a limit: a flat price
  std::vector<int> slots;         ///< by family, side and demand, once `find_sides` was called
  std::vector<Side> sides;
  double left = 0;       ///< of its price when the most is drawn
  double open_mean = 0;  ///< running mean of being open
  bool grown = true;     ///< slots have come since `find_sides`
  /// No price has moved since it was looked at, nor will any: it stays shut, and nobody uses it.
  bool still = false;
};

/// The groups of a model, made as they are asked for.
class PriceGroups {
 public:
  explicit PriceGroups(const Model& model);

  /// Forgets all slots and groups.
  void clear();
  /// Adds what a demand may pay on an arc. @return the number of slots added, told at the end of
  /// `of_pair`
  int add(int demand, int arc, int pair);
  /// Puts the slots of each group beside each other, when many have come since: a round looks at
  /// them group by group.
  void arrange();
  /// Tries prices this far from the centers along the running means.
  void move(double step);
  /// Writes what arcs with one slot cost at the prices tried, by place; of those at which nothing
  /// moves only if asked for all.
  void set_lengths(bool all, std::vector<double>& length);
  /// Follows with the running means what is used and opened at the prices tried, and takes those as
  /// centers where asked to. @param used  by pair
  void note(const std::vector<char>& used, double weight, bool as_centers);
  /// Of the running means along which prices can move: the square of their length.
  double movable_norm() const;
  /// Tries the centers.
  void return_to_centers();
  bool has_charges(int arc) const;
  /// Opens each group for whoever pays more than it costs. A number that is not above the truth
  /// does where a group must be paid for in full anyway, unless asked for `exact`.
  /// @return what openings gain: not above 0
  double open_all(bool exact);
  /// What opening an edge costs beyond the prices paid: its own charge and size.
  double own_slack(std::size_t edge) const;
  /// The same of the charges that it shares with other edges.
  double shared_slack(std::size_t edge) const;

  std::vector<PriceSlot> slots;
  std::vector<PricePayer> payers;  ///< one a slot
  std::vector<int> of_pair;  ///< slots, those of one pair in the order in which they were added
  std::vector<PriceGroup> groups;
  double along = 0;  ///< at the last note: how far the means rise at the prices tried
  double norm = 0;   ///< of the means along which prices can move

 private:
  PriceGroup& group_for(int& index);
  PricePayer& add_slot(int demand, int arc, int pair, int group);
  void find_sides(PriceGroup& group);
  double open(PriceGroup& group, bool exact);
  double open_flat(const PriceGroup& group, double price);
  double sum_of(const PriceGroup& group, const PriceGroup::Side& side);
  double open_stepped(const PriceGroup& group);
  void find_paying(const PriceGroup& group, int choice, bool both, std::uint32_t levels);
  std::pair<double, std::size_t> least_left(const PriceGroup& group, int choice, bool both);
  double paid_by_fractions(double capacity) const;
  double most_paid(double capacity);
  void take_or_leave(std::size_t next, double paid, double room);

  /// A slot that pays something, and its price for load.
  struct Paying {
    double ratio = 0;
    int slot = 0;
  };

  const Model* model_;
  std::vector<Paying> paying_;
  std::vector<char> taken_, dearest_;  ///< sets of paying slots: tried, and the best that fits
  double most_ = 0;                    ///< what that pays
  int tried_ = 0;
  std::size_t arranged_ = 0;              ///< slots when they were last arranged
  std::vector<int> of_edge_, of_charge_;  ///< -1: nobody has paid yet
};

}  // namespace roomloom::network
