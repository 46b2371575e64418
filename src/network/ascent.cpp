#include "network/ascent.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <queue>
#include <tuple>

namespace roomloom::network {
namespace {

constexpr double kTiny = 1e-9;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

struct CutArc {
  int arc = 0;
  double slack = 0;    ///< what is left of the arc's cost
  double reserve = 0;  ///< what is left of what was set aside
  double drawn = 0;
  double drawn_own = 0;
};

/// The growing set of one demand.
struct Growth {
  std::vector<CutArc> cut;
  double level = 0;
  bool done = false;
};

class Ascent {
 public:
  Ascent(const Model& model, const Permitted& permitted, const AscentOptions& options, Dual& dual)
      : model_(model),
        permitted_(permitted),
        options_(options),
        dual_(dual),
        growths_(model.demands.size()),
        inside_(model.demands.size()),
        charge_drawn_(model.demands.size()),
        forced_(model.price.size(), 0) {}

  void run() {
    const std::vector<int>& order = options_.order;
    if (options_.reserve != nullptr) left_ = *options_.reserve;
    for (int k : order) set_aside(k);
    for (int k : order) start(k);
    if (options_.turns == Turns::in_order) {
      for (int k : order) complete_turn(k, kInfinity);
    } else {
      take_turns(order);
    }
  }

 private:
  using Key = std::tuple<double, int, int>;

  double key_of(int k) const {
    const Growth& growth = growths_[at(k)];
    return options_.turns == Turns::smallest_cut ? static_cast<double>(growth.cut.size())
                                                 : growth.level;
  }

  void take_turns(const std::vector<int>& order) {
    std::priority_queue<Key, std::vector<Key>, std::greater<>> queue;
    for (std::size_t i = 0; i < order.size(); ++i)
      queue.emplace(key_of(order[i]), static_cast<int>(i), order[i]);
    while (!queue.empty()) {
      const auto [key, rank, k] = queue.top();
      queue.pop();
      turn(k, options_.step);
      if (growths_[at(k)].done)
        finish(k);
      else
        queue.emplace(key_of(k), rank, k);
    }
  }

  void complete_turn(int k, double step) {
    while (!growths_[at(k)].done) turn(k, step);
    finish(k);
  }

  void draw_own(int k, int arc, double amount) {
    std::vector<double>& used = dual_.family_used[at(model_.demands[at(k)].family)];
    const double before = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    used[at(arc)] = std::max(0.0, used[at(arc)] + amount);
    const double after = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    double& total = dual_.own_used[at(edge_of(arc))];
    total = std::max(0.0, total + after - before);
  }

  void set_aside(int k) {
    if (options_.reserve == nullptr) return;
    const std::vector<double>& row = (*options_.reserve)[at(k)];
    for (int arc = 0; arc < model_.arc_count; ++arc)
      if (row[at(arc)] > 0) draw_own(k, arc, row[at(arc)]);
  }

  void give_back(int k) {
    if (options_.reserve == nullptr) return;
    std::vector<double>& row = left_[at(k)];
    for (int arc = 0; arc < model_.arc_count; ++arc)
      if (row[at(arc)] > 0) draw_own(k, arc, -row[at(arc)]);
    row.clear();
  }

  double reserve_of(int k, int arc) const {
    return options_.reserve == nullptr ? 0 : (*options_.reserve)[at(k)][at(arc)];
  }

  void start(int k) {
    inside_[at(k)].assign(at(model_.node_count), 0);
    growths_[at(k)] = Growth{};
    if (model_.has_shared()) charge_drawn_[at(k)].assign(model_.price.size(), 0.0);
    dual_.potentials[at(k)] = Potential{};
    join(k, model_.demands[at(k)].terminal);
  }

  void join(int k, int node) {
    Growth& growth = growths_[at(k)];
    std::vector<char>& inside = inside_[at(k)];
    inside[at(node)] = 1;
    dual_.potentials[at(k)].nodes.push_back(node);
    dual_.potentials[at(k)].levels.push_back(growth.level);
    if (node == model_.demands[at(k)].root) growth.done = true;
    const std::vector<char>& permitted = permitted_[at(k)];
    for (int i = model_.in.begin[at(node)]; i < model_.in.begin[at(node) + 1]; ++i) {
      const int arc = model_.in.arcs[at(i)];
      if (!permitted[at(arc)] || inside[at(model_.tail(arc))]) continue;
      growth.cut.push_back({arc, model_.cost(k, arc), reserve_of(k, arc), 0, 0});
    }
  }

