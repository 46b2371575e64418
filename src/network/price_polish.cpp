#include "network/price_polish.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <unordered_map>
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

}  // namespace

PricePolish::PricePolish(const Model& model, const Permitted& permitted)
    : model_(model), groups_(model), value_(model.demands.size(), 0.0) {
  find_lower_bounds();
  set_ways(permitted);
}

/// The pair of a demand and a permitted arc, made where there is none; -1 where nothing is to be
/// paid.
int PricePolish::pair_of(int demand, int arc) {
  if (!groups_.has_charges(arc)) return -1;
  const int way = ways_of(demand).at_arc[at(arc)];
  int& index = pair_at_[at(prices_[at(demand)].first + way)];
  if (index >= 0) return index;
  index = static_cast<int>(pairs_.size());
  Pair pair;
  pair.place = prices_[at(demand)].first + way;
  pair.demand = demand;
  pair.arc = arc;
  pair.cost = model_.cost(demand, arc);
  pair.slots_begin = static_cast<int>(groups_.of_pair.size());
  pair.slots_end = pair.slots_begin + groups_.add(demand, arc, index);
  if (pair.slots_end - pair.slots_begin > 1) of_several_.push_back(index);
  for (int i = pair.slots_begin; i < pair.slots_end; ++i) {
    PriceSlot& slot = groups_.slots[at(groups_.of_pair[at(i)])];
    slot.cost = pair.cost;
    slot.place = pair.place;
    slot.alone = pair.slots_end - pair.slots_begin == 1;
  }
  pairs_.push_back(pair);
  used_.push_back(0);
  return index;
}

/// What a demand must pay on each arc so that no path is shorter than its share of the dual bound:
/// what the levels of a dual solution rise along the arc beyond its cost.
void PricePolish::pay_what_rises(int demand, const Potential& potential, double share) {
  std::vector<double> level(at(model_.node_count), potential.value);
  for (std::size_t i = 0; i < potential.nodes.size(); ++i)
    level[at(potential.nodes[i])] = potential.levels[i];
  std::unordered_map<int, double> of_shared;
  for (std::size_t i = 0; i < potential.arcs.size(); ++i)
    if (potential.drawn[i] > potential.drawn_own[i])
      of_shared[potential.arcs[i]] = potential.drawn[i] - potential.drawn_own[i];
  for (const int node : potential.nodes) {
    for (int i = model_.in.begin[at(node)]; i < model_.in.begin[at(node) + 1]; ++i) {
      const int arc = model_.in.arcs[at(i)];
      if (ways_of(demand).at_arc[at(arc)] < 0) continue;
      const double rise = level[at(model_.tail(arc))] - level[at(node)] - model_.cost(demand, arc);
      if (rise <= 1e-12 * potential.value) continue;
      const int p = pair_of(demand, arc);
      if (p < 0) continue;
      int s = pairs_[at(p)].slots_begin;
      const int end = pairs_[at(p)].slots_end;
      const std::size_t edge = at(edge_of(arc));
      const auto found = of_shared.find(arc);
      const bool owns = model_.own[edge] > 0 || model_.has_steps(edge);
      const double rest = !owns                      ? rise
                          : found == of_shared.end() ? 0
                                                     : std::min(rise, found->second);
      if (owns) groups_.slots[at(groups_.of_pair[at(s++)])].center += share * (rise - rest);
      const int shared = end - s;
      for (; s < end; ++s)
        groups_.slots[at(groups_.of_pair[at(s)])].center += share * rest / shared;
    }
  }
}

std::vector<std::vector<double>> PricePolish::own_prices() const {
  std::vector<std::vector<double>> prices(model_.demands.size(),
                                          std::vector<double>(at(model_.arc_count), 0.0));
  for (const Pair& pair : pairs_) {
    const std::size_t edge = at(edge_of(pair.arc));
    if (model_.own[edge] <= 0 && !model_.has_steps(edge)) continue;
    prices[at(pair.demand)][at(pair.arc)] =
        groups_.slots[at(groups_.of_pair[at(pair.slots_begin)])].center;
  }
  return prices;
}

