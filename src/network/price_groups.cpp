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

/// A running mean nearer to nothing is nothing: what was by chance once used is left in peace.
constexpr double kLeastMean = 1e-3;

}  // namespace

PriceGroups::PriceGroups(const Model& model) : model_(&model) { clear(); }

void PriceGroups::clear() {
  slots.clear();
  price.clear();
  center.clear();
  mean.clear();
  opened.clear();
  of_pair.clear();
  groups.clear();
  arranged_ = 0;
  of_edge_.assign(model_->own.size(), -1);
  of_charge_.assign(model_->price.size(), -1);
}

bool PriceGroups::has_charges(int arc) const {
  const std::size_t edge = at(edge_of(arc));
  return model_->own[edge] > 0 || model_->has_steps(edge) ||
         model_->shared_begin[edge] < model_->shared_begin[edge + 1];
}

PriceGroup& PriceGroups::group_for(int& index) {
  if (index >= 0) return groups[at(index)];
  index = static_cast<int>(groups.size());
  return groups.emplace_back();
}

PriceSlot& PriceGroups::add_slot(int demand, int arc, int pair, int group) {
  PriceGroup& payers = groups[at(group)];
  of_pair.push_back(static_cast<int>(slots.size()));
  payers.slots.push_back(static_cast<int>(slots.size()));
  payers.grown = true;
  payers.still = false;
  price.push_back(0);
  center.push_back(0);
  mean.push_back(-payers.open_mean);
  opened.push_back(0);
  PriceSlot& slot = slots.emplace_back();
  slot.pair = pair;
  slot.arc = slot.side = arc;
  slot.demand = demand;
  slot.family = model_->demands[at(demand)].family;
  slot.group = group;
  return slot;
}

int PriceGroups::add(int demand, int arc, int pair) {
  const std::size_t edge = at(edge_of(arc)), before = slots.size();
  const bool stepped = model_->has_steps(edge);
  if (model_->own[edge] > 0 || stepped) {
    PriceGroup& group = group_for(of_edge_[edge]);
    if (group.steps.empty() && stepped)
      for (const SizeStep& step : model_->steps[edge])
        group.steps.push_back({step.capacity, step.price + model_->own[edge]});
    if (group.steps.empty()) group.steps = {{kInfinity, model_->own[edge]}};
    PriceSlot& slot = add_slot(demand, arc, pair, of_edge_[edge]);
    if (stepped) slot.load = model_->load(demand);
  }
  for (int i = model_->shared_begin[edge]; i < model_->shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_->shared[at(i)]);
    PriceGroup& group = group_for(of_charge_[charge]);
    if (group.steps.empty()) group.steps = model_->charge_sizes[charge];
    if (group.slots.empty())
      for (ChargeSize& size : group.steps) size.price += model_->price[charge];
    if (group.steps.empty()) group.steps = {{kInfinity, model_->price[charge]}};
    const bool sized = group.steps.size() > 1;
    PriceSlot& slot = add_slot(demand, arc, pair, of_charge_[charge]);
    slot.side = model_->passes[at(i)] ^ (arc & 1);
    slot.level = model_->level_of(edge);
    if (sized) slot.load = model_->load(demand);
  }
  return static_cast<int>(slots.size() - before);
}

void PriceGroups::find_sides(PriceGroup& group) {
  const auto key = [&](int index) {
    const PriceSlot& slot = slots[at(index)];
    return std::tuple(slot.family, slot.side, slot.demand, slot.pair);
  };
  std::sort(group.slots.begin(), group.slots.end(), [&](int a, int b) { return key(a) < key(b); });
  group.sides.clear();
  for (std::size_t i = 0; i < group.slots.size(); ++i) {
    const PriceSlot& slot = slots[at(group.slots[i])];
    const int index = static_cast<int>(i);
    if (group.sides.empty() || group.sides.back().family != slot.family ||
        group.sides.back().side != slot.side)
      group.sides.push_back({index, index, slot.family, slot.side});
    ++group.sides.back().end;
  }
  group.grown = false;
}

void PriceGroups::arrange() {
  if (slots.size() * 20 <= arranged_ * 21) return;
  arranged_ = slots.size();
  std::vector<int> order, place(slots.size());
  order.reserve(slots.size());
  for (PriceGroup& group : groups) {
    if (group.grown) find_sides(group);
    for (int& slot : group.slots) {
      place[at(slot)] = static_cast<int>(order.size());
      order.push_back(slot);
      slot = place[at(slot)];
    }
  }
  const auto put = [&](auto& list) {
    auto old = list;
    for (std::size_t i = 0; i < order.size(); ++i) list[i] = old[at(order[i])];
  };
  put(slots);
  put(price);
  put(center);
  put(mean);
  put(opened);
  for (int& slot : of_pair) slot = place[at(slot)];
}

