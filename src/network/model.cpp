#include "network/model.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <queue>
#include <string>
#include <utility>

namespace roomloom::network {
namespace {

Error malformed(const std::string& where, const std::string& what) {
  return {"network.malformed", what, where, "Mend the graph handed to the network solver."};
}

bool good(double value) { return std::isfinite(value) && value >= 0; }

std::size_t at(int index) { return static_cast<std::size_t>(index); }

Status validate_edge(const Problem& problem, const Edge& edge, const std::string& where) {
  const int nodes = problem.node_count;
  if (edge.a < 0 || edge.a >= nodes || edge.b < 0 || edge.b >= nodes)
    return malformed(where, "An end of the edge is not a node.");
  if (edge.a == edge.b) return malformed(where, "The edge joins a node with itself.");
  if (!good(edge.cost) || !good(edge.length) || !good(edge.floor))
    return malformed(where, "Cost, length and floor must be finite and not negative.");
  if (std::isnan(edge.capacity) || edge.capacity < edge.floor)
    return malformed(where, "The capacity is below the floor.");
  for (std::size_t i = 0; i < edge.steps.size(); ++i) {
    const SizeStep& step = edge.steps[i];
    if (!good(step.price) || !(step.capacity > 0))
      return malformed(where, "A size must hold something, and its price must not be negative.");
    if (i > 0 &&
        (step.capacity <= edge.steps[i - 1].capacity || step.price < edge.steps[i - 1].price))
      return malformed(where, "Sizes must ascend in capacity and price.");
  }
  if (!edge.class_cost.empty() && edge.class_cost.size() != at(problem.class_count))
    return malformed(where, "class_cost must be empty or hold one number a class.");
  for (double cost : edge.class_cost)
    if (!good(cost)) return malformed(where, "A class cost is negative or not finite.");
  if (edge.level < 0 || edge.level > 31) return malformed(where, "Its level is out of range.");
  if (!edge.passes.empty() && edge.passes.size() != edge.charges.size())
    return malformed(where, "passes must be empty or hold one number a charge.");
  std::vector<int> charges = edge.charges;
  std::sort(charges.begin(), charges.end());
  for (std::size_t i = 0; i < charges.size(); ++i) {
    if (charges[i] < 0 || at(charges[i]) >= problem.charges.size())
      return malformed(where, "The edge draws on a charge that does not exist.");
    if (i > 0 && charges[i] == charges[i - 1])
      return malformed(where, "The edge draws on the same charge twice.");
  }
  return Done{};
}

Status validate_commodity(const Problem& problem, const Commodity& commodity,
                          const std::string& where) {
  const int nodes = problem.node_count;
  if (commodity.source < 0 || commodity.source >= nodes || commodity.target < 0 ||
      commodity.target >= nodes)
    return malformed(where, "Source or target is not a node.");
  if (commodity.class_index < 0 || commodity.class_index >= problem.class_count)
    return malformed(where, "The class does not exist.");
  if (!good(commodity.rate) || !good(commodity.load) || !(commodity.max_length >= 0))
    return malformed(where, "Rate, load and greatest length must not be negative.");
  for (int edge : commodity.forbidden_edges)
    if (edge < 0 || at(edge) >= problem.edges.size())
      return malformed(where, "A forbidden edge does not exist.");
  for (const Surcharge& surcharge : commodity.surcharges)
    if (surcharge.edge < 0 || at(surcharge.edge) >= problem.edges.size() || !good(surcharge.cost))
      return malformed(where, "A surcharge is negative or on an edge that does not exist.");
  return Done{};
}

Status validate_charge(const Charge& charge, const std::string& where) {
  if (!good(charge.price)) return malformed(where, "Its price is negative or not finite.");
  if (charge.sizes.empty()) return Done{};
  const ChargeSize& last = charge.sizes.back();
  if (std::isfinite(last.capacity) || last.levels != ~0U)
    return malformed(where, "The last size must hold and serve everything.");
  for (std::size_t i = 0; i < charge.sizes.size(); ++i)
    if (!good(charge.sizes[i].price) || !(charge.sizes[i].capacity > 0) ||
        (i > 0 && charge.sizes[i].price < charge.sizes[i - 1].price))
      return malformed(where, "A size must hold something, and prices must ascend.");
  return Done{};
}

/// Splits charges into those of one edge (added to Model::own) and shared ones.
void split_charges(Model& model) {
  const Problem& problem = *model.problem;
  std::vector<int> draws(problem.charges.size(), 0);
  for (const Edge& edge : problem.edges)
    for (int charge : edge.charges) ++draws[at(charge)];
  std::vector<int> shared_index(problem.charges.size(), -1);
  for (std::size_t c = 0; c < problem.charges.size(); ++c) {
    const Charge& charge = problem.charges[c];
    if (draws[c] < (charge.sizes.empty() ? 2 : 1)) continue;
    if (charge.price <= 0 && charge.sizes.empty()) continue;
    shared_index[c] = static_cast<int>(model.price.size());
    model.price.push_back(charge.price);
    model.charge_sizes.push_back(charge.sizes);
    model.has_sized = model.has_sized || !charge.sizes.empty();
  }
  std::vector<std::vector<int>> edges_of(model.price.size());
  model.shared_begin.push_back(0);
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    double own = 0;
    const Edge& edge = problem.edges[e];
    for (std::size_t i = 0; i < edge.charges.size(); ++i) {
      const int charge = edge.charges[i], shared = shared_index[at(charge)];
      if (shared >= 0) {
        model.shared.push_back(shared);
        model.passes.push_back(edge.passes.empty() ? static_cast<int>(2 * e) : edge.passes[i]);
        edges_of[at(shared)].push_back(static_cast<int>(e));
      } else if (draws[at(charge)] == 1) {
        own += problem.charges[at(charge)].price;
      }
    }
    model.own.push_back(own);
    model.shared_begin.push_back(static_cast<int>(model.shared.size()));
  }
  model.charge_edges_begin.push_back(0);
  for (const auto& list : edges_of) {
    model.charge_edges.insert(model.charge_edges.end(), list.begin(), list.end());
    model.charge_edges_begin.push_back(static_cast<int>(model.charge_edges.size()));
  }
}

/// More sums of loads than this are not looked at.
constexpr std::size_t kMostSums = 4000;

/// What some of the loads can sum to, up to `most`, ascending; nothing when those are too many.
std::vector<double> sums_of_loads(const Problem& problem, double most) {
  std::vector<double> sums{0}, merged;
  for (const Commodity& c : problem.commodities) {
    std::vector<double> with;
    for (const double sum : sums)
      if (sum + c.load <= most * (1 + 1e-9)) with.push_back(sum + c.load);
    merged.clear();
    std::merge(sums.begin(), sums.end(), with.begin(), with.end(), std::back_inserter(merged));
    sums.clear();
    for (const double sum : merged)
      if (sums.empty() || sum > sums.back() * (1 + 1e-12)) sums.push_back(sum);
    if (sums.size() > kMostSums) return {};
  }
  return sums;
}

/// Lowers capacities to the largest sum of loads that each holds. No plan costs more or less, but a
/// relaxation can no longer put part of a load into what is left over.
void round_capacities(const Problem& problem, const std::vector<double*>& capacities) {
  double most = 0;
  for (const double* capacity : capacities)
    if (!std::isinf(*capacity)) most = std::max(most, *capacity);
  std::vector<double> sums;
  for (int halving = 0; halving < 8 && most > 0 && sums.empty(); ++halving) {
    sums = sums_of_loads(problem, most);
    if (sums.empty()) most /= 2;
  }
  if (sums.empty()) return;
  for (double* capacity : capacities) {
    if (*capacity > most) continue;
    *capacity = *(std::upper_bound(sums.begin(), sums.end(), *capacity * (1 + 1e-9)) - 1);
  }
}

/// Steps of size, the last of them without a limit.
void gather_steps(Model& model) {
  const Problem& problem = *model.problem;
  std::vector<double*> capacities;
  for (auto& sizes : model.charge_sizes)
    for (ChargeSize& size : sizes) capacities.push_back(&size.capacity);
  if (std::any_of(problem.edges.begin(), problem.edges.end(),
                  [](const Edge& e) { return !e.steps.empty(); }))
    for (const Edge& edge : problem.edges) {
      model.steps.push_back(edge.steps);
      if (!edge.steps.empty()) model.steps.back().back().capacity = kInfinity;
    }
  for (auto& steps : model.steps)
    for (SizeStep& step : steps) capacities.push_back(&step.capacity);
  round_capacities(problem, capacities);
}

/// Whether a floor or a capacity can bind.
bool may_bind(const Problem& problem) {
  double total_load = 0;
  for (const Commodity& c : problem.commodities) total_load += c.load;
  return std::any_of(problem.edges.begin(), problem.edges.end(), [&](const Edge& edge) {
    return edge.floor > 0 || edge.capacity < total_load;
  });
}

struct ProfileKey {
  int class_index;
  double rate;
  std::vector<int> forbidden;
  bool flipped;
  double load;  ///< 0 where loads make no difference
  std::vector<std::pair<int, double>> surcharges;
  auto operator<=>(const ProfileKey&) const = default;
};

Profile make_profile(const Model& model, const ProfileKey& key) {
  const Problem& problem = *model.problem;
  Profile profile;
  profile.load = key.load;
  profile.cost.assign(at(model.arc_count), kInfinity);
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const Edge& edge = problem.edges[e];
    if ((edge.forbidden_classes >> key.class_index) & 1U) continue;
    const double extra = edge.class_cost.empty() ? 0 : edge.class_cost[at(key.class_index)];
    const double cost = edge.cost * key.rate + extra;
    const bool forward = !edge.one_way || !key.flipped;
    const bool backward = !edge.one_way || key.flipped;
    if (forward) profile.cost[2 * e] = cost;
    if (backward) profile.cost[2 * e + 1] = cost;
  }
  for (const auto& [edge, cost] : key.surcharges) {
    profile.cost[2 * at(edge)] += cost;
    profile.cost[2 * at(edge) + 1] += cost;
  }
  for (int edge : key.forbidden) {
    profile.cost[2 * at(edge)] = kInfinity;
    profile.cost[2 * at(edge) + 1] = kInfinity;
  }
  return profile;
}

