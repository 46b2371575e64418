#include "network/dual_search.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <utility>

#include "network/heap.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Paths of one demand over costs, what it has drawn and what nobody has drawn yet.
class Distances {
 public:
  Distances(const Model& model, const Dual& dual, Router* router)
      : model_(model),
        dual_(dual),
        router_(router),
        drawn_(at(model.arc_count), 0.0),
        nothing_(router == nullptr ? at(model.node_count) : 0, 0.0) {}

  /// Arcs on paths of the demand no longer than `most`.
  const std::vector<int>& arcs_within(int demand, const std::vector<char>& permitted, double most) {
    const Demand& d = model_.demands[at(demand)];
    const Potential& potential = dual_.potentials[at(demand)];
    for (std::size_t i = 0; i < potential.arcs.size(); ++i)
      drawn_[at(potential.arcs[i])] += potential.drawn[i];
    run(demand, false, permitted, most, router_ == nullptr ? nothing_ : router_->lower_bounds(d),
        to_terminal_);
    run(demand, true, permitted, most, to_terminal_, from_root_);
    arcs_.clear();
    for (const int node : reached_) {
      for (int i = model_.out.begin[at(node)]; i < model_.out.begin[at(node) + 1]; ++i) {
        const int arc = model_.out.arcs[at(i)];
        const double rest = to_terminal_[at(model_.head[at(arc)])];
        if (permitted[at(arc)] == 0 || std::isinf(rest)) continue;
        if (from_root_[at(node)] + length(demand, arc) + rest <= most) arcs_.push_back(arc);
      }
    }
    for (const int arc : potential.arcs) drawn_[at(arc)] = 0;
    return arcs_;
  }

 private:
  double length(int demand, int arc) const {
    const double length = model_.cost(demand, arc) +
                          own_left(model_, dual_, model_.demands[at(demand)].family, arc) +
                          drawn_[at(arc)];
    // Drawn whole, a charge may be left below nothing by a rounding: a round trip over such arcs
    // would shorten for ever.
    assert(length > -1e-6 * (1 + dual_.bound));
    return std::max(0.0, length);
  }

  /// From the root, or backward from the terminal. @param rest  what a path costs at least beyond
  /// each node
  void run(int demand, bool forward, const std::vector<char>& permitted, double most,
           const std::vector<double>& rest, std::vector<double>& distance) {
    const Demand& d = model_.demands[at(demand)];
    const int start = forward ? d.root : d.terminal;
    const Adjacency& adjacency = forward ? model_.out : model_.in;
    distance.assign(at(model_.node_count), kInfinity);
    distance[at(start)] = 0;
    reached_.clear();
    heap_.clear(0, span_);
    heap_.push(0.0, start);
    while (!heap_.empty()) {
      const auto [reached, node] = heap_.pop();
      if (reached > distance[at(node)]) continue;
      span_ = reached;
      reached_.push_back(node);
      for (int i = adjacency.begin[at(node)]; i < adjacency.begin[at(node) + 1]; ++i) {
        const int arc = adjacency.arcs[at(i)];
        if (permitted[at(arc)] == 0) continue;
        const int next = forward ? model_.head[at(arc)] : model_.tail(arc);
        if (reached >= distance[at(next)] || reached + rest[at(next)] > most) continue;
        const double far = reached + length(demand, arc);
        if (far >= distance[at(next)] || far + rest[at(next)] > most) continue;
        distance[at(next)] = far;
        heap_.push(far, next);
      }
    }
  }

  const Model& model_;
  const Dual& dual_;
  Router* router_ = nullptr;
  std::vector<double> drawn_;  ///< one an arc: what the demand has drawn there
  std::vector<double> nothing_, from_root_, to_terminal_;
  std::vector<int> reached_;  ///< nodes that the last search settled
  std::vector<int> arcs_;
  DistanceHeap heap_;
  double span_ = 0;  ///< of the last search
};

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

void fix_arcs(const Model& model, const Dual& dual, double limit, Permitted& permitted,
              Router* router) {
  constexpr double kRounding = 1e-9;
  Distances distances(model, dual, router);
  for (std::size_t k = 0; k < permitted.size(); ++k) {
    const double most = dual.potentials[k].value + limit - dual.bound;
    std::vector<char>& row = permitted[k];
    const std::vector<int>& kept =
        distances.arcs_within(static_cast<int>(k), row, most + kRounding * (1 + std::abs(most)));
    std::fill(row.begin(), row.end(), 0);
    for (const int arc : kept) row[at(arc)] = 1;
  }
}

long long count_permitted(const Permitted& permitted) {
  long long count = 0;
  for (std::size_t k = 0; k < permitted.size(); ++k)
    count += std::count(permitted[k].begin(), permitted[k].end(), 1);
  return count;
}

}  // namespace roomloom::network
