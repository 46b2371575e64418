#include "network/price_polish.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <queue>
#include <tuple>
#include <utility>

namespace roomloom::network {
namespace {

constexpr double kMeanWeight = 0.05;  ///< of the newest paths in the running mean
constexpr int kPatience = 4;          ///< rounds without gain before steps are halved

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// More families than this on one edge are taken in both directions at once, which is weaker.
constexpr std::size_t kMostFamilies = 3;

}  // namespace

PricePolish::PricePolish(const Model& model, const Permitted& permitted)
    : model_(model), distance_(at(model.node_count)), via_(at(model.node_count)) {
  build(permitted);
}

PricePolish::Fan PricePolish::make_fan(const std::vector<int>& arcs, int first,
                                       bool entering) const {
  const auto node_of = [&](int arc) { return entering ? model_.head[at(arc)] : model_.tail(arc); };
  Fan fan;
  fan.begin.assign(at(model_.node_count) + 1, 0);
  for (int arc : arcs) ++fan.begin[at(node_of(arc)) + 1];
  for (std::size_t v = 0; v < at(model_.node_count); ++v) fan.begin[v + 1] += fan.begin[v];
  fan.pairs.resize(arcs.size());
  fan.next.resize(arcs.size());
  std::vector<int> place(fan.begin.begin(), fan.begin.end() - 1);
  for (std::size_t i = 0; i < arcs.size(); ++i) {
    const int to = place[at(node_of(arcs[i]))]++;
    fan.pairs[at(to)] = first + static_cast<int>(i);
    fan.next[at(to)] = node_of(reverse_of(arcs[i]));
  }
  return fan;
}

void PricePolish::build(const Permitted& permitted) {
  const std::size_t demands = model_.demands.size();
  in_.resize(demands);
  out_.resize(demands);
  pairs_.clear();
  slots_.clear();
  groups_.clear();
  group_of_slot_.clear();
  std::vector<int> group_of_edge(model_.own.size(), -1), group_of_charge(model_.price.size(), -1);
  const auto group = [&](int& index, double price, const std::vector<SizeStep>* steps) {
    if (index >= 0) return index;
    index = static_cast<int>(groups_.size());
    groups_.emplace_back();
    if (steps == nullptr || steps->empty()) {
      groups_.back().steps = {{kInfinity, price}};
    } else {
      groups_.back().steps = *steps;
      for (SizeStep& step : groups_.back().steps) step.price += price;
    }
    return index;
  };
  const auto add_slot = [&](int group_index) {
    groups_[at(group_index)].slots.push_back(static_cast<int>(slots_.size()));
    group_of_slot_.push_back(group_index);
    slots_.push_back({static_cast<int>(pairs_.size()), 0, 0, 0, 0});
  };
  std::vector<int> arcs;
  for (std::size_t k = 0; k < demands; ++k) {
    const std::vector<char>& row = permitted[k];
    const int first = static_cast<int>(pairs_.size());
    arcs.clear();
    for (int arc = 0; arc < model_.arc_count; ++arc) {
      if (!row[at(arc)]) continue;
      arcs.push_back(arc);
      const std::size_t edge = at(edge_of(arc));
      Pair pair;
      pair.demand = static_cast<int>(k);
      pair.arc = arc;
      pair.cost = model_.cost(pair.demand, arc);
      pair.slots_begin = static_cast<int>(slots_.size());
      if (model_.own[edge] > 0 || model_.has_steps(edge))
        add_slot(group(group_of_edge[edge], model_.own[edge], model_.steps_of(edge)));
      for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
        const int charge = model_.shared[at(i)];
        add_slot(group(group_of_charge[at(charge)], model_.price[at(charge)], nullptr));
      }
      pair.slots_end = static_cast<int>(slots_.size());
      pairs_.push_back(pair);
    }
    in_[k] = make_fan(arcs, first, true);
    out_[k] = make_fan(arcs, first, false);
  }
  const auto side = [&](int slot) {
    const Pair& pair = pairs_[at(slots_[at(slot)].pair)];
    return std::tuple(model_.demands[at(pair.demand)].family, pair.arc & 1, slot);
  };
  for (Group& g : groups_)
    std::sort(g.slots.begin(), g.slots.end(), [&](int a, int b) { return side(a) < side(b); });
  group_left_.assign(groups_.size(), 0.0);
  used_.assign(pairs_.size(), 0);
  lengths_.assign(pairs_.size(), 0.0);
  value_.assign(demands, 0.0);
}

