#include "network/price_polish.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace roomloom::network {
namespace {

/// Early on the mean follows quickly and steps shrink at once; later both take their time: far from
/// the best prices that gains most (tried on rooms of 20 to 40 runs: a fifth of the rounds).
constexpr double kFirstWeight = 0.15;  ///< of the newest paths in the running mean
constexpr double kLastWeight = 0.04;
constexpr double kHalving = 30;     ///< rounds after which the weight is half of it
constexpr int kMostPatience = 4;    ///< rounds without gain before steps are shortened
constexpr int kPatienceGrows = 20;  ///< by one in so many rounds

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// More families than this on one edge are taken in both directions at once, which is weaker.
constexpr std::size_t kMostFamilies = 3;

}  // namespace

PricePolish::PricePolish(const Model& model, const Permitted& permitted)
    : model_(model), distance_(at(model.node_count)), via_(at(model.node_count)) {
  find_lower_bounds();
  build(permitted);
}

/// Distances over costs alone, one a root and profile.
void PricePolish::find_lower_bounds() {
  std::map<std::pair<int, int>, int> known;
  for (const Demand& d : model_.demands) {
    const auto [found, added] =
        known.emplace(std::pair(d.root, d.profile), static_cast<int>(lower_.size()));
    lower_of_demand_.push_back(found->second);
    if (!added) continue;
    std::vector<double>& distance = lower_.emplace_back(at(model_.node_count), kInfinity);
    const std::vector<double>& cost = model_.profiles[at(d.profile)].cost;
    distance[at(d.root)] = 0;
    heap_.push(0.0, d.root);
    while (!heap_.empty()) {
      const auto [reached, node] = heap_.pop();
      if (reached > distance[at(node)]) continue;
      for (int i = model_.out.begin[at(node)]; i < model_.out.begin[at(node) + 1]; ++i) {
        const int arc = model_.out.arcs[at(i)], next = model_.head[at(arc)];
        const double far = reached + cost[at(arc)];
        if (far >= distance[at(next)]) continue;
        distance[at(next)] = far;
        heap_.push(far, next);
      }
    }
  }
}

/// Permitted arcs, those into one node after each other.
std::vector<int> PricePolish::arcs_by_head(const std::vector<char>& row) const {
  std::vector<int> arcs;
  for (std::size_t v = 0; v < at(model_.node_count); ++v)
    for (int i = model_.in.begin[v]; i < model_.in.begin[v + 1]; ++i)
      if (row[at(model_.in.arcs[at(i)])] != 0) arcs.push_back(model_.in.arcs[at(i)]);
  return arcs;
}

PricePolish::Fan PricePolish::fan_into(const std::vector<int>& arcs) const {
  Fan fan;
  fan.begin.assign(at(model_.node_count) + 1, 0);
  for (const int arc : arcs) {
    ++fan.begin[at(model_.head[at(arc)]) + 1];
    fan.next.push_back(model_.tail(arc));
  }
  for (std::size_t v = 0; v < at(model_.node_count); ++v) fan.begin[v + 1] += fan.begin[v];
  return fan;
}

PricePolish::Fan PricePolish::fan_out_of(int demand) const {
  Fan fan;
  fan.begin.assign(at(model_.node_count) + 1, 0);
  const int first = first_pair_[at(demand)], end = first_pair_[at(demand) + 1];
  for (int p = first; p < end; ++p) ++fan.begin[at(model_.tail(pairs_[at(p)].arc)) + 1];
  for (std::size_t v = 0; v < at(model_.node_count); ++v) fan.begin[v + 1] += fan.begin[v];
  fan.pairs.resize(at(end - first));
  fan.next.resize(at(end - first));
  std::vector<int> place(fan.begin.begin(), fan.begin.end() - 1);
  for (int p = first; p < end; ++p) {
    const int arc = pairs_[at(p)].arc;
    const int to = place[at(model_.tail(arc))]++;
    fan.pairs[at(to)] = p;
    fan.next[at(to)] = model_.head[at(arc)];
  }
  return fan;
}