bool proportional(const Profile& first, const Profile& second) {
  if (first.load != second.load) return false;
  double scale = -1;
  for (std::size_t a = 0; a < first.cost.size(); ++a) {
    const double x = first.cost[a], y = second.cost[a];
    if (std::isinf(x) != std::isinf(y)) return false;
    if (std::isinf(x) || (x == 0 && y == 0)) continue;
    if (x == 0 || y == 0) return false;
    if (scale < 0) scale = y / x;
    if (std::abs(y - scale * x) > 1e-12 * y) return false;
  }
  return true;
}

Adjacency gather(const Model& model, const std::vector<char>& usable, bool entering) {
  Adjacency adjacency;
  adjacency.begin.assign(at(model.node_count) + 1, 0);
  const auto node_of = [&](int arc) { return entering ? model.head[at(arc)] : model.tail(arc); };
  for (int arc = 0; arc < model.arc_count; ++arc)
    if (usable[at(arc)]) ++adjacency.begin[at(node_of(arc)) + 1];
  for (std::size_t v = 0; v < at(model.node_count); ++v)
    adjacency.begin[v + 1] += adjacency.begin[v];
  adjacency.arcs.resize(at(adjacency.begin.back()));
  std::vector<int> next(adjacency.begin.begin(), adjacency.begin.end() - 1);
  for (int arc = 0; arc < model.arc_count; ++arc)
    if (usable[at(arc)]) adjacency.arcs[at(next[at(node_of(arc))]++)] = arc;
  return adjacency;
}