void PricePolish::start_from(const Dual& dual, const std::vector<double>& slope, const Plan& plan) {
  std::vector<double> own(at(model_.arc_count), 0.0), rest(at(model_.arc_count), 0.0);
  std::size_t p = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    const Potential& potential = dual.potentials[k];
    const double load = model_.load(static_cast<int>(k));
    for (std::size_t i = 0; i < potential.arcs.size(); ++i) {
      own[at(potential.arcs[i])] = potential.drawn_own[i];
      rest[at(potential.arcs[i])] = potential.drawn[i] - potential.drawn_own[i];
    }
    for (; p < pairs_.size() && at(pairs_[p].demand) == k; ++p) {
      const Pair& pair = pairs_[p];
      const std::size_t edge = at(edge_of(pair.arc));
      int s = pair.slots_begin;
      if (model_.own[edge] > 0 || model_.has_steps(edge)) {
        slots_[at(s)].center = own[at(pair.arc)] + (slope.empty() ? 0 : slope[edge] * load);
        ++s;
      }
      const int shared = pair.slots_end - s;
      for (; s < pair.slots_end; ++s) slots_[at(s)].center = rest[at(pair.arc)] / shared;
    }
    for (int arc : potential.arcs) own[at(arc)] = rest[at(arc)] = 0;
  }
  std::vector<std::vector<char>> on_path(model_.demands.size());
  for (std::size_t k = 0; k < plan.paths.size(); ++k) {
    on_path[k].assign(at(model_.arc_count), 0);
    for (int arc : plan.paths[k]) on_path[k][at(arc)] = 1;
  }
  for (Pair& pair : pairs_) pair.mean = on_path[at(pair.demand)][at(pair.arc)];
  for (std::size_t s = 0; s < slots_.size(); ++s) {
    Slot& slot = slots_[s];
    const Pair& pair = pairs_[at(slot.pair)];
    const bool open = plan.edge_users[at(edge_of(pair.arc))] > 0;
    slot.price = slot.center;
    slot.mean = pair.mean - (open ? 1 : 0);
  }
  best_bound_ = -kInfinity;
}

/// Dijkstra over the demand's own pairs, from its terminal against the arcs, or from its root along
/// them. With `mark` it stops at the root and marks the path. @return the root's distance
double PricePolish::search(int demand, bool backward, std::vector<double>& distance, bool mark) {
  using Entry = std::pair<double, int>;
  const Demand& d = model_.demands[at(demand)];
  const Fan& fan = backward ? in_[at(demand)] : out_[at(demand)];
  distance.assign(at(model_.node_count), kInfinity);
  const int start = backward ? d.terminal : d.root, goal = backward ? d.root : d.terminal;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> queue;
  distance[at(start)] = 0;
  queue.emplace(0.0, start);
  while (!queue.empty()) {
    const auto [reached, node] = queue.top();
    queue.pop();
    if (reached > distance[at(node)]) continue;
    if (mark && node == goal) break;
    for (int i = fan.begin[at(node)]; i < fan.begin[at(node) + 1]; ++i) {
      const int pair = fan.pairs[at(i)], next = fan.next[at(i)];
      const double far = reached + lengths_[at(pair)];
      if (far >= distance[at(next)]) continue;
      distance[at(next)] = far;
      via_[at(next)] = pair;
      queue.emplace(far, next);
    }
  }
  if (mark && !std::isinf(distance[at(goal)])) {
    for (int node = goal; node != start;) {
      const int pair = via_[at(node)];
      used_[at(pair)] = 1;
      node = model_.head[at(pairs_[at(pair)].arc)];
    }
  }
  return distance[at(goal)];
}

/// One past the last slot of the same family and direction.
int PricePolish::side_end(const Group& group, int from) const {
  const Pair& first = pairs_[at(slots_[at(group.slots[at(from)])].pair)];
  const int family = model_.demands[at(first.demand)].family;
  int end = from;
  for (; end < static_cast<int>(group.slots.size()); ++end) {
    const Pair& pair = pairs_[at(slots_[at(group.slots[at(end)])].pair)];
    if (model_.demands[at(pair.demand)].family != family || (pair.arc & 1) != (first.arc & 1))
      break;
  }
  return end;
}