  void record(int k, const CutArc& entry) {
    if (options_.reserve != nullptr) left_[at(k)][at(entry.arc)] = entry.reserve;
    if (entry.drawn <= 0) return;
    Potential& potential = dual_.potentials[at(k)];
    potential.arcs.push_back(entry.arc);
    potential.drawn.push_back(entry.drawn);
    potential.drawn_own.push_back(entry.drawn_own);
  }

  double shared_left(int charge) const {
    return model_.price[at(charge)] - dual_.shared_used[at(charge)];
  }

  /// The first shared charge of the edge with something left, or -1.
  int open_shared(int edge) const {
    for (int i = model_.shared_begin[at(edge)]; i < model_.shared_begin[at(edge) + 1]; ++i)
      if (shared_left(model_.shared[at(i)]) > kTiny) return model_.shared[at(i)];
    return -1;
  }

  bool has_forced(int edge) const {
    for (int i = model_.shared_begin[at(edge)]; i < model_.shared_begin[at(edge) + 1]; ++i)
      if (forced_[at(model_.shared[at(i)])] == epoch_) return true;
    return false;
  }

  /// Drops arcs whose tail has joined and joins tails of tight arcs, until none is tight.
  void settle(int k) {
    Growth& growth = growths_[at(k)];
    const std::vector<char>& inside = inside_[at(k)];
    const int family = model_.demands[at(k)].family;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < growth.cut.size(); ++i) {
      const CutArc entry = growth.cut[i];
      const int tail = model_.tail(entry.arc);
      if (inside[at(tail)]) {
        record(k, entry);
        continue;
      }
      const bool tight = entry.slack <= kTiny && entry.reserve <= kTiny &&
                         own_left(model_, dual_, family, entry.arc) <= kTiny &&
                         open_shared(edge_of(entry.arc)) < 0;
      if (tight) {
        record(k, entry);
        join(k, tail);
        if (growth.done) {
          // Arcs after this one still hold what they drew.
          for (std::size_t j = i + 1; j < growth.cut.size(); ++j) record(k, growth.cut[j]);
          for (std::size_t j = 0; j < kept; ++j) record(k, growth.cut[j]);
          growth.cut.clear();
          return;
        }
        continue;
      }
      growth.cut[kept++] = entry;
    }
    growth.cut.resize(kept);
  }

  /// How far the level may rise before an arc becomes tight or changes what it draws on.
  double room(int k) {
    const int family = model_.demands[at(k)].family;
    double rise = kInfinity;
    ++epoch_;
    for (const CutArc& entry : growths_[at(k)].cut) {
      if (entry.slack > kTiny) {
        rise = std::min(rise, entry.slack);
        continue;
      }
      if (entry.reserve > kTiny) {
        rise = std::min(rise, entry.reserve);
        continue;
      }
      const double own = own_left(model_, dual_, family, entry.arc);
      if (own > kTiny) continue;
      const int charge = open_shared(edge_of(entry.arc));
      forced_[at(charge)] = epoch_;
      rise = std::min(rise, shared_left(charge));
    }
    for (const CutArc& entry : growths_[at(k)].cut) {
      if (entry.slack > kTiny || entry.reserve > kTiny || has_forced(edge_of(entry.arc))) continue;
      rise = std::min(rise, own_left(model_, dual_, family, entry.arc));
    }
    return rise;
  }

  void lift(int k, double rise) {
    Growth& growth = growths_[at(k)];
    for (CutArc& entry : growth.cut) {
      if (entry.slack > kTiny) {
        entry.slack -= rise;
        continue;
      }
      entry.drawn += rise;
      if (entry.reserve > kTiny) {
        entry.reserve -= rise;
        entry.drawn_own += rise;
        continue;
      }
      if (has_forced(edge_of(entry.arc))) continue;
      entry.drawn_own += rise;
      draw_own(k, entry.arc, rise);
    }
    for (std::size_t g = 0; g < forced_.size(); ++g) {
      if (forced_[g] != epoch_) continue;
      dual_.shared_used[g] += rise;
      charge_drawn_[at(k)][g] += rise;
    }
    growth.level += rise;
  }

  void turn(int k, double step) {
    Growth& growth = growths_[at(k)];
    const double target = growth.level + step;
    const std::size_t joined = dual_.potentials[at(k)].nodes.size();
    while (!growth.done) {
      settle(k);
      if (growth.done) break;
      if (step <= 0 && dual_.potentials[at(k)].nodes.size() > joined) break;
      const double rise = room(k);
      if (std::isinf(rise)) {  // no permitted way to the root: the caller's bound is infinite
        growth.level = kInfinity;
        growth.done = true;
        break;
      }
      lift(k, rise);
      if (step > 0 && growth.level >= target) break;
      if (step <= 0 && options_.turns == Turns::lowest_level) break;
    }
  }