void PricePolish::build(const Permitted& permitted) {
  const std::size_t demands = model_.demands.size();
  in_.resize(demands);
  first_pair_.assign(1, 0);
  load_of_slot_.clear();
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
    load_of_slot_.push_back(0);
  };
  for (std::size_t k = 0; k < demands; ++k) {
    const std::vector<int> arcs = arcs_by_head(permitted[k]);
    for (const int arc : arcs) {
      const std::size_t edge = at(edge_of(arc));
      Pair pair;
      pair.demand = static_cast<int>(k);
      pair.arc = arc;
      pair.cost = model_.cost(pair.demand, arc);
      pair.slots_begin = static_cast<int>(slots_.size());
      if (model_.own[edge] > 0 || model_.has_steps(edge))
        add_slot(group(group_of_edge[edge], model_.own[edge], model_.steps_of(edge)));
      if (model_.has_steps(edge)) load_of_slot_.back() = model_.load(pair.demand);
      for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
        const int charge = model_.shared[at(i)];
        add_slot(group(group_of_charge[at(charge)], model_.price[at(charge)], nullptr));
      }
      pair.slots_end = static_cast<int>(slots_.size());
      pairs_.push_back(pair);
    }
    in_[k] = fan_into(arcs);
    first_pair_.push_back(static_cast<int>(pairs_.size()));
  }
  for (Group& g : groups_) find_sides(g);
  group_left_.assign(groups_.size(), 0.0);
  used_.assign(pairs_.size(), 0);
  lengths_.assign(pairs_.size(), 0.0);
  value_.assign(demands, 0.0);
}