void PricePolish::start_from(const std::vector<Dual>& duals, const Plan& plan) {
  const double share = 1.0 / static_cast<double>(duals.size());
  for (const Dual& dual : duals)
    for (std::size_t k = 0; k < model_.demands.size(); ++k)
      pay_what_rises(static_cast<int>(k), dual.potentials[k], share);
  for (std::size_t k = 0; k < plan.paths.size(); ++k)
    for (const int arc : plan.paths[k])
      if (ways_of(static_cast<int>(k)).at_arc[at(arc)] >= 0) {
        const int p = pair_of(static_cast<int>(k), arc);
        if (p >= 0) pairs_[at(p)].mean = 1;
      }
  for (std::size_t s = 0; s < groups_.slots.size(); ++s) {
    PriceSlot& slot = groups_.slots[s];
    const PricePayer& payer = groups_.payers[s];
    const bool open = plan.edge_users[at(edge_of(payer.arc))] > 0;
    slot.price = slot.center;
    slot.mean = pairs_[at(slot.pair)].mean - (open ? 1 : 0);
    if (open) groups_.groups[at(payer.group)].open_mean = 1;
  }
  best_bound_ = -kInfinity;
}

/// The cheapest path of a demand at the prices tried now: A* from its terminal against the arcs,
/// led by what the arcs alone cost from the root; told in `labels_`. @return its length
double PricePolish::find_path(int demand) {
  const Demand& d = model_.demands[at(demand)];
  Label* labels = labels_[at(lower_of_demand_[at(demand)])].data();
  const Ways& ways = ways_of(demand);
  const double* length = &length_[at(prices_[at(demand)].first)];
  const double least = labels[d.terminal].lower;
  ++epoch_;
  heap_.clear(least, 1.2 * (value_[at(demand)] - least));
  labels[d.root].distance = kInfinity;
  labels[d.terminal] = {0, least, -1, epoch_};
  heap_.push(least, d.terminal);
  while (!heap_.empty()) {
    const auto [key, node] = heap_.pop();
    const double reached = labels[node].distance;
    if (key > reached + labels[node].lower) continue;
    if (node == d.root) break;
    for (int i = ways.begin[at(node)]; i < ways.begin[at(node) + 1]; ++i) {
      Label& label = labels[ways.list[at(i)].tail];
      const double far = reached + length[i];
      if (label.epoch == epoch_ && far >= label.distance) continue;
      label.distance = far;
      label.way = i;
      label.epoch = epoch_;
      heap_.push(far + label.lower, ways.list[at(i)].tail);
    }
  }
  return labels[d.root].distance;
}

/// Marks what the path found last uses.
void PricePolish::walk_path(int demand) {
  const Demand& d = model_.demands[at(demand)];
  for (int node = d.root; node != d.terminal;) {
    const int arc =
        ways_of(demand).list[at(labels_[at(lower_of_demand_[at(demand)])][at(node)].way)].arc;
    const int pair = pair_of(demand, arc);
    node = model_.head[at(arc)];
    if (pair < 0) continue;
    used_[at(pair)] = 1;
    used_list_.push_back(pair);
    for (int i = pairs_[at(pair)].slots_begin; i < pairs_[at(pair)].slots_end; ++i)
      groups_.groups[at(groups_.payers[at(groups_.of_pair[at(i)])].group)].still = false;
  }
}

