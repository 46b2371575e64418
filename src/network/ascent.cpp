#include "network/ascent.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <queue>
#include <tuple>

#include "network/plan.h"

namespace roomloom::network {
namespace {

constexpr double kTiny = 1e-9;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// An arc of the cut whose cost is used up.
struct CutArc {
  int arc = 0;
  double reserve = 0;  ///< what is left of what was set aside
  double drawn = 0;
  double drawn_own = 0;
};

/// An arc that still pays out of its cost, and the level at which that is used up.
struct Waiting {
  double until = 0;
  int arc = 0;
  bool operator>(const Waiting& other) const {
    return until > other.until || (until == other.until && arc > other.arc);
  }
};

/// The growing set of one demand.
struct Growth {
  std::vector<CutArc> cut;
  std::vector<Waiting> waiting;  ///< a heap, the lowest first; some whose tail has joined since
  int size = 0;                  ///< arcs of the cut, of both kinds
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
        least_(model.demands.size(), nullptr),
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
    return options_.turns == Turns::smallest_cut ? growth.size : growth.level;
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
    if (options_.router != nullptr)
      least_[at(k)] = options_.router->lower_bounds(model_.demands[at(k)]).data();
    inside_[at(k)].assign(at(model_.node_count), 0);
    growths_[at(k)] = Growth{};
    if (model_.has_shared()) charge_drawn_[at(k)].assign(model_.price.size(), 0.0);
    dual_.potentials[at(k)] = Potential{};
    join(k, model_.demands[at(k)].terminal);
  }

  /// Whether an arc comes from where the root can be reached from.
  bool leads(int k, int arc) const {
    return least_[at(k)] == nullptr || std::isfinite(least_[at(k)][at(model_.tail(arc))]);
  }

  /// What an arc costs beyond what the first levels rise along it.
  double cost_of(int k, int arc) const {
    const double cost = model_.cost(k, arc);
    if (least_[at(k)] == nullptr) return cost;
    const double beyond =
        cost + least_[at(k)][at(model_.tail(arc))] - least_[at(k)][at(model_.head[at(arc)])];
    // Else the router were of a model that costs more, and the bound would be none.
    assert(beyond > -1e-6 * (1 + cost));
    return beyond;
  }

  void join(int k, int node) {
    Growth& growth = growths_[at(k)];
    std::vector<char>& inside = inside_[at(k)];
    const std::vector<char>& permitted = permitted_[at(k)];
    inside[at(node)] = 1;
    for (int i = model_.out.begin[at(node)]; i < model_.out.begin[at(node) + 1]; ++i) {
      const int arc = model_.out.arcs[at(i)];
      if (permitted[at(arc)] && inside[at(model_.head[at(arc)])] && leads(k, arc)) --growth.size;
    }
    dual_.potentials[at(k)].nodes.push_back(node);
    dual_.potentials[at(k)].levels.push_back(growth.level);
    if (node == model_.demands[at(k)].root) growth.done = true;
    for (int i = model_.in.begin[at(node)]; i < model_.in.begin[at(node) + 1]; ++i) {
      const int arc = model_.in.arcs[at(i)];
      if (!permitted[at(arc)] || inside[at(model_.tail(arc))] || !leads(k, arc)) continue;
      ++growth.size;
      const double cost = cost_of(k, arc);
      if (cost <= kTiny) {
        growth.cut.push_back({arc, reserve_of(k, arc), 0, 0});
        continue;
      }
      growth.waiting.push_back({growth.level + cost, arc});
      std::push_heap(growth.waiting.begin(), growth.waiting.end(), std::greater<>());
    }
  }

