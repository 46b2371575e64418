#include "network/price_groups.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// A running mean nearer to nothing is nothing: what was by chance once used is left in peace.
constexpr double kLeastMean = 1e-3;

}  // namespace

PriceGroups::PriceGroups(const Model& model) : model_(&model) { clear(); }

void PriceGroups::clear() {
  slots.clear();
  payers.clear();
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

PricePayer& PriceGroups::add_slot(int demand, int arc, int pair, int group) {
  PriceGroup& entered = groups[at(group)];
  of_pair.push_back(static_cast<int>(slots.size()));
  entered.slots.push_back(static_cast<int>(slots.size()));
  entered.grown = true;
  entered.still = false;
  slots.emplace_back().mean = -entered.open_mean;
  slots.back().pair = pair;
  PricePayer& payer = payers.emplace_back();
  payer.arc = payer.side = arc;
  payer.demand = demand;
  payer.family = model_->demands[at(demand)].family;
  payer.group = group;
  return payer;
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
    PricePayer& payer = add_slot(demand, arc, pair, of_edge_[edge]);
    if (stepped) payer.load = model_->load(demand);
  }
  for (int i = model_->shared_begin[edge]; i < model_->shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_->shared[at(i)]);
    PriceGroup& group = group_for(of_charge_[charge]);
    if (group.steps.empty()) group.steps = model_->charge_sizes[charge];
    if (group.slots.empty())
      for (ChargeSize& size : group.steps) size.price += model_->price[charge];
    if (group.steps.empty()) group.steps = {{kInfinity, model_->price[charge]}};
    const bool sized = group.steps.size() > 1;
    PricePayer& payer = add_slot(demand, arc, pair, of_charge_[charge]);
    payer.side = model_->passes[at(i)] ^ (arc & 1);
    payer.level = model_->level_of(edge);
    if (sized) payer.load = model_->load(demand);
  }
  return static_cast<int>(slots.size() - before);
}

void PriceGroups::find_sides(PriceGroup& group) {
  const auto key = [&](int index) {
    const PricePayer& payer = payers[at(index)];
    return std::tuple(payer.family, payer.side, payer.demand, slots[at(index)].pair);
  };
  std::sort(group.slots.begin(), group.slots.end(), [&](int a, int b) { return key(a) < key(b); });
  group.sides.clear();
  for (std::size_t i = 0; i < group.slots.size(); ++i) {
    const PricePayer& payer = payers[at(group.slots[i])];
    const int index = static_cast<int>(i);
    if (group.sides.empty() || group.sides.back().family != payer.family ||
        group.sides.back().side != payer.side)
      group.sides.push_back({index, index, payer.family, payer.side});
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
  put(payers);
  for (int& slot : of_pair) slot = place[at(slot)];
}

void PriceGroups::move(double step) {
  for (const PriceGroup& group : groups) {
    if (group.still) continue;
    for (const int index : group.slots) {
      PriceSlot& slot = slots[at(index)];
      slot.price = std::max(0.0, slot.center + step * slot.mean);
    }
  }
}

void PriceGroups::return_to_centers() {
  for (PriceSlot& slot : slots) slot.price = slot.center;
}

void PriceGroups::set_lengths(bool all, std::vector<double>& length) {
  for (const PriceGroup& group : groups) {
    if (group.still && !all) continue;
    for (const int index : group.slots) {
      const PriceSlot& slot = slots[at(index)];
      if (slot.alone) length[at(slot.place)] = slot.cost + slot.price;
    }
  }
}

double PriceGroups::movable_norm() const {
  double sum = 0;
  for (const PriceSlot& slot : slots)
    if (slot.center > 0 || slot.mean > 0) sum += slot.mean * slot.mean;
  return sum;
}

void PriceGroups::note(const std::vector<char>& used, double weight, bool as_centers) {
  along = norm = 0;
  for (PriceGroup& group : groups) {
    group.open_mean += weight * ((group.left < 0 ? 1 : 0) - group.open_mean);
    if (group.still) continue;
    bool still = group.left >= 0;
    for (const int index : group.slots) {
      PriceSlot& slot = slots[at(index)];
      const bool is_used = used[at(slot.pair)] != 0;
      const double now = (is_used ? 1 : 0) - (slot.opened ? 1 : 0);
      along += slot.mean * now;
      slot.mean += weight * (now - slot.mean);
      if (std::abs(slot.mean) < kLeastMean) slot.mean = 0;
      if (as_centers) slot.center = slot.price;
      if (slot.center > 0 || slot.mean > 0) norm += slot.mean * slot.mean;
      still = still && !is_used && slot.mean == 0 && slot.price == slot.center;
    }
    group.still = still;
  }
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