  void finish(int k) {
    give_back(k);
    Potential& potential = dual_.potentials[at(k)];
    potential.value = growths_[at(k)].level;
    dual_.bound += potential.value;
    for (std::size_t g = 0; g < charge_drawn_[at(k)].size(); ++g) {
      if (charge_drawn_[at(k)][g] <= 0) continue;
      potential.charges.push_back(static_cast<int>(g));
      potential.charge_drawn.push_back(charge_drawn_[at(k)][g]);
    }
  }

  const Model& model_;
  const Permitted& permitted_;
  const AscentOptions& options_;
  Dual& dual_;
  std::vector<Growth> growths_;
  std::vector<std::vector<char>> inside_;
  std::vector<std::vector<double>> charge_drawn_;
  std::vector<std::vector<double>> left_;  ///< of what was set aside
  std::vector<int> forced_;
  int epoch_ = 0;
};

}  // namespace

Dual empty_dual(const Model& model) {
  Dual dual;
  dual.potentials.resize(model.demands.size());
  dual.family_used.assign(model.families.size(), std::vector<double>(at(model.arc_count), 0.0));
  dual.own_used.assign(model.own.size(), 0.0);
  dual.shared_used.assign(model.price.size(), 0.0);
  return dual;
}

void fit_reserve(const Model& model, std::vector<std::vector<double>>& reserve) {
  for (std::size_t arc = 0; arc < at(model.arc_count); ++arc) {
    double sum = 0;
    for (const std::vector<double>& row : reserve) sum += row[arc];
    const double own = model.own[arc / 2];
    if (sum <= own) continue;
    for (std::vector<double>& row : reserve) row[arc] *= own / sum;
  }
}

double own_left(const Model& model, const Dual& dual, int family, int arc) {
  const std::size_t edge = at(edge_of(arc));
  const std::vector<double>& used = dual.family_used[at(family)];
  const double forward = used[at(arc)], backward = used[at(reverse_of(arc))];
  return model.own[edge] - dual.own_used[edge] + std::max(0.0, backward - forward);
}

void raise(const Model& model, const Permitted& permitted, const AscentOptions& options,
           Dual& dual) {
  Ascent(model, permitted, options, dual).run();
}

namespace {

/// Adds to what a demand draws; `sign` -1 gives it back.
void apply(const Model& model, int demand, const Potential& potential, double sign, Dual& dual) {
  std::vector<double>& used = dual.family_used[at(model.demands[at(demand)].family)];
  for (std::size_t i = 0; i < potential.arcs.size(); ++i) {
    const int arc = potential.arcs[i];
    const double before = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    used[at(arc)] = std::max(0.0, used[at(arc)] + sign * potential.drawn_own[i]);
    const double after = std::max(used[at(arc)], used[at(reverse_of(arc))]);
    double& total = dual.own_used[at(edge_of(arc))];
    total = std::max(0.0, total + after - before);
  }
  for (std::size_t i = 0; i < potential.charges.size(); ++i) {
    double& total = dual.shared_used[at(potential.charges[i])];
    total = std::max(0.0, total + sign * potential.charge_drawn[i]);
  }
  dual.bound += sign * potential.value;
}

}  // namespace

void release(const Model& model, int demand, Dual& dual) {
  Potential& potential = dual.potentials[at(demand)];
  apply(model, demand, potential, -1, dual);
  potential = Potential{};
}

void restore(const Model& model, int demand, const Potential& potential, Dual& dual) {
  apply(model, demand, potential, 1, dual);
  dual.potentials[at(demand)] = potential;
}

std::vector<int> all_demands(const Model& model) {
  std::vector<int> order(model.demands.size());
  std::iota(order.begin(), order.end(), 0);
  return order;
}

Permitted everything(const Model& model) {
  Permitted permitted(model.demands.size(), std::vector<char>(at(model.arc_count), 0));
  for (std::size_t k = 0; k < permitted.size(); ++k)
    for (int arc = 0; arc < model.arc_count; ++arc)
      permitted[k][at(arc)] = !std::isinf(model.cost(static_cast<int>(k), arc));
  return permitted;
}

Permitted everything_shared(const Model& model) {
  std::vector<std::vector<char>> rows;
  for (const Profile& profile : model.profiles) {
    auto& row = rows.emplace_back(at(model.arc_count), 0);
    for (std::size_t a = 0; a < row.size(); ++a) row[a] = !std::isinf(profile.cost[a]);
  }
  std::vector<std::size_t> row_of;
  for (const Demand& d : model.demands) row_of.push_back(at(d.profile));
  return {std::move(rows), std::move(row_of)};
}

}  // namespace roomloom::network
