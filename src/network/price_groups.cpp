#include "network/price_groups.h"

#include <algorithm>
#include <cmath>
#include <tuple>

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

PriceGroups::PriceGroups(const Model& model) : model_(model) { clear(); }

void PriceGroups::clear() {
  slots.clear();
  groups.clear();
  of_edge_.assign(model_.own.size(), -1);
  of_charge_.assign(model_.price.size(), -1);
}

bool PriceGroups::has_charges(int arc) const {
  const std::size_t edge = at(edge_of(arc));
  return model_.own[edge] > 0 || model_.has_steps(edge) ||
         model_.shared_begin[edge] < model_.shared_begin[edge + 1];
}

PriceGroup& PriceGroups::group_for(int& index, double price, const std::vector<SizeStep>* steps) {
  if (index >= 0) return groups[at(index)];
  index = static_cast<int>(groups.size());
  PriceGroup& group = groups.emplace_back();
  if (steps == nullptr || steps->empty()) {
    group.steps = {{kInfinity, price}};
  } else {
    group.steps = *steps;
    for (SizeStep& step : group.steps) step.price += price;
  }
  return group;
}

void PriceGroups::add_slot(int demand, int arc, int pair, int group, bool loaded) {
  groups[at(group)].slots.push_back(static_cast<int>(slots.size()));
  groups[at(group)].grown = true;
  PriceSlot slot;
  slot.pair = pair;
  slot.arc = arc;
  slot.family = model_.demands[at(demand)].family;
  slot.group = group;
  if (loaded) slot.load = model_.load(demand);
  slots.push_back(slot);
}

int PriceGroups::add(int demand, int arc, int pair) {
  const std::size_t edge = at(edge_of(arc)), before = slots.size();
  const bool stepped = model_.has_steps(edge);
  if (model_.own[edge] > 0 || stepped) {
    group_for(of_edge_[edge], model_.own[edge], model_.steps_of(edge));
    add_slot(demand, arc, pair, of_edge_[edge], stepped);
  }
  for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_.shared[at(i)]);
    group_for(of_charge_[charge], model_.price[charge], nullptr);
    add_slot(demand, arc, pair, of_charge_[charge], false);
  }
  return static_cast<int>(slots.size() - before);
}

void PriceGroups::find_sides(PriceGroup& group) {
  const auto key = [&](int slot) {
    return std::tuple(slots[at(slot)].family, slots[at(slot)].arc, slots[at(slot)].pair);
  };
  std::sort(group.slots.begin(), group.slots.end(), [&](int a, int b) { return key(a) < key(b); });
  group.sides.clear();
  for (std::size_t i = 0; i < group.slots.size(); ++i) {
    const PriceSlot& slot = slots[at(group.slots[i])];
    const int index = static_cast<int>(i);
    if (group.sides.empty() || group.sides.back().family != slot.family ||
        group.sides.back().arc != slot.arc)
      group.sides.push_back({index, index, slot.family, slot.arc});
    ++group.sides.back().end;
  }
  group.grown = false;
}

/// A family passes each edge in one direction only: of an edge the larger sum of both counts.
double PriceGroups::open_flat(const PriceGroup& group, double price) {
  double total = 0;
  using Side = PriceGroup::Side;
  const auto mark = [&](const Side& side, double opened) {
    for (int i = side.begin; i < side.end; ++i) slots[at(group.slots[at(i)])].opened = opened;
  };
  const auto sum_of = [&](const Side& side) {
    double sum = 0;
    for (int i = side.begin; i < side.end; ++i) sum += slots[at(group.slots[at(i)])].price;
    return sum;
  };
  for (std::size_t s = 0; s < group.sides.size(); ++s) {
    const Side& side = group.sides[s];
    const double sum = sum_of(side);
    if (s + 1 == group.sides.size() || group.sides[s + 1].family != side.family ||
        group.sides[s + 1].arc != reverse_of(side.arc)) {
      mark(side, 1);
      total += sum;
      continue;
    }
    const Side& other = group.sides[++s];
    const double back = sum_of(other);
    mark(side, back > sum ? 0 : 1);
    mark(other, back > sum ? 1 : 0);
    total += std::max(sum, back);
  }
  if (price - total >= 0)
    for (int slot : group.slots) slots[at(slot)].opened = 0;
  return price - total;
}

