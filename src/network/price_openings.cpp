#include <algorithm>
#include <cmath>

#include "network/price_groups.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// More families than this on one edge are taken in both directions at once, which is weaker.
constexpr std::size_t kMostFamilies = 3;

/// Up to so many are sorted one by one.
constexpr std::size_t kFewPaying = 24;

/// Sets of demands looked at for what fits into a size.
constexpr int kMostSets = 500;

}  // namespace

/// What the slots of a side pay together; those that count are opened.
double PriceGroups::sum_of(const PriceGroup& group, const PriceGroup::Side& side) {
  double sum = 0;
  int best = -1;  // of the demand's
  for (int i = side.begin; i < side.end; ++i) {
    const int index = group.slots[at(i)];
    const bool same = best >= 0 && payers[at(best)].demand == payers[at(index)].demand;
    if (same && slots[at(best)].price >= slots[at(index)].price) continue;
    if (same) {
      slots[at(best)].opened = false;
      sum -= slots[at(best)].price;
    }
    best = index;
    slots[at(index)].opened = true;
    sum += slots[at(index)].price;
  }
  return sum;
}

/// A family passes each edge in one direction only: of an edge the larger sum of both counts.
double PriceGroups::open_flat(const PriceGroup& group, double cost) {
  double total = 0;
  using Side = PriceGroup::Side;
  const auto shut = [&](const Side& side) {
    for (int i = side.begin; i < side.end; ++i) slots[at(group.slots[at(i)])].opened = false;
  };
  for (std::size_t s = 0; s < group.sides.size(); ++s) {
    const Side& side = group.sides[s];
    const double sum = sum_of(group, side);
    if (s + 1 == group.sides.size() || group.sides[s + 1].family != side.family ||
        group.sides[s + 1].side != reverse_of(side.side)) {
      total += sum;
      continue;
    }
    const Side& other = group.sides[++s];
    const double back = sum_of(group, other);
    shut(back > sum ? side : other);
    total += std::max(sum, back);
  }
  if (cost - total >= 0)
    for (int slot : group.slots) slots[at(slot)].opened = false;
  return cost - total;
}

/// The slots of one choice of directions that a size for some levels serves and that pay anything,
/// by price for load, dearest first.
void PriceGroups::find_paying(const PriceGroup& group, int choice, bool both,
                              std::uint32_t levels) {
  paying_.clear();
  int rank = 0;  // of the side's family
  for (std::size_t s = 0; s < group.sides.size(); ++s) {
    const PriceGroup::Side& side = group.sides[s];
    if (s > 0 && side.family != group.sides[s - 1].family) ++rank;
    if (!both && (side.side & 1) != ((choice >> rank) & 1)) continue;
    int last = -1;  // of paying slots, if of this side
    for (int i = side.begin; i < side.end; ++i) {
      const int index = group.slots[at(i)];
      const PricePayer& payer = payers[at(index)];
      const double pays = slots[at(index)].price;
      if (pays <= 0 || (payer.level & levels) == 0) continue;
      const Paying paying{pays / (payer.load + 1e-12), index};
      if (last >= 0 && payers[at(last)].demand == payer.demand) {
        if (slots[at(last)].price >= pays) continue;
        paying_.back() = paying;
      } else {
        paying_.push_back(paying);
      }
      last = index;
    }
  }
  const auto dearer = [](const Paying& a, const Paying& b) { return a.ratio > b.ratio; };
  if (paying_.size() > kFewPaying) {
    std::stable_sort(paying_.begin(), paying_.end(), dearer);
    return;
  }
  for (std::size_t i = 1; i < paying_.size(); ++i)
    for (std::size_t j = i; j > 0 && dearer(paying_[j], paying_[j - 1]); --j)
      std::swap(paying_[j], paying_[j - 1]);
}

/// What the paying slots that fit pay together, of the first that does not a fraction.
double PriceGroups::paid_by_fractions(double capacity) const {
  double room = capacity, paid = 0;
  for (const Paying& paying : paying_) {
    const double load = payers[at(paying.slot)].load, pays = slots[at(paying.slot)].price;
    if (load > room) return paid + pays * std::max(0.0, room) / load;
    paid += pays;
    room -= load;
  }
  return paid;
}

