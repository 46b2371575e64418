#include "network/plan.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// A move must gain this share of the objective, so that rounding never makes it go in circles.
constexpr double kGain = 1e-10;
constexpr double kMisfit = 1e-9;

/// How far a load is outside the floor and the capacity of an edge, relatively.
double misfit_of(const Edge& edge, double load, bool used) {
  if (!used) return 0;
  if (load > edge.capacity * (1 + kMisfit)) return (load - edge.capacity) / (edge.capacity + 1e-9);
  if (load < edge.floor * (1 - kMisfit)) return (edge.floor - load) / edge.floor;
  return 0;
}

/// More than any detour can cost, so that a full edge is passed only when there is no other way.
double crowding_price(const Model& model) {
  double total = 1;
  for (double own : model.own) total += own;
  for (double price : model.price) total += price;
  for (const Profile& profile : model.profiles) {
    double sum = 0;
    for (double cost : profile.cost)
      if (!std::isinf(cost)) sum += cost;
    total = std::max(total, total + sum);
  }
  return total;
}

}  // namespace

Plan empty_plan(const Model& model) {
  Plan plan;
  plan.paths.resize(model.demands.size());
  plan.edge_users.assign(model.own.size(), 0);
  plan.charge_users.assign(model.price.size(), 0);
  if (model.needs_loads()) plan.edge_load.assign(model.own.size(), 0.0);
  if (model.has_sized) {
    plan.charge_load.assign(model.price.size(), 0.0);
    plan.level_users.resize(model.price.size());
  }
  return plan;
}

namespace {

std::uint32_t levels_in_use(const Plan& plan, std::size_t charge) {
  std::uint32_t levels = 0;
  for (const auto& [level, users] : plan.level_users[charge])
    if (users > 0) levels |= std::uint32_t{1} << level;
  return levels;
}

/// What a demand more at a level adds to what a charge's sizes cost.
double added_size_price(const Model& model, const Plan& plan, std::size_t charge, double load,
                        std::uint32_t level) {
  const std::vector<ChargeSize>& sizes = model.charge_sizes[charge];
  const std::uint32_t levels = levels_in_use(plan, charge);
  const double before = levels == 0 ? 0 : plan.charge_load[charge];
  return price_of_size(sizes, before + load, levels | level) - price_of_size(sizes, before, levels);
}

}  // namespace

bool better(const Plan& first, const Plan& second) {
  if (std::abs(first.misfit - second.misfit) > kMisfit) return first.misfit < second.misfit;
  return first.objective < second.objective - kGain * std::abs(second.objective);
}

double price(const Model& model, const Plan& plan) {
  double total = 0;
  std::vector<char> used(model.own.size(), 0), drawn(model.price.size(), 0);
  std::vector<double> load(model.is_stepped() ? model.own.size() : 0, 0.0);
  std::vector<double> together(model.has_sized ? model.price.size() : 0, 0.0);
  std::vector<std::uint32_t> levels(together.size(), 0);
  for (std::size_t k = 0; k < plan.paths.size(); ++k) {
    for (int arc : plan.paths[k]) {
      total += model.cost(static_cast<int>(k), arc);
      used[at(edge_of(arc))] = 1;
      if (model.is_stepped()) load[at(edge_of(arc))] += model.load(static_cast<int>(k));
    }
  }
  for (std::size_t e = 0; e < used.size(); ++e) {
    if (!used[e]) continue;
    total += model.own[e];
    if (model.has_steps(e)) total += price_of_size(model.steps[e], load[e]);
    for (int i = model.shared_begin[e]; i < model.shared_begin[e + 1]; ++i) {
      const std::size_t charge = at(model.shared[at(i)]);
      drawn[charge] = 1;
      if (!model.has_sized) continue;
      together[charge] += load[e];
      levels[charge] |= model.level_of(e);
    }
  }
  for (std::size_t g = 0; g < drawn.size(); ++g)
    if (drawn[g]) total += model.price[g];
  for (std::size_t g = 0; g < together.size(); ++g)
    total += price_of_size(model.charge_sizes[g], together[g], levels[g]);
  return total;
}