/// The slots of one choice of directions that pay anything, by price for load, dearest first.
void PriceGroups::find_paying(const PriceGroup& group, int choice, bool both) {
  paying_.clear();
  int rank = 0;  // of the side's family
  for (std::size_t s = 0; s < group.sides.size(); ++s) {
    const PriceGroup::Side& side = group.sides[s];
    if (s > 0 && side.family != group.sides[s - 1].family) ++rank;
    if (!both && (side.arc & 1) != ((choice >> rank) & 1)) continue;
    for (int i = side.begin; i < side.end; ++i) {
      const int index = group.slots[at(i)];
      const PriceSlot& slot = slots[at(index)];
      if (slot.price > 0) paying_.push_back({slot.price / (slot.load + 1e-12), index});
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
    const PriceSlot& slot = slots[at(paying.slot)];
    if (slot.load > room) return paid + slot.price * std::max(0.0, room) / slot.load;
    paid += slot.price;
    room -= slot.load;
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
    const PriceSlot& slot = slots[at(paying_[i].slot)];
    if (slot.load > left) {
      if (within + slot.price * std::max(0.0, left) / slot.load <= most_ * (1 + 1e-12)) return;
      break;
    }
    within += slot.price;
    left -= slot.load;
  }
  const PriceSlot& slot = slots[at(paying_[next].slot)];
  if (slot.load <= room) {
    taken_[next] = 1;
    take_or_leave(next + 1, paid + slot.price, room - slot.load);
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
/// the capacity of that size. A number that is not above the truth does where all sizes leave some.
std::pair<double, double> PriceGroups::least_left(const std::vector<SizeStep>& steps) {
  double least = kInfinity, capacity = 0;
  for (const SizeStep& step : steps) {
    if (step.price - paid_by_fractions(step.capacity) >= least) continue;
    const double left = step.price - most_paid(step.capacity);
    if (left >= least) continue;
    least = left;
    capacity = step.capacity;
  }
  return {least, capacity};
}

/// For each size and each choice of directions, one a family, the most that demands pay together.
double PriceGroups::open_stepped(const PriceGroup& group) {
  std::size_t families = group.sides.empty() ? 0 : 1;
  for (std::size_t s = 1; s < group.sides.size(); ++s)
    families += group.sides[s].family != group.sides[s - 1].family ? 1 : 0;
  const bool both = families > kMostFamilies;
  const int choices = both ? 1 : 1 << families;
  double least = kInfinity, capacity = 0;
  int best = 0;
  for (int choice = 0; choice < choices; ++choice) {
    find_paying(group, choice, both);
    const auto [left, size] = least_left(group.steps);
    if (left >= least) continue;
    least = left;
    capacity = size;
    best = choice;
  }
  if (least >= 0) return least;
  if (best + 1 < choices) find_paying(group, best, both);
  (void)most_paid(capacity);
  for (std::size_t i = 0; i < paying_.size(); ++i) slots[at(paying_[i].slot)].opened = dearest_[i];
  return least;
}

/// What opening a group leaves of its price, the more the demands pay the less.
double PriceGroups::open(PriceGroup& group, bool exact) {
  if (group.grown) find_sides(group);
  double sum = 0;
  for (const int slot : group.slots) {
    slots[at(slot)].opened = 0;
    sum += slots[at(slot)].price;
  }
  if (!exact && sum <= group.steps[0].price) return group.steps[0].price - sum;
  if (group.steps.size() == 1 && std::isinf(group.steps[0].capacity))
    return open_flat(group, group.steps[0].price);
  return open_stepped(group);
}

double PriceGroups::open_all(bool exact) {
  double gain = 0;
  for (PriceGroup& group : groups) {
    group.left = open(group, exact);
    gain += std::min(0.0, group.left);
  }
  return gain;
}

double PriceGroups::slack(std::size_t edge) const {
  const auto left = [&](int group, double price) {
    return group < 0 ? price : std::max(0.0, groups[at(group)].left);
  };
  double sum = left(of_edge_[edge],
                    model_.own[edge] + (model_.has_steps(edge) ? model_.steps[edge][0].price : 0));
  for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_.shared[at(i)]);
    sum += left(of_charge_[charge], model_.price[charge]);
  }
  return sum;
}

}  // namespace roomloom::network