/// Nodes that `root` reaches under a profile.
std::vector<char> reached_from(const Model& model, int root, const Profile& profile) {
  std::vector<char> seen(at(model.node_count), 0);
  std::vector<int> stack{root};
  seen[at(root)] = 1;
  while (!stack.empty()) {
    const int v = stack.back();
    stack.pop_back();
    for (int i = model.out.begin[at(v)]; i < model.out.begin[at(v) + 1]; ++i) {
      const int arc = model.out.arcs[at(i)];
      const int w = model.head[at(arc)];
      if (seen[at(w)] || std::isinf(profile.cost[at(arc)])) continue;
      seen[at(w)] = 1;
      stack.push_back(w);
    }
  }
  return seen;
}

/// Which end of each commodity is its root: the end that most open commodities share, again and
/// again; so that as many as possible share a root. Rooting at the target is possible either way,
/// since arcs of a flipped commodity are reversed.
std::vector<char> choose_roots(const Problem& problem) {
  const std::size_t count = problem.commodities.size();
  std::vector<char> flipped(count, 0), settled(count, 0);
  std::vector<int> degree(at(problem.node_count), 0);
  std::vector<std::vector<int>> at_node(at(problem.node_count));
  for (std::size_t k = 0; k < count; ++k) {
    const Commodity& c = problem.commodities[k];
    for (int node : {c.source, c.target}) {
      ++degree[at(node)];
      at_node[at(node)].push_back(static_cast<int>(k));
    }
  }
  std::priority_queue<std::pair<int, int>> queue;
  for (int v = 0; v < problem.node_count; ++v)
    if (degree[at(v)] > 0) queue.emplace(degree[at(v)], -v);
  while (!queue.empty()) {
    const auto [count_then, minus_node] = queue.top();
    const int node = -minus_node;
    queue.pop();
    if (count_then != degree[at(node)]) {
      if (degree[at(node)] > 0) queue.emplace(degree[at(node)], -node);
      continue;
    }
    for (int k : at_node[at(node)]) {
      if (settled[at(k)]) continue;
      settled[at(k)] = 1;
      const Commodity& c = problem.commodities[at(k)];
      flipped[at(k)] = c.source != node;
      --degree[at(c.source)];
      --degree[at(c.target)];
    }
  }
  return flipped;
}