Router::Router(const Model& model)
    : closed(model.own.size(), 0),
      given(model.price.size(), 0),
      crowding(crowding_price(model)),
      model_(model),
      distance_(at(model.node_count), 0),
      via_(at(model.node_count), -1),
      stamp_(at(model.node_count), 0),
      span_(model.demands.size(), 0.0),
      closing_stamp_(model.own.size(), 0) {}

double Router::length(int demand, int arc, const Plan& plan) const {
  const std::size_t edge = at(edge_of(arc));
  double total = model_.cost(demand, arc);
  if (length_price > 0) total += length_price * model_.problem->edges[edge].length;
  if (model_.capacitated &&
      plan.edge_load[edge] + load_of(demand) > model_.problem->edges[edge].capacity * (1 + kMisfit))
    total += crowding;
  if (model_.has_steps(edge)) {
    const double before = plan.edge_users[edge] == 0 ? 0 : plan.edge_load[edge];
    total += price_of_size(model_.steps[edge], before + load_of(demand)) -
             price_of_size(model_.steps[edge], before);
  }
  if (plan.edge_users[edge] == 0)
    total += own_weight.empty() ? model_.own[edge] : model_.own[edge] * own_weight[edge];
  for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_.shared[at(i)]);
    if (given[charge]) continue;
    if (plan.charge_users[charge] == 0) total += model_.price[charge];
    if (model_.has_sized && !model_.charge_sizes[charge].empty())
      total += added_size_price(model_, plan, charge, load_of(demand), model_.level_of(edge));
  }
  return total;
}

double Router::load_of(int demand) const { return model_.load(demand); }

void Router::change_load(int demand, int arc, int by, Plan& plan) {
  if (!model_.needs_loads()) return;
  const std::size_t edge = at(edge_of(arc));
  const Edge& limits = model_.problem->edges[edge];
  const int users = plan.edge_users[edge];
  const double before = plan.edge_load[edge];
  const double after = users > 0 ? before + by * load_of(demand) : 0;
  plan.misfit += misfit_of(limits, after, users > 0) - misfit_of(limits, before, users - by > 0);
  if (model_.has_steps(edge))
    plan.objective +=
        price_of_size(model_.steps[edge], after) - price_of_size(model_.steps[edge], before);
  plan.edge_load[edge] = after;
}

void Router::change_sizes(int demand, std::size_t edge, int by, Plan& plan) {
  for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_.shared[at(i)]);
    const std::vector<ChargeSize>& sizes = model_.charge_sizes[charge];
    if (sizes.empty()) continue;
    const auto now = [&] {
      return price_of_size(sizes, plan.charge_load[charge], levels_in_use(plan, charge));
    };
    const double before = now();
    plan.level_users[charge][model_.problem->edges[edge].level] += by;
    plan.charge_load[charge] += by * load_of(demand);
    if (levels_in_use(plan, charge) == 0) plan.charge_load[charge] = 0;
    plan.objective += now() - before;
  }
}

void Router::change_users(int demand, int arc, int by, Plan& plan) {
  const std::size_t edge = at(edge_of(arc));
  const bool was_used = plan.edge_users[edge] > 0;
  plan.edge_users[edge] += by;
  change_load(demand, arc, by, plan);
  if (model_.has_sized) change_sizes(demand, edge, by, plan);
  const bool is_used = plan.edge_users[edge] > 0;
  if (was_used == is_used) return;
  plan.objective += is_used ? model_.own[edge] : -model_.own[edge];
  for (int i = model_.shared_begin[edge]; i < model_.shared_begin[edge + 1]; ++i) {
    const std::size_t charge = at(model_.shared[at(i)]);
    const bool was_drawn = plan.charge_users[charge] > 0;
    plan.charge_users[charge] += is_used ? 1 : -1;
    const bool is_drawn = plan.charge_users[charge] > 0;
    if (was_drawn != is_drawn)
      plan.objective += is_drawn ? model_.price[charge] : -model_.price[charge];
  }
}