/// A family uses an edge in one direction only: the larger sum of both counts.
double PricePolish::open_flat(const Group& group, double price) {
  const int count = static_cast<int>(group.slots.size());
  double total = 0;
  for (int from = 0; from < count;) {
    const int middle = side_end(group, from);
    const auto family_at = [&](int i) {
      return model_.demands[at(pairs_[at(slots_[at(group.slots[at(i)])].pair)].demand)].family;
    };
    const bool both = middle < count && family_at(middle) == family_at(from);
    const int end = both ? side_end(group, middle) : middle;
    double sums[2] = {0, 0};
    for (int i = from; i < end; ++i)
      sums[i < middle ? 0 : 1] += slots_[at(group.slots[at(i)])].price;
    const int larger = sums[1] > sums[0] ? 1 : 0;
    for (int i = from; i < end; ++i)
      slots_[at(group.slots[at(i)])].opened = (i < middle ? 0 : 1) == larger ? 1 : 0;
    total += sums[larger];
    from = end;
  }
  if (price - total >= 0)
    for (int slot : group.slots) slots_[at(slot)].opened = 0;
  return price - total;
}

/// The largest sum of prices of slots whose loads fit into a capacity, fractions allowed.
/// @param slots  by price for load, dearest first
double PricePolish::fill(const std::vector<int>& slots, double capacity, bool mark) {
  double room = capacity, paid = 0;
  for (const int slot : slots) {
    const double load = model_.load(pairs_[at(slots_[at(slot)].pair)].demand);
    const double share = load <= 0 ? 1 : std::min(1.0, room / load);
    paid += share * slots_[at(slot)].price;
    if (mark) slots_[at(slot)].opened = share;
    room -= share * load;
    if (room <= 0) break;
  }
  return paid;
}

/// For each size and each choice of directions, one a family, the most that demands pay together.
double PricePolish::open_stepped(const Group& group) {
  const int count = static_cast<int>(group.slots.size());
  std::vector<int> family_of(group.slots.size());
  int families = 0;
  for (int i = 0, last = -1; i < count; ++i) {
    slots_[at(group.slots[at(i)])].opened = 0;
    const int demand = pairs_[at(slots_[at(group.slots[at(i)])].pair)].demand;
    const int family = model_.demands[at(demand)].family;
    if (family != last) ++families;
    last = family;
    family_of[at(i)] = families - 1;
  }
  const auto ratio = [&](int slot) {
    return slots_[at(slot)].price / (model_.load(pairs_[at(slots_[at(slot)].pair)].demand) + 1e-12);
  };
  const bool both = at(families) > kMostFamilies;
  const int choices = both ? 1 : 1 << families;
  double least = kInfinity, capacity = 0;
  std::vector<int> best, paying;
  for (int choice = 0; choice < choices; ++choice) {
    paying.clear();
    for (int i = 0; i < count; ++i) {
      const int slot = group.slots[at(i)];
      const int side = pairs_[at(slots_[at(slot)].pair)].arc & 1;
      if (slots_[at(slot)].price > 0 && (both || side == ((choice >> family_of[at(i)]) & 1)))
        paying.push_back(slot);
    }
    std::stable_sort(paying.begin(), paying.end(),
                     [&](int a, int b) { return ratio(a) > ratio(b); });
    for (const SizeStep& step : group.steps) {
      const double left = step.price - fill(paying, step.capacity, false);
      if (left >= least) continue;
      least = left;
      best = paying;
      capacity = step.capacity;
    }
  }
  if (least < 0) fill(best, capacity, true);
  return least;
}

double PricePolish::open(Group& group) {
  if (group.steps.size() == 1 && std::isinf(group.steps[0].capacity))
    return open_flat(group, group.steps[0].price);
  return open_stepped(group);
}

/// The bound that the prices tried now prove.
double PricePolish::evaluate() {
  for (std::size_t p = 0; p < pairs_.size(); ++p) {
    lengths_[p] = pairs_[p].cost;
    for (int s = pairs_[p].slots_begin; s < pairs_[p].slots_end; ++s)
      lengths_[p] += slots_[at(s)].price;
  }
  std::fill(used_.begin(), used_.end(), 0);
  double bound = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    value_[k] = search(static_cast<int>(k), true, distance_, true);
    bound += value_[k];
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    group_left_[g] = open(groups_[g]);
    bound += std::min(0.0, group_left_[g]);
  }
  return bound;
}

