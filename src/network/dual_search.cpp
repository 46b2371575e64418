#include "network/dual_search.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <utility>

#include "network/heap.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Distances of one demand over costs, what it has drawn and what nobody has drawn yet.
class Distances {
 public:
  explicit Distances(const Model& model) : model_(model), length_(at(model.arc_count), kInfinity) {}

  /// @param most  paths longer than this are of no interest
  /// @param router  knows what arcs alone cost from the root; may be null
  void measure(int demand, const Dual& dual, const std::vector<char>& permitted, double most,
               Router* router) {
    const Demand& d = model_.demands[at(demand)];
    for (int arc = 0; arc < model_.arc_count; ++arc) {
      length_[at(arc)] = permitted[at(arc)]
                             ? model_.cost(demand, arc) + own_left(model_, dual, d.family, arc)
                             : kInfinity;
    }
    const Potential& potential = dual.potentials[at(demand)];
    for (std::size_t i = 0; i < potential.arcs.size(); ++i)
      length_[at(potential.arcs[i])] += potential.drawn[i];
    // Drawn whole, a charge may be left below nothing by a rounding: a round trip over such arcs
    // would shorten for ever.
    for (double& length : length_) {
      assert(length > -1e-6 * (1 + dual.bound));
      length = std::max(0.0, length);
    }
    const std::vector<double> nothing(router == nullptr ? at(model_.node_count) : 0, 0.0);
    run(d.terminal, model_.in, true, most, router == nullptr ? nothing : router->lower_bounds(d),
        to_terminal_);
    run(d.root, model_.out, false, most, to_terminal_, from_root_);
  }

  /// Length of the shortest path of the demand through an arc; infinite where none is of interest.
  double through(int arc) const {
    return from_root_[at(model_.tail(arc))] + length_[at(arc)] +
           to_terminal_[at(model_.head[at(arc)])];
  }

 private:
  /// @param rest  what a path costs at least beyond each node
  void run(int start, const Adjacency& adjacency, bool backward, double most,
           const std::vector<double>& rest, std::vector<double>& distance) {
    distance.assign(at(model_.node_count), kInfinity);
    distance[at(start)] = 0;
    heap_.clear(0, span_);
    heap_.push(0.0, start);
    while (!heap_.empty()) {
      const auto [reached, node] = heap_.pop();
      span_ = reached;
      if (reached > distance[at(node)]) continue;
      for (int i = adjacency.begin[at(node)]; i < adjacency.begin[at(node) + 1]; ++i) {
        const int arc = adjacency.arcs[at(i)];
        const int next = backward ? model_.tail(arc) : model_.head[at(arc)];
        const double far = reached + length_[at(arc)];
        if (far >= distance[at(next)] || far + rest[at(next)] > most) continue;
        distance[at(next)] = far;
        heap_.push(far, next);
      }
    }
  }

  const Model& model_;
  std::vector<double> length_, from_root_, to_terminal_;
  DistanceHeap heap_;
  double span_ = 0;  ///< of the last search
};

/// A float that is not above `value`: half the memory, and nothing is ruled out by rounding.
float rounded_down(double value) {
  const auto near = static_cast<float>(value);
  return near > value ? std::nextafter(near, -std::numeric_limits<float>::infinity()) : near;
}

/// Demands to raise anew: one at random and those that draw on the same edges, or a random third.
std::vector<int> choose_blindly(const Model& model, const Dual& dual, Random& random) {
  const int count = static_cast<int>(model.demands.size());
  std::vector<int> chosen;
  if (random.below(2) == 0) {
    for (int k = 0; k < count; ++k)
      if (random.below(3) == 0) chosen.push_back(k);
  } else {
    const int first = random.below(count);
    std::vector<char> contested(model.own.size(), 0);
    for (int arc : dual.potentials[at(first)].arcs) contested[at(edge_of(arc))] = 1;
    for (int k = 0; k < count; ++k) {
      const auto& arcs = dual.potentials[at(k)].arcs;
      const auto hits = std::count_if(arcs.begin(), arcs.end(),
                                      [&](int a) { return contested[at(edge_of(a))] != 0; });
      if (k == first || (hits > 0 && random.below(2) == 0)) chosen.push_back(k);
    }
  }
  shuffle(chosen, random);
  return chosen;
}

/// Demands that draw on an edge which the plan opens without them, after those who use it: at the
/// optimum of the relaxation there are none.
std::vector<int> choose_by_plan(const Model& model, const Plan& plan, const Dual& dual,
                                Random& random) {
  std::vector<int> open;
  for (std::size_t e = 0; e < plan.edge_users.size(); ++e)
    if (plan.edge_users[e] > 0 && model.own[e] > 0) open.push_back(static_cast<int>(e));
  std::vector<int> users, others;
  for (int attempt = 0; attempt < 20 && !open.empty(); ++attempt) {
    const int edge = open[at(random.below(static_cast<int>(open.size())))];
    users.clear();
    others.clear();
    for (std::size_t k = 0; k < plan.paths.size(); ++k) {
      const auto on_edge = [&](int a) { return edge_of(a) == edge; };
      const auto& path = plan.paths[k];
      const auto& arcs = dual.potentials[k].arcs;
      if (std::any_of(path.begin(), path.end(), on_edge))
        users.push_back(static_cast<int>(k));
      else if (std::any_of(arcs.begin(), arcs.end(), on_edge))
        others.push_back(static_cast<int>(k));
    }
    if (!others.empty()) break;
  }
  shuffle(users, random);
  shuffle(others, random);
  users.insert(users.end(), others.begin(), others.end());
  return users;
}

}  // namespace