void PricePolish::find_sides(Group& group) const {
  const auto key = [&](int slot) {
    const Pair& pair = pairs_[at(slots_[at(slot)].pair)];
    return std::tuple(model_.demands[at(pair.demand)].family, pair.arc, slot);
  };
  std::sort(group.slots.begin(), group.slots.end(), [&](int a, int b) { return key(a) < key(b); });
  for (std::size_t i = 0; i < group.slots.size(); ++i) {
    const auto [family, arc, slot] = key(group.slots[i]);
    const int index = static_cast<int>(i);
    if (group.sides.empty() || group.sides.back().family != family ||
        group.sides.back().arc != arc)
      group.sides.push_back({index, index, family, arc});
    ++group.sides.back().end;
  }
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

/// Dijkstra over some pairs of a demand from one node to all others.
void PricePolish::measure(int demand, const Fan& fan, int start, std::vector<double>& distance) {
  distance.assign(at(model_.node_count), kInfinity);
  const int first = first_pair_[at(demand)];
  heap_.clear();
  distance[at(start)] = 0;
  heap_.push(0.0, start);
  while (!heap_.empty()) {
    const auto [reached, node] = heap_.pop();
    if (reached > distance[at(node)]) continue;
    for (int i = fan.begin[at(node)]; i < fan.begin[at(node) + 1]; ++i) {
      const int pair = fan.pairs.empty() ? first + i : fan.pairs[at(i)];
      const int next = fan.next[at(i)];
      const double far = reached + lengths_[at(pair)];
      if (far >= distance[at(next)]) continue;
      distance[at(next)] = far;
      heap_.push(far, next);
    }
  }
}

/// The cheapest path of a demand at the prices tried now, marked in `used_`: A* from its terminal
/// against the arcs, led by what the arcs alone cost from the root. @return its length
double PricePolish::find_path(int demand) {
  const Demand& d = model_.demands[at(demand)];
  const Fan& fan = in_[at(demand)];
  const std::vector<double>& lower = lower_[at(lower_of_demand_[at(demand)])];
  const double* lengths = lengths_.data() + first_pair_[at(demand)];
  distance_.assign(at(model_.node_count), kInfinity);
  heap_.clear();
  distance_[at(d.terminal)] = 0;
  heap_.push(lower[at(d.terminal)], d.terminal);
  while (!heap_.empty()) {
    const auto [key, node] = heap_.pop();
    const double reached = distance_[at(node)];
    if (key > reached + lower[at(node)]) continue;
    if (node == d.root) break;
    for (int i = fan.begin[at(node)]; i < fan.begin[at(node) + 1]; ++i) {
      const int next = fan.next[at(i)];
      const double far = reached + lengths[i];
      if (far >= distance_[at(next)]) continue;
      distance_[at(next)] = far;
      via_[at(next)] = first_pair_[at(demand)] + i;
      heap_.push(far + lower[at(next)], next);
    }
  }
  if (std::isinf(distance_[at(d.root)])) return kInfinity;
  for (int node = d.root; node != d.terminal;) {
    const int pair = via_[at(node)];
    used_[at(pair)] = 1;
    node = model_.head[at(pairs_[at(pair)].arc)];
  }
  return distance_[at(d.root)];
}

/// A family uses an edge in one direction only: the larger sum of both counts.
double PricePolish::open_flat(const Group& group, double price) {
  double total = 0;
  const auto mark = [&](const Side& side, double opened) {
    for (int i = side.begin; i < side.end; ++i) slots_[at(group.slots[at(i)])].opened = opened;
  };
  const auto sum_of = [&](const Side& side) {
    double sum = 0;
    for (int i = side.begin; i < side.end; ++i) sum += slots_[at(group.slots[at(i)])].price;
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
    for (int slot : group.slots) slots_[at(slot)].opened = 0;
  return price - total;
}

/// The largest sum of prices of slots whose loads fit into a capacity, fractions allowed.
/// @param slots  by price for load, dearest first
double PricePolish::fill(const std::vector<int>& slots, double capacity, bool mark) {
  double room = capacity, paid = 0;
  for (const int slot : slots) {
    const double load = load_of_slot_[at(slot)];
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
  std::vector<int> rank(group.sides.size(), 0);  // of the side's family
  for (std::size_t s = 1; s < rank.size(); ++s)
    rank[s] = rank[s - 1] + (group.sides[s].family != group.sides[s - 1].family ? 1 : 0);
  const std::size_t families = rank.empty() ? 0 : at(rank.back()) + 1;
  const bool both = families > kMostFamilies;
  const auto ratio = [&](int slot) {
    return slots_[at(slot)].price / (load_of_slot_[at(slot)] + 1e-12);
  };
  const int choices = both ? 1 : 1 << families;
  double least = kInfinity, capacity = 0;
  std::vector<int> best, paying;
  for (int choice = 0; choice < choices; ++choice) {
    paying.clear();
    for (std::size_t s = 0; s < group.sides.size(); ++s) {
      const Side& side = group.sides[s];
      if (!both && (side.arc & 1) != ((choice >> rank[s]) & 1)) continue;
      for (int i = side.begin; i < side.end; ++i)
        if (slots_[at(group.slots[at(i)])].price > 0) paying.push_back(group.slots[at(i)]);
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

/// What opening a group leaves of its price, the more the demands pay the less; where it must be
/// paid for in full anyway, a number that is not above it does unless asked for `exact`.
double PricePolish::open(const Group& group, bool exact) {
  double sum = 0;
  for (const int slot : group.slots) {
    slots_[at(slot)].opened = 0;
    sum += slots_[at(slot)].price;
  }
  if (!exact && sum <= group.steps[0].price) return group.steps[0].price - sum;
  if (group.steps.size() == 1 && std::isinf(group.steps[0].capacity))
    return open_flat(group, group.steps[0].price);
  return open_stepped(group);
}

/// The bound that the prices tried now prove.
double PricePolish::evaluate(bool exact) {
  for (std::size_t p = 0; p < pairs_.size(); ++p) {
    lengths_[p] = pairs_[p].cost;
    for (int s = pairs_[p].slots_begin; s < pairs_[p].slots_end; ++s)
      lengths_[p] += slots_[at(s)].price;
  }
  std::fill(used_.begin(), used_.end(), 0);
  double bound = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    value_[k] = find_path(static_cast<int>(k));
    bound += value_[k];
  }
  for (std::size_t g = 0; g < groups_.size(); ++g) {
    group_left_[g] = open(groups_[g], exact);
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
    keep(evaluate(false));
    note_means(kFirstWeight);
  }
  for (int round = 0; round < rounds && best_bound_ < target; ++round) {
    double norm = 0;
    for (const Slot& slot : slots_)
      if (slot.center > 0 || slot.mean > 0) norm += slot.mean * slot.mean;
    if (norm <= 0) return;
    move(pace_ * std::max(target - best_bound_, 1e-6 * std::abs(target)) / norm);
    const double bound = evaluate(false);
    double along = 0;
    for (const Slot& slot : slots_) along += slot.mean * (used_[at(slot.pair)] - slot.opened);
    note_means(std::max(kLastWeight, kFirstWeight * std::exp2(-moves_ / kHalving)));
    const int patience = std::min(kMostPatience, moves_++ / kPatienceGrows);
    if (bound > best_bound_) {
      if (bound > best_bound_ + 1e-4 * (target - best_bound_)) since_ = 0;
      keep(bound);
      pace_ = std::min(2.0, pace_ * (along > 0 ? 1.3 : 1.05));
    } else if (++since_ > patience) {
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
  const double bound = evaluate(true);
  best_bound_ = std::max(best_bound_, bound);
  long long fallen = 0;
  std::vector<double> from_root;
  std::size_t p = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    const double spare = limit - bound + value_[k];
    const Demand& d = model_.demands[k];
    measure(static_cast<int>(k), in_[k], d.terminal, distance_);
    measure(static_cast<int>(k), fan_out_of(static_cast<int>(k)), d.root, from_root);
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