void PricePolish::move(double step) {
  for (Slot& slot : slots_) slot.price = std::max(0.0, slot.center + step * slot.mean);
}

void PricePolish::improve(int rounds, double target) {
  const auto note_means = [&](double weight) {
    for (std::size_t p = 0; p < pairs_.size(); ++p)
      pairs_[p].mean += weight * (used_[p] - pairs_[p].mean);
    for (Slot& slot : slots_)
      slot.mean += weight * (used_[at(slot.pair)] - slot.opened - slot.mean);
  };
  const auto keep = [&](double bound) {
    best_bound_ = bound;
    best_value_ = value_;
    for (Slot& slot : slots_) slot.center = slot.price;
  };
  if (std::isinf(best_bound_)) {
    keep(evaluate());
    note_means(kMeanWeight);
  }
  for (int round = 0; round < rounds && best_bound_ < target; ++round) {
    double norm = 0;
    for (const Slot& slot : slots_)
      if (slot.center > 0 || slot.mean > 0) norm += slot.mean * slot.mean;
    if (norm <= 0) return;
    move(pace_ * std::max(target - best_bound_, 1e-6 * std::abs(target)) / norm);
    const double bound = evaluate();
    double along = 0;
    for (const Slot& slot : slots_) along += slot.mean * (used_[at(slot.pair)] - slot.opened);
    note_means(kMeanWeight);
    if (bound > best_bound_) {
      if (bound > best_bound_ + 1e-4 * (target - best_bound_)) since_ = 0;
      keep(bound);
      pace_ = std::min(2.0, pace_ * (along > 0 ? 1.3 : 1.05));
    } else if (++since_ > kPatience) {
      since_ = 0;
      pace_ *= 0.6;
    }
  }
}

/// What opening everything on a pair would cost beyond the prices paid.
double PricePolish::slack(int pair) const {
  double sum = 0;
  for (int s = pairs_[at(pair)].slots_begin; s < pairs_[at(pair)].slots_end; ++s)
    sum += std::max(0.0, group_left_[at(group_of_slot_[at(s)])]);
  return sum;
}

long long PricePolish::fix(double limit, Permitted& permitted) {
  for (Slot& slot : slots_) slot.price = slot.center;
  const double bound = evaluate();
  best_bound_ = std::max(best_bound_, bound);
  long long fallen = 0;
  std::vector<double> from_root;
  std::size_t p = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    const double spare = limit - bound + value_[k];
    search(static_cast<int>(k), true, distance_, false);
    search(static_cast<int>(k), false, from_root, false);
    for (; p < pairs_.size() && at(pairs_[p].demand) == k; ++p) {
      const int arc = pairs_[p].arc;
      const double through = from_root[at(model_.tail(arc))] + lengths_[p] +
                             distance_[at(model_.head[at(arc)])] + slack(static_cast<int>(p));
      if (through < spare) continue;
      permitted[k][at(arc)] = 0;
      ++fallen;
    }
  }
  if (fallen == 0) return 0;
  const std::vector<Pair> old_pairs = std::move(pairs_);
  const std::vector<Slot> old_slots = std::move(slots_);
  build(permitted);
  std::size_t old = 0;
  for (Pair& pair : pairs_) {
    while (old_pairs[old].demand != pair.demand || old_pairs[old].arc != pair.arc) ++old;
    pair.mean = old_pairs[old].mean;
    for (int i = 0; i < pair.slots_end - pair.slots_begin; ++i) {
      Slot& slot = slots_[at(pair.slots_begin + i)];
      const Slot& before = old_slots[at(old_pairs[old].slots_begin + i)];
      slot.price = slot.center = before.center;
      slot.mean = before.mean;
    }
  }
  return fallen;
}

std::vector<double> PricePolish::closedness() const {
  std::vector<double> weight(model_.own.size(), 1.0);
  for (const Pair& pair : pairs_) {
    double& w = weight[at(edge_of(pair.arc))];
    w = std::min(w, 1 - pair.mean);
  }
  for (double& w : weight) w = std::clamp(w, 0.0, 1.0);
  return weight;
}

}  // namespace roomloom::network