/// Dijkstra from the root, or against the arcs from the terminal, to all nodes.
void PricePolish::measure(int demand, bool from_root, const std::vector<double>& slack,
                          std::vector<double>& distance) {
  const Demand& d = model_.demands[at(demand)];
  const Adjacency& adjacency = from_root ? model_.out : model_.in;
  const int start = from_root ? d.root : d.terminal;
  distance.assign(at(model_.node_count), kInfinity);
  heap_.clear(0, span_);
  distance[at(start)] = 0;
  heap_.push(0.0, start);
  while (!heap_.empty()) {
    const auto [reached, node] = heap_.pop();
    span_ = reached;
    if (reached > distance[at(node)]) continue;
    for (int i = adjacency.begin[at(node)]; i < adjacency.begin[at(node) + 1]; ++i) {
      const int arc = adjacency.arcs[at(i)];
      const int next = from_root ? model_.head[at(arc)] : model_.tail(arc);
      const double far = reached + length(demand, arc) + slack[at(edge_of(arc))];
      if (far >= distance[at(next)]) continue;
      distance[at(next)] = far;
      heap_.push(far, next);
    }
  }
}

/// What arcs cost at the prices tried now.
void PricePolish::set_lengths(bool all) {
  groups_.set_lengths(all, length_);
  for (const int index : of_several_) {
    const Pair& pair = pairs_[at(index)];
    double sum = pair.cost;
    for (int i = pair.slots_begin; i < pair.slots_end; ++i)
      sum += groups_.slots[at(groups_.of_pair[at(i)])].price;
    length_[at(pair.place)] = sum;
  }
}

/// The bound that the prices tried now prove.
double PricePolish::evaluate(bool exact) {
  set_lengths(exact);
  for (const int pair : used_list_) used_[at(pair)] = 0;
  used_list_.clear();
  double bound = 0;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    value_[k] = find_path(static_cast<int>(k));
    bound += value_[k];
    if (!std::isinf(value_[k])) walk_path(static_cast<int>(k));
  }
  return bound + groups_.open_all(exact);
}

/// Follows with the running means what was used and opened; the prices tried become centers where
/// asked to.
void PricePolish::note(double weight, bool as_centers) {
  groups_.note(used_, weight, as_centers);
  fading_ *= 1 - weight;
  if (fading_ < 1e-100) {
    for (Pair& pair : pairs_) pair.mean *= fading_;
    fading_ = 1;
  }
  for (const int pair : used_list_) pairs_[at(pair)].mean += weight / fading_;
}

void PricePolish::improve(int rounds, double target) {
  if (std::isinf(best_bound_)) {
    best_bound_ = evaluate(false);
    note(kFirstWeight, true);
  }
  groups_.arrange();
  for (int round = 0; round < rounds && best_bound_ < target; ++round) {
    if (groups_.norm <= 0) return;
    groups_.move(pace_ * std::max(target - best_bound_, 1e-6 * std::abs(target)) / groups_.norm);
    const double bound = evaluate(false);
    const double gained = bound - best_bound_;
    note(std::max(kLastWeight, kFirstWeight * std::exp2(-moves_ / kHalving)), gained > 0);
    const int patience = std::min(kMostPatience, moves_++ / kPatienceGrows);
    if (gained > 0) {
      if (gained > 1e-4 * (target - best_bound_)) since_ = 0;
      best_bound_ = bound;
      pace_ = std::min(2.0, pace_ * (groups_.along > 0 ? 1.3 : 1.05));
    } else if (++since_ > patience) {
      since_ = 0;
      pace_ *= 0.6;
    }
  }
}

/// Tells what a plan that leads a demand along an arc costs at least, as the best prices prove, for
/// each permitted pair of these.
void PricePolish::tell_least(const Permitted& permitted, const Tell& tell) {
  groups_.return_to_centers();
  const double bound = evaluate(true);
  best_bound_ = std::max(best_bound_, bound);
  std::vector<double> own(model_.own.size()), shared(model_.own.size());
  for (std::size_t e = 0; e < own.size(); ++e) {
    own[e] = groups_.own_slack(e);
    shared[e] = groups_.shared_slack(e);
  }
  std::vector<double> from_root, to_terminal;
  for (std::size_t k = 0; k < model_.demands.size(); ++k) {
    const int demand = static_cast<int>(k);
    measure(demand, false, own, to_terminal);
    measure(demand, true, own, from_root);
    const std::vector<char>& row = permitted[k];
    for (int arc = 0; arc < model_.arc_count; ++arc) {
      if (row[at(arc)] == 0) continue;
      const double through = from_root[at(model_.tail(arc))] + length(demand, arc) +
                             to_terminal[at(model_.head[at(arc)])] + own[at(edge_of(arc))] +
                             shared[at(edge_of(arc))];
      tell(k, at(arc), bound - value_[k] + through);
    }
  }
}