/// Goes through the sets of slots from `next` on that fit into the room, but for those that cannot
/// pay more than the best.
void PriceGroups::take_or_leave(std::size_t next, double paid, double room) {
  if (++tried_ > kMostSets) return;
  if (paid > most_) {
    most_ = paid;
    dearest_ = taken_;
  }
  double within = paid, left = room;
  for (std::size_t i = next; within <= most_; ++i) {
    if (i == paying_.size()) return;
    const double load = payers[at(paying_[i].slot)].load, pays = slots[at(paying_[i].slot)].price;
    if (load > left) {
      if (within + pays * std::max(0.0, left) / load <= most_ * (1 + 1e-12)) return;
      break;
    }
    within += pays;
    left -= load;
  }
  const double load = payers[at(paying_[next].slot)].load,
               pays = slots[at(paying_[next].slot)].price;
  if (load <= room) {
    taken_[next] = 1;
    take_or_leave(next + 1, paid + pays, room - load);
    taken_[next] = 0;
  }
  take_or_leave(next + 1, paid, room);
}

/// The most that paying slots which fit together pay, and who they are; a number above it where
/// the search for it would take long.
double PriceGroups::most_paid(double capacity) {
  taken_.assign(paying_.size(), 0);
  dearest_.assign(paying_.size(), 0);
  most_ = 0;
  tried_ = 0;
  take_or_leave(0, 0, capacity * (1 + 1e-9));  // what fits exactly does so in spite of rounding
  return tried_ > kMostSets ? paid_by_fractions(capacity) : most_;
}

/// The least that a size leaves of its price once the dearest set of slots that fits has paid, and
/// which size. A number that is not above the truth does where all sizes leave some.
std::pair<double, std::size_t> PriceGroups::least_left(const PriceGroup& group, int choice,
                                                       bool both) {
  double least = kInfinity;
  std::size_t size = 0;
  for (std::size_t s = 0; s < group.steps.size(); ++s) {
    const ChargeSize& step = group.steps[s];
    if (s == 0 || step.levels != group.steps[s - 1].levels)
      find_paying(group, choice, both, step.levels);
    if (step.price - paid_by_fractions(step.capacity) >= least) continue;
    const double left = step.price - most_paid(step.capacity);
    if (left >= least) continue;
    least = left;
    size = s;
  }
  return {least, size};
}

/// For each size and each choice of directions, one a family, the most that demands pay together.
double PriceGroups::open_stepped(const PriceGroup& group) {
  std::size_t families = group.sides.empty() ? 0 : 1;
  for (std::size_t s = 1; s < group.sides.size(); ++s)
    families += group.sides[s].family != group.sides[s - 1].family ? 1 : 0;
  const bool both = families > kMostFamilies;
  const int choices = both ? 1 : 1 << families;
  double least = kInfinity;
  std::size_t chosen = 0;
  int best = 0;
  for (int choice = 0; choice < choices; ++choice) {
    const auto [left, size] = least_left(group, choice, both);
    if (left >= least) continue;
    least = left;
    chosen = size;
    best = choice;
  }
  if (least >= 0) return least;
  find_paying(group, best, both, group.steps[chosen].levels);
  (void)most_paid(group.steps[chosen].capacity);
  for (std::size_t i = 0; i < paying_.size(); ++i)
    slots[at(paying_[i].slot)].opened = dearest_[i] != 0;
  return least;
}

/// What opening a group leaves of its price, the more the demands pay the less.
double PriceGroups::open(PriceGroup& group, bool exact) {
  if (group.grown) find_sides(group);
  double sum = 0;
  for (const int index : group.slots) {
    slots[at(index)].opened = false;
    sum += slots[at(index)].price;
  }
  if (!exact && sum <= group.steps[0].price) return group.steps[0].price - sum;
  if (group.steps.size() == 1 && std::isinf(group.steps[0].capacity))
    return open_flat(group, group.steps[0].price);
  return open_stepped(group);
}

double PriceGroups::open_all(bool exact) {
  double gain = 0;
  for (PriceGroup& group : groups) {
    if (exact || !group.still) group.left = open(group, exact);
    gain += std::min(0.0, group.left);
  }
  return gain;
}

}  // namespace roomloom::network