std::uint64_t Random::next() {
  state += 0x9e3779b97f4a7c15ULL;
  std::uint64_t z = state;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

int Random::below(int limit) {
  return static_cast<int>(next() % static_cast<std::uint64_t>(limit));
}

void shuffle(std::vector<int>& list, Random& random) {
  for (int i = static_cast<int>(list.size()) - 1; i > 0; --i)
    std::swap(list[at(i)], list[at(random.below(i + 1))]);
}

std::vector<Dual> first_duals(const Model& model, const Permitted& permitted, int ways,
                              Router* router) {
  std::vector<Dual> duals;
  double longest = 0;
  for (const Turns turns : {Turns::smallest_cut, Turns::lowest_level}) {
    for (const double share : {0.0, 0.02}) {
      if (ways-- <= 0) break;
      AscentOptions options;
      options.turns = turns;
      options.step = share * longest;
      options.order = all_demands(model);
      options.router = router;
      Dual dual = empty_dual(model);
      raise(model, permitted, options, dual);
      for (const Potential& p : dual.potentials) longest = std::max(longest, p.value);
      duals.push_back(std::move(dual));
    }
  }
  std::stable_sort(duals.begin(), duals.end(),
                   [](const Dual& a, const Dual& b) { return a.bound > b.bound; });
  return duals;
}

Dual first_dual(const Model& model, const Permitted& permitted, int ways) {
  return std::move(first_duals(model, permitted, ways).front());
}

void improve_dual(const Model& model, const Permitted& permitted, const Plan& plan, int rounds,
                  double enough, Router& router, Random& random, Dual& dual) {
  if (model.demands.size() < 2) return;
  for (int round = 0; round < rounds && dual.bound < enough; ++round) {
    AscentOptions options;
    options.router = &router;
    const bool led = random.below(2) == 0;
    options.order =
        led ? choose_by_plan(model, plan, dual, random) : choose_blindly(model, dual, random);
    options.turns = led ? Turns::in_order : static_cast<Turns>(random.below(3));
    const double bound = dual.bound;
    std::vector<Potential> before;
    for (int k : options.order) {
      before.push_back(dual.potentials[at(k)]);
      release(model, k, dual);
    }
    raise(model, permitted, options, dual);
    if (dual.bound >= bound) continue;
    for (int k : options.order) release(model, k, dual);
    for (std::size_t i = 0; i < before.size(); ++i)
      restore(model, options.order[i], before[i], dual);
    dual.bound = bound;
  }
}

ReducedCosts reduced_costs(const Model& model, const Dual& dual, const Permitted& permitted,
                           double limit, Router* router) {
  constexpr double kRounding = 1e-9;
  ReducedCosts costs;
  costs.bound = dual.bound;
  Distances distances(model);
  for (std::size_t k = 0; k < permitted.size(); ++k) {
    std::vector<float>& row = costs.beyond.emplace_back(at(model.arc_count), 0.0F);
    const double value = dual.potentials[k].value;
    const double most = value + limit - dual.bound;
    distances.measure(static_cast<int>(k), dual, permitted[k],
                      most + kRounding * (1 + std::abs(most)), router);
    for (int arc = 0; arc < model.arc_count; ++arc)
      if (permitted[k][at(arc)]) row[at(arc)] = rounded_down(distances.through(arc) - value);
  }
  return costs;
}

long long fix_arcs(const ReducedCosts& costs, double limit, Permitted& permitted) {
  long long fallen = 0;
  const double spare = limit - costs.bound;
  for (std::size_t k = 0; k < permitted.size(); ++k)
    for (std::size_t arc = 0; arc < costs.beyond[k].size(); ++arc) {
      if (!permitted[k][arc] || costs.beyond[k][arc] < spare) continue;
      permitted[k][arc] = 0;
      ++fallen;
    }
  return fallen;
}

long long fix_arcs(const Model& model, const Dual& dual, double limit, Permitted& permitted,
                   Router* router) {
  return fix_arcs(reduced_costs(model, dual, permitted, limit, router), limit, permitted);
}

long long count_permitted(const Permitted& permitted) {
  long long count = 0;
  for (std::size_t k = 0; k < permitted.size(); ++k)
    count += std::count(permitted[k].begin(), permitted[k].end(), 1);
  return count;
}

}  // namespace roomloom::network