long long PricePolish::fix(double limit, Permitted& permitted) {
  long long fallen = 0;
  tell_least(permitted, [&](std::size_t demand, std::size_t arc, double least) {
    if (least < limit) return;
    permitted[demand][arc] = 0;
    ++fallen;
  });
  forget_forbidden(permitted);
  return fallen;
}

Permitted PricePolish::nearest(std::size_t count, const Permitted& permitted) {
  std::vector<double> in_order;
  tell_least(permitted, [&](std::size_t, std::size_t, double least) { in_order.push_back(least); });
  std::vector<double> all = in_order;
  double most = kInfinity;
  if (count < all.size()) {
    const auto last = all.begin() + static_cast<std::ptrdiff_t>(count);
    std::nth_element(all.begin(), last, all.end());
    most = *last;
  }
  Permitted near = permitted;
  auto next = in_order.begin();
  for (std::size_t k = 0; k < near.size(); ++k)
    for (char& flag : near[k])
      if (flag != 0) flag = *next++ <= most ? 1 : 0;
  return near;
}

/// Makes pairs and groups anew without what is no longer permitted.
void PricePolish::forget_forbidden(const Permitted& permitted) {
  const std::vector<Pair> old_pairs = std::move(pairs_);
  const PriceGroups old = std::move(groups_);
  pairs_.clear();
  used_.clear();
  used_list_.clear();
  of_several_.clear();
  groups_ = PriceGroups(model_);
  set_ways(permitted);
  for (const Pair& before : old_pairs) {
    if (permitted[at(before.demand)][at(before.arc)] == 0) continue;
    Pair& pair = pairs_[at(pair_of(before.demand, before.arc))];
    pair.mean = before.mean;
    for (int i = 0; i < pair.slots_end - pair.slots_begin; ++i) {
      const std::size_t index = at(groups_.of_pair[at(pair.slots_begin + i)]);
      const std::size_t was = at(old.of_pair[at(before.slots_begin + i)]);
      PriceSlot& slot = groups_.slots[index];
      slot.price = slot.center = old.slots[was].center;
      slot.mean = old.slots[was].mean;
      groups_.groups[at(groups_.payers[index].group)].open_mean =
          old.groups[at(old.payers[was].group)].open_mean;
    }
  }
  groups_.arrange();
  groups_.norm = groups_.movable_norm();
}

std::vector<Payment> PricePolish::payments() {
  groups_.return_to_centers();
  best_bound_ = evaluate(true);
  std::vector<Payment> list;
  for (const Pair& pair : pairs_) {
    const std::size_t edge = at(edge_of(pair.arc));
    int s = pair.slots_begin, i = model_.shared_begin[edge];
    const auto note = [&](int shared) {
      const double amount = groups_.slots[at(groups_.of_pair[at(s++)])].price;
      if (amount > 0) list.push_back({pair.demand, pair.arc, shared, amount});
    };
    if (model_.own[edge] > 0 || model_.has_steps(edge)) note(-1);
    while (s < pair.slots_end) note(model_.shared[at(i++)]);
  }
  std::sort(list.begin(), list.end(), [](const Payment& x, const Payment& y) {
    return std::tie(x.demand, x.arc, x.shared) < std::tie(y.demand, y.arc, y.shared);
  });
  return list;
}

std::vector<double> PricePolish::closedness() const {
  std::vector<double> weight(model_.own.size(), 1.0);
  for (const Pair& pair : pairs_) {
    double& w = weight[at(edge_of(pair.arc))];
    w = std::min(w, 1 - fading_ * pair.mean);
  }
  for (double& w : weight) w = std::clamp(w, 0.0, 1.0);
  return weight;
}

}  // namespace roomloom::network