void Router::place(int demand, const std::vector<int>& path, Plan& plan) {
  for (int arc : path) {
    plan.objective += model_.cost(demand, arc);
    change_users(demand, arc, 1, plan);
  }
  plan.paths[at(demand)] = path;
}

void Router::remove(int demand, Plan& plan) {
  for (int arc : plan.paths[at(demand)]) {
    plan.objective -= model_.cost(demand, arc);
    change_users(demand, arc, -1, plan);
  }
  plan.paths[at(demand)].clear();
}

const std::vector<double>& Router::lower_bounds(const Demand& demand) {
  const int plain = model_.profiles[at(demand.profile)].plain;
  const auto key = std::make_pair(demand.root, plain);
  const auto found = lower_.find(key);
  if (found != lower_.end()) return found->second;
  std::vector<double> distance(at(model_.node_count), kInfinity);
  const std::vector<double>& cost = model_.profiles[at(plain)].cost;
  heap_.clear(0, lower_span_);
  distance[at(demand.root)] = 0;
  heap_.push(0.0, demand.root);
  while (!heap_.empty()) {
    const auto [reached, node] = heap_.pop();
    lower_span_ = reached;
    if (reached > distance[at(node)]) continue;
    for (int i = model_.out.begin[at(node)]; i < model_.out.begin[at(node) + 1]; ++i) {
      const int arc = model_.out.arcs[at(i)];
      const double far = reached + cost[at(arc)];
      const int next = model_.head[at(arc)];
      if (far >= distance[at(next)]) continue;
      distance[at(next)] = far;
      heap_.push(far, next);
    }
  }
  return lower_.emplace(key, std::move(distance)).first->second;
}

/// A* from the terminal to the root; what the arcs alone cost from the root is the lower bound.
bool Router::insert(int demand, const Permitted& permitted, Plan& plan) {
  const Demand& d = model_.demands[at(demand)];
  const std::vector<char>& allowed = permitted[at(demand)];
  const std::vector<double>& lower = lower_bounds(d);
  // A label is a negative epoch once the node is settled.
  ++epoch_;
  const double least = lower[at(d.terminal)];
  heap_.clear(least, 1.2 * span_[at(demand)]);
  distance_[at(d.terminal)] = 0;
  stamp_[at(d.terminal)] = epoch_;
  heap_.push(least, d.terminal);
  while (!heap_.empty()) {
    const int node = heap_.pop().node;
    if (stamp_[at(node)] != epoch_) continue;
    stamp_[at(node)] = -epoch_;
    ++work;
    if (node == d.root) {
      span_[at(demand)] = distance_[at(node)] - least;
      std::vector<int> path;
      for (int v = node; v != d.terminal; v = model_.head[at(via_[at(v)])])
        path.push_back(via_[at(v)]);
      place(demand, path, plan);
      return true;
    }
    const double reached = distance_[at(node)];
    for (int i = model_.in.begin[at(node)]; i < model_.in.begin[at(node) + 1]; ++i) {
      const int arc = model_.in.arcs[at(i)];
      if (!allowed[at(arc)] || closed[at(edge_of(arc))]) continue;
      const int next = model_.tail(arc);
      if (stamp_[at(next)] == -epoch_) continue;
      const double far = reached + length(demand, arc, plan);
      if (stamp_[at(next)] == epoch_ && distance_[at(next)] <= far) continue;
      stamp_[at(next)] = epoch_;
      distance_[at(next)] = far;
      via_[at(next)] = arc;
      heap_.push(far + lower[at(next)], next);
    }
  }
  return false;
}