  /// Puts what has used up its cost with those that draw on charges. @return how far the level may
  /// rise before the next one has
  double stop_waiting(int k) {
    Growth& growth = growths_[at(k)];
    std::vector<Waiting>& waiting = growth.waiting;
    while (!waiting.empty()) {
      const Waiting next = waiting.front();
      const bool joined = inside_[at(k)][at(model_.tail(next.arc))] != 0;
      if (!joined && next.until - growth.level > kTiny) return next.until - growth.level;
      std::pop_heap(waiting.begin(), waiting.end(), std::greater<>());
      waiting.pop_back();
      if (!joined) growth.cut.push_back({next.arc, reserve_of(k, next.arc), 0, 0});
    }
    return kInfinity;
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

  /// Drops arcs whose tail has joined and joins the tails of tight arcs; finds how far the level
  /// may rise before another becomes tight or changes what it draws on. @return true: something
  /// joined
  bool scan(int k) {
    Growth& growth = growths_[at(k)];
    const std::vector<char>& inside = inside_[at(k)];
    const int family = model_.demands[at(k)].family;
    ++epoch_;
    drawn_on_.clear();
    later_.clear();
    own_payers_.clear();
    shared_payers_.clear();
    rise_ = stop_waiting(k);
    bool joined = false;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < growth.cut.size(); ++i) {
      CutArc& entry = growth.cut[i];
      if (inside[at(model_.tail(entry.arc))]) {
        record(k, entry);
        continue;
      }
      if (entry.reserve > kTiny) {
        draw_at_most(entry.reserve, kept);
      } else if (!find_payer(family, entry, kept)) {
        join_tail(k, entry);
        joined = true;
        if (growth.done) {
          // Arcs after this one still hold what they drew.
          for (std::size_t j = i + 1; j < growth.cut.size(); ++j) record(k, growth.cut[j]);
          for (std::size_t j = 0; j < kept; ++j) record(k, growth.cut[j]);
          growth.cut.clear();
          return true;
        }
        continue;
      }
      if (kept < i) growth.cut[kept] = entry;
      ++kept;
    }
    growth.cut.resize(kept);
    for (const auto& [edge, left] : later_)
      if (!has_forced(edge)) rise_ = std::min(rise_, left);
    return joined;
  }

  /// What the lift that a scan allowed made tight, and it alone: as a scan, but it does not find
  /// how far the level may rise.
  /// @return true: something joined; else a scan must follow
  bool join_lifted(int k) {
    Growth& growth = growths_[at(k)];
    const int family = model_.demands[at(k)].family;
    for (const auto& [left, place] : own_payers_)
      if (left <= rise_ + 2 * kTiny) shared_payers_.push_back(place);
    std::sort(shared_payers_.begin(), shared_payers_.end());
    const std::size_t old_size = growth.cut.size();
    stop_waiting(k);
    gone_.clear();
    const auto try_joining = [&](std::size_t place) {
      const CutArc& entry = growth.cut[place];
      if (inside_[at(k)][at(model_.tail(entry.arc))] || entry.reserve > kTiny) return;
      if (has_payer(family, entry.arc)) return;
      join_tail(k, entry);
      gone_.push_back(place);
    };
    for (std::size_t i = 0; i < shared_payers_.size() && !growth.done; ++i)
      try_joining(shared_payers_[i]);
    for (std::size_t place = old_size; place < growth.cut.size() && !growth.done; ++place)
      try_joining(place);
    for (auto place = gone_.rbegin(); place != gone_.rend(); ++place)
      growth.cut.erase(growth.cut.begin() + static_cast<std::ptrdiff_t>(*place));
    if (growth.done) {
      // What is left still holds what it drew.
      for (const CutArc& entry : growth.cut) record(k, entry);
      growth.cut.clear();
    }
    return !gone_.empty();
  }

  /// The level may rise by no more than what is left of an arc's own.
  void draw_at_most(double left, std::size_t place) {
    if (left <= rise_ + 2 * kTiny) own_payers_.emplace_back(left, place);
    rise_ = std::min(rise_, left);
  }

  void join_tail(int k, CutArc tight) {
    record(k, tight);
    join(k, model_.tail(tight.arc));
  }

  /// Whether anything is left that an arc whose cost is used up can draw on.
  bool has_payer(int family, int arc) const {
    return own_left(model_, dual_, family, arc) > kTiny || open_shared(edge_of(arc)) >= 0;
  }