void PriceGroups::move(double step) {
  for (const PriceGroup& group : groups) {
    if (group.still) continue;
    for (const int slot : group.slots)
      price[at(slot)] = std::max(0.0, center[at(slot)] + step * mean[at(slot)]);
  }
}

void PriceGroups::return_to_centers() {
  for (PriceGroup& group : groups) {
    if (group.still) continue;
    for (const int slot : group.slots) price[at(slot)] = center[at(slot)];
  }
}

double PriceGroups::movable_norm() const {
  double sum = 0;
  for (std::size_t s = 0; s < mean.size(); ++s)
    if (center[s] > 0 || mean[s] > 0) sum += mean[s] * mean[s];
  return sum;
}

void PriceGroups::note_slot(int slot, bool is_used, double weight, bool as_center) {
  const double now = (is_used ? 1 : 0) - (opened[at(slot)] != 0 ? 1 : 0);
  double& m = mean[at(slot)];
  along += m * now;
  m += weight * (now - m);
  if (std::abs(m) < kLeastMean) m = 0;
  if (as_center) center[at(slot)] = price[at(slot)];
  if (center[at(slot)] > 0 || m > 0) norm += m * m;
}

void PriceGroups::note(const std::vector<char>& used, double weight, bool as_centers) {
  along = norm = 0;
  for (PriceGroup& group : groups) {
    group.open_mean += weight * ((group.left < 0 ? 1 : 0) - group.open_mean);
    if (group.still) continue;
    bool still = group.left >= 0;
    for (const int slot : group.slots) {
      const bool is_used = used[at(slots[at(slot)].pair)] != 0;
      note_slot(slot, is_used, weight, as_centers);
      still = still && !is_used && mean[at(slot)] == 0 && price[at(slot)] == center[at(slot)];
    }
    group.still = still;
  }
}

/// What the slots of a side pay together; those that count are opened.
double PriceGroups::sum_of(const PriceGroup& group, const PriceGroup::Side& side) {
  double sum = 0;
  int best = -1;  // of the demand's
  for (int i = side.begin; i < side.end; ++i) {
    const int index = group.slots[at(i)];
    const bool same = best >= 0 && slots[at(best)].demand == slots[at(index)].demand;
    if (same && price[at(best)] >= price[at(index)]) continue;
    if (same) {
      opened[at(best)] = 0;
      sum -= price[at(best)];
    }
    best = index;
    opened[at(index)] = 1;
    sum += price[at(index)];
  }
  return sum;
}

/// A family passes each edge in one direction only: of an edge the larger sum of both counts.
double PriceGroups::open_flat(const PriceGroup& group, double cost) {
  double total = 0;
  using Side = PriceGroup::Side;
  const auto shut = [&](const Side& side) {
    for (int i = side.begin; i < side.end; ++i) opened[at(group.slots[at(i)])] = 0;
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
    for (int slot : group.slots) opened[at(slot)] = 0;
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
      const PriceSlot& slot = slots[at(index)];
      if (price[at(index)] <= 0 || (slot.level & levels) == 0) continue;
      const Paying paying{price[at(index)] / (slot.load + 1e-12), index};
      if (last >= 0 && slots[at(last)].demand == slot.demand) {
        if (price[at(last)] >= price[at(index)]) continue;
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
    const double load = slots[at(paying.slot)].load, pays = price[at(paying.slot)];
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
    const double load = slots[at(paying_[i].slot)].load, pays = price[at(paying_[i].slot)];
    if (load > left) {
      if (within + pays * std::max(0.0, left) / load <= most_ * (1 + 1e-12)) return;
      break;
    }
    within += pays;
    left -= load;
  }
  const double load = slots[at(paying_[next].slot)].load, pays = price[at(paying_[next].slot)];
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
  for (std::size_t i = 0; i < paying_.size(); ++i) opened[at(paying_[i].slot)] = dearest_[i];
  return least;
}

/// What opening a group leaves of its price, the more the demands pay the less.
double PriceGroups::open(PriceGroup& group, bool exact) {
  if (group.grown) find_sides(group);
  double sum = 0;
  for (const int slot : group.slots) {
    opened[at(slot)] = 0;
    sum += price[at(slot)];
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

double PriceGroups::own_slack(std::size_t edge) const {
  if (of_edge_[edge] >= 0) return std::max(0.0, groups[at(of_edge_[edge])].left);
  return model_->own[edge] + (model_->has_steps(edge) ? model_->steps[edge][0].price : 0);
}

double PriceGroups::shared_slack(std::size_t edge) const {
  double sum = 0;
  for (int i = model_->shared_begin[edge]; i < model_->shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_->shared[at(i)]);
    const std::vector<ChargeSize>& sizes = model_->charge_sizes[charge];
    sum += of_charge_[charge] >= 0
               ? std::max(0.0, groups[at(of_charge_[charge])].left)
               : model_->price[charge] + (sizes.empty() ? 0 : sizes.front().price);
  }
  return sum;
}

}  // namespace roomloom::network