void gather_demands(Model& model) {
  const Problem& problem = *model.problem;
  const std::vector<char> flipped = choose_roots(problem);
  const bool any_one_way = std::any_of(problem.edges.begin(), problem.edges.end(),
                                       [](const Edge& e) { return e.one_way; });
  std::map<ProfileKey, int> profile_of;
  const auto profile_for = [&](const ProfileKey& key) {
    const auto [place, is_new] = profile_of.emplace(key, static_cast<int>(model.profiles.size()));
    if (is_new) model.profiles.push_back(make_profile(model, key));
    return place->second;
  };
  for (std::size_t k = 0; k < problem.commodities.size(); ++k) {
    const Commodity& c = problem.commodities[k];
    if (c.source == c.target) continue;
    ProfileKey key{c.class_index,
                   c.rate,
                   c.forbidden_edges,
                   flipped[k] != 0,
                   model.needs_loads() ? c.load : 0,
                   {}};
    std::sort(key.forbidden.begin(), key.forbidden.end());
    if (!any_one_way) key.flipped = false;
    const int plain = profile_for(key);
    for (const Surcharge& surcharge : c.surcharges)
      key.surcharges.emplace_back(surcharge.edge, surcharge.cost);
    std::sort(key.surcharges.begin(), key.surcharges.end());
    const int profile = profile_for(key);
    model.profiles[at(profile)].plain = plain;
    Demand demand;
    demand.flipped = flipped[k] != 0;
    demand.root = demand.flipped ? c.target : c.source;
    demand.terminal = demand.flipped ? c.source : c.target;
    demand.profile = profile;
    demand.commodity = static_cast<int>(k);
    model.demands.push_back(demand);
    if (std::isfinite(c.max_length)) model.length_limited = true;
  }
}

void drop_unreachable(Model& model) {
  std::map<std::pair<int, int>, std::vector<char>> reached;
  std::vector<Demand> kept;
  for (const Demand& d : model.demands) {
    const auto key = std::make_pair(d.root, d.profile);
    auto place = reached.find(key);
    if (place == reached.end())
      place =
          reached.emplace(key, reached_from(model, d.root, model.profiles[at(d.profile)])).first;
    if (place->second[at(d.terminal)])
      kept.push_back(d);
    else
      model.unreachable.push_back(d.commodity);
  }
  model.demands = std::move(kept);
}

void gather_families(Model& model) {
  std::map<std::pair<int, int>, int> family_of;
  for (std::size_t k = 0; k < model.demands.size(); ++k) {
    Demand& d = model.demands[k];
    const auto key = std::make_pair(d.root, d.profile);
    auto place = family_of.find(key);
    if (place == family_of.end()) {
      int family = -1;
      for (std::size_t q = 0; q < model.families.size() && family < 0; ++q)
        if (model.families[q].root == d.root &&
            (model.problem->outward || proportional(model.profiles[at(model.families[q].profile)],
                                                    model.profiles[at(d.profile)])))
          family = static_cast<int>(q);
      if (family < 0) {
        family = static_cast<int>(model.families.size());
        model.families.push_back({d.root, d.profile, {}});
      }
      place = family_of.emplace(key, family).first;
    }
    d.family = place->second;
    model.families[at(d.family)].members.push_back(static_cast<int>(k));
  }
}

}  // namespace

Status validate(const Problem& problem) {
  if (problem.node_count < 0 || problem.class_count < 1 || problem.class_count > 64)
    return malformed("problem", "The number of nodes or classes is out of range.");
  for (std::size_t c = 0; c < problem.charges.size(); ++c) {
    const Status status = validate_charge(problem.charges[c], "charge " + std::to_string(c));
    if (!status) return status;
  }
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    const Status status = validate_edge(problem, problem.edges[e], "edge " + std::to_string(e));
    if (!status) return status;
  }
  for (std::size_t k = 0; k < problem.commodities.size(); ++k) {
    const Status status =
        validate_commodity(problem, problem.commodities[k], "commodity " + std::to_string(k));
    if (!status) return status;
  }
  return Done{};
}

Model build_model(const Problem& problem) {
  Model model;
  model.problem = &problem;
  model.node_count = problem.node_count;
  model.arc_count = static_cast<int>(2 * problem.edges.size());
  model.head.reserve(at(model.arc_count));
  for (const Edge& edge : problem.edges) {
    model.head.push_back(edge.b);
    model.head.push_back(edge.a);
  }
  split_charges(model);
  gather_steps(model);
  model.capacitated = may_bind(problem);
  gather_demands(model);
  std::vector<char> usable(at(model.arc_count), 0);
  for (const Profile& profile : model.profiles)
    for (std::size_t a = 0; a < usable.size(); ++a)
      if (!std::isinf(profile.cost[a])) usable[a] = 1;
  model.out = gather(model, usable, false);
  model.in = gather(model, usable, true);
  drop_unreachable(model);
  gather_families(model);
  return model;
}

}  // namespace roomloom::network