  /// What an arc whose cost is used up draws on next: its edge's own charge, else a shared one that
  /// is then drawn on for all arcs of it. @return false: nothing is left
  bool find_payer(int family, const CutArc& entry, std::size_t place) {
    const int edge = edge_of(entry.arc);
    const double own = own_left(model_, dual_, family, entry.arc);
    const bool shares = model_.shared_begin[at(edge)] < model_.shared_begin[at(edge) + 1];
    if (own > kTiny) {
      if (shares) {
        later_.emplace_back(edge, own);
        shared_payers_.push_back(place);
      } else {
        draw_at_most(own, place);
      }
      return true;
    }
    const int charge = shares ? open_shared(edge) : -1;
    if (charge < 0) return false;
    shared_payers_.push_back(place);
    if (forced_[at(charge)] != epoch_) drawn_on_.push_back(charge);
    forced_[at(charge)] = epoch_;
    rise_ = std::min(rise_, shared_left(charge));
    return true;
  }

  void lift(int k, double rise) {
    Growth& growth = growths_[at(k)];
    for (CutArc& entry : growth.cut) {
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
    for (const int charge : drawn_on_) {
      dual_.shared_used[at(charge)] += rise;
      charge_drawn_[at(k)][at(charge)] += rise;
    }
    growth.level += rise;
  }

  void turn(int k, double step) {
    Growth& growth = growths_[at(k)];
    const double target = growth.level + step;
    while (true) {
      const bool joined = scan(k);
      if (growth.done || (joined && step <= 0)) return;
      if (joined) continue;
      if (std::isinf(rise_)) {  // no permitted way to the root: the caller's bound is infinite
        growth.level = kInfinity;
        growth.done = true;
        return;
      }
      lift(k, rise_);
      if (step > 0 && growth.level >= target) return;
      if (step <= 0 && (options_.turns == Turns::lowest_level || join_lifted(k))) return;
    }
  }

  /// The levels that the demand started from.
  void add_first_levels(int k, Potential& potential) {
    const double* least = least_[at(k)];
    if (least == nullptr) return;
    const double far = least[at(model_.demands[at(k)].terminal)];
    for (int node = 0; node < model_.node_count; ++node) {
      if (inside_[at(k)][at(node)]) continue;
      potential.nodes.push_back(node);
      potential.levels.push_back(potential.value);
    }
    // Where the root does not reach, no arc leads in, and along none that leads out may a level
    // rise.
    for (std::size_t i = 0; i < potential.nodes.size(); ++i) {
      const double near = least[at(potential.nodes[i])];
      potential.levels[i] = std::isinf(near) ? 0 : potential.levels[i] + far - near;
    }
    potential.value += far;
  }

  void finish(int k) {
    give_back(k);
    Potential& potential = dual_.potentials[at(k)];
    potential.value = growths_[at(k)].level;
    add_first_levels(k, potential);
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
  /// One a demand: what arcs alone cost from its root, by node; null where the router is.
  std::vector<const double*> least_;
  std::vector<std::vector<char>> inside_;
  std::vector<std::vector<double>> charge_drawn_;
  std::vector<std::vector<double>> left_;  ///< of what was set aside
  std::vector<int> forced_;                ///< by shared charge: the scan that found it drawn on
  int epoch_ = 0;
  double rise_ = 0;                            ///< as far as the last scan allows
  std::vector<int> drawn_on_;                  ///< shared charges that the last scan found drawn on
  std::vector<std::pair<int, double>> later_;  ///< edges with shared charges, and what is their own
  /// By the last scan: places in the cut that may be the first to use up their own, with what is
  /// left of it, and those on edges with shared charges.
  std::vector<std::pair<double, std::size_t>> own_payers_;
  std::vector<std::size_t> shared_payers_;
  std::vector<std::size_t> gone_;
};

}  // namespace

void raise(const Model& model, const Permitted& permitted, const AscentOptions& options,
           Dual& dual) {
  Ascent(model, permitted, options, dual).run();
}

}  // namespace roomloom::network