bool Router::lay_anew(int demand, const Permitted& permitted, Plan& plan) {
  Plan summary;
  summary.objective = plan.objective;
  summary.misfit = plan.misfit;
  const std::vector<int> old = plan.paths[at(demand)];
  remove(demand, plan);
  if (insert(demand, permitted, plan) && better(plan, summary)) return true;
  remove(demand, plan);
  place(demand, old, plan);
  plan.objective = summary.objective;
  plan.misfit = summary.misfit;
  return false;
}

bool Router::reroute(const std::vector<int>& order, const Permitted& permitted, Plan& plan) {
  bool improved = false;
  std::size_t since = 0;
  for (std::size_t turn = 0; since < order.size(); turn = (turn + 1) % order.size()) {
    if (lay_anew(order[turn], permitted, plan)) {
      improved = true;
      since = 0;
    } else {
      ++since;
    }
  }
  return improved;
}

bool Router::try_closing(const std::vector<int>& edges, const Permitted& permitted, Plan& plan) {
  ++closing_;
  for (int e : edges) closing_stamp_[at(e)] = closing_;
  std::vector<std::pair<std::size_t, int>> users;
  for (std::size_t k = 0; k < plan.paths.size(); ++k) {
    const auto& path = plan.paths[k];
    if (std::any_of(path.begin(), path.end(),
                    [&](int a) { return closing_stamp_[at(edge_of(a))] == closing_; }))
      users.emplace_back(path.size(), static_cast<int>(k));
  }
  work += static_cast<long long>(plan.paths.size()) / 4;
  if (users.empty()) return false;
  std::sort(users.begin(), users.end());
  Plan summary;
  summary.objective = plan.objective;
  summary.misfit = plan.misfit;
  std::vector<int> order;
  std::vector<std::vector<int>> before;
  for (const auto& [size, k] : users) {
    order.push_back(k);
    before.push_back(plan.paths[at(k)]);
    remove(k, plan);
  }
  for (int e : edges) closed[at(e)] = 1;
  bool whole = true;
  for (std::size_t i = 0; i < order.size() && whole; ++i) whole = insert(order[i], permitted, plan);
  for (int e : edges) closed[at(e)] = 0;
  if (whole && plan.objective < 1.05 * summary.objective && order.size() <= 100)
    reroute(order, permitted, plan);
  if (whole && better(plan, summary)) return true;
  for (int k : order) remove(k, plan);
  for (std::size_t i = 0; i < order.size(); ++i) place(order[i], before[i], plan);
  plan.objective = summary.objective;
  plan.misfit = summary.misfit;
  return false;
}

bool Router::mend(const Permitted& permitted, Plan& plan) {
  bool improved = false;
  for (std::size_t e = 0; e < plan.edge_load.size() && plan.misfit > kMisfit; ++e) {
    const Edge& edge = model_.problem->edges[e];
    if (misfit_of(edge, plan.edge_load[e], plan.edge_users[e] > 0) <= 0) continue;
    improved |= try_closing({static_cast<int>(e)}, permitted, plan);
  }
  return improved;
}

bool Router::close_groups(const Permitted& permitted, Plan& plan, long long work_limit) {
  bool improved = false;
  const long long stop = work + work_limit;
  for (std::size_t g = 0; g < model_.price.size() && work < stop; ++g) {
    if (plan.charge_users[g] == 0) continue;
    const std::vector<int> edges(model_.charge_edges.begin() + model_.charge_edges_begin[g],
                                 model_.charge_edges.begin() + model_.charge_edges_begin[g + 1]);
    improved |= try_closing(edges, permitted, plan);
  }
  for (std::size_t e = 0; e < model_.own.size() && work < stop; ++e) {
    if (plan.edge_users[e] == 0) continue;
    improved |= try_closing({static_cast<int>(e)}, permitted, plan);
  }
  return improved;
}

}  // namespace roomloom::network
