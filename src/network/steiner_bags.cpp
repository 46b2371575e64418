#include "network/steiner_bags.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

#include "network/bag_states.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Steps kept before those that no state came from are forgotten.
constexpr std::size_t kFewSteps = 4'000'000;

/// How a state came about: from one or two others and edges between the node taken out and later
/// ones (a bit each).
struct Step {
  int first = -1;
  int second = -1;
  std::uint32_t edges = 0;
  int place = 0;
};

/// An edge from the node that is taken out to a later node of its bag.
struct LaterEdge {
  std::size_t place = 0;
  double cost = 0;
  double reduced = 0;  ///< in the cheaper direction
};

class Bags {
 public:
  Bags(const SteinerCore& core, const Elimination& elimination, const SteinerDual& dual,
       double limit, std::size_t most, const std::function<bool()>& out_of_time)
      : core_(core),
        elimination_(elimination),
        dual_(dual),
        spare_(limit - dual.bound),
        limit_(limit),
        most_(most),
        out_of_time_(out_of_time),
        place_(at(core.node_count)),
        waiting_(elimination.order.size()) {
    for (std::size_t i = 0; i < elimination.order.size(); ++i)
      place_[at(elimination.order[i])] = static_cast<int>(i);
  }

  BagsAnswer run() {
    const std::size_t count = elimination_.order.size();
    BagTable table;
    for (std::size_t i = 0; i < count; ++i) {
      table = take_out(i, widen(join_all(std::move(waiting_[i])), elimination_.bags[i]));
      table.keep_representatives();
      if (stopped()) return {};
      if (table.states.empty()) return {true, {}};  // nothing below the limit
      if (i + 1 < count) {
        waiting_[at(place_[at(elimination_.bags[i][1])])].push_back(std::move(table));
        if (steps_.size() > steps_wanted_) forget_steps();
      }
    }
    BagsAnswer answer{true, {}};
    answer.tree.cost = table.states.front().cost;
    trace(table.states.front().step, answer.tree.edges);
    return answer;
  }

 private:
  bool stopped() const { return work_ > most_ || late_; }

  /// Counts work. @return whether it goes on
  bool spend() {
    ++work_;
    if (work_ % 65'536 == 0 && out_of_time_ && out_of_time_()) late_ = true;
    return !stopped();
  }

  bool too_dear(const BagState& state) const {
    return state.reduced >= spare_ || state.cost >= limit_;
  }

  void put(BagTable& table, BagState state, const Step& step) {
    const int index = table.place_for(state);
    if (index < 0) return;
    BagState& here = table.states[at(index)];
    state.step = here.step >= 0 ? here.step : static_cast<int>(steps_.size());
    if (here.step < 0) steps_.emplace_back();
    steps_[at(state.step)] = step;
    here = state;
  }

  /// The same states over more nodes.
  static BagTable widen(BagTable table, const std::vector<int>& scope) {
    if (table.scope == scope) return table;
    std::vector<std::size_t> place;
    for (int v : table.scope)
      place.push_back(
          static_cast<std::size_t>(std::find(scope.begin(), scope.end(), v) - scope.begin()));
    for (BagState& state : table.states) {
      BagParts parts = 0;
      for (std::size_t i = 0; i < place.size(); ++i)
        parts = with_part(parts, place[i], part_at(state.parts, i));
      state.parts = number_parts(parts, scope.size());
    }
    table.scope = scope;
    return table;
  }

  BagTable join_all(std::vector<BagTable> tables) {
    BagTable joined;
    joined.states.emplace_back();
    if (tables.empty()) return joined;
    // Small ones first, so that the large are gone through once.
    std::stable_sort(tables.begin(), tables.end(), [](const BagTable& x, const BagTable& y) {
      return x.states.size() < y.states.size();
    });
    joined = std::move(tables.front());
    for (std::size_t i = 1; i < tables.size() && !stopped(); ++i) {
      joined = join(std::move(joined), std::move(tables[i]));
      joined.keep_representatives();
    }
    return joined;
  }

  using Groups = std::map<std::uint32_t, std::vector<int>>;

  /// States by which of the common places they touch, each the least reduced cost first.
  static Groups grouped(const BagTable& table, std::uint32_t common) {
    Groups groups;
    for (std::size_t i = 0; i < table.states.size(); ++i)
      groups[touched_places(table.states[i].parts) & common].push_back(static_cast<int>(i));
    for (auto& [touched, list] : groups) {
      std::stable_sort(list.begin(), list.end(), [&](int x, int y) {
        return table.states[at(x)].reduced < table.states[at(y)].reduced;
      });
    }
    return groups;
  }

  /// Beside each state those in which it counts common places as touched that only the other side
  /// of the join touches: then states match that touch the same places.
  BagTable with_promises(const BagTable& table, std::uint32_t common) {
    BagTable out;
    out.scope = table.scope;
    for (const BagState& state : table.states) {
      const std::uint32_t open = common & ~touched_places(state.parts);
      unsigned count = 0;
      for (std::size_t i = 0; i < out.scope.size(); ++i)
        count = std::max(count, part_at(state.parts, i));
      for (std::uint32_t promised = open;; promised = (promised - 1) & open) {
        BagState copy = state;
        copy.assumed = promised;
        unsigned part = count;
        for (std::size_t i = 0; i < out.scope.size(); ++i)
          if (((promised >> i) & 1U) != 0) copy.parts = with_part(copy.parts, i, ++part);
        copy.parts = number_parts(copy.parts, out.scope.size());
        const int index = out.place_for(copy);
        if (index >= 0) out.states[at(index)] = copy;
        if (promised == 0 || !spend()) break;
      }
    }
    out.keep_representatives();
    return out;
  }

  static double promises(const BagTable& table, std::uint32_t common) {
    double sum = 0;
    for (const BagState& state : table.states)
      sum += std::exp2(std::popcount(common & ~touched_places(state.parts)));
    return sum;
  }

  std::vector<int> both_scopes(const BagTable& first, const BagTable& second,
                               std::uint32_t& common) const {
    std::vector<int> scope = first.scope;
    const auto in = [](const BagTable& table, int v) {
      return std::find(table.scope.begin(), table.scope.end(), v) != table.scope.end();
    };
    for (int v : second.scope)
      if (!in(first, v)) scope.push_back(v);
    std::sort(scope.begin(), scope.end(),
              [&](int x, int y) { return place_[at(x)] < place_[at(y)]; });
    common = 0;
    for (std::size_t i = 0; i < scope.size(); ++i)
      if (in(first, scope[i]) && in(second, scope[i])) common |= 1U << i;
    return scope;
  }

  BagTable join(BagTable first, BagTable second) {
    std::uint32_t common = 0;
    BagTable out;
    out.scope = both_scopes(first, second, common);
    first = widen(std::move(first), out.scope);
    second = widen(std::move(second), out.scope);
    const double pairs =
        static_cast<double>(first.states.size()) * static_cast<double>(second.states.size());
    const bool promising = pairs > 8 * (promises(first, common) + promises(second, common));
    if (promising) {
      first = with_promises(first, common);
      second = with_promises(second, common);
    }
    const Groups left = grouped(first, promising ? common : 0);
    const Groups right = grouped(second, promising ? common : 0);
    for (const auto& [touched, mine] : left) {
      const auto theirs = right.find(touched);
      if (theirs == right.end()) continue;
      for (int i : mine) join_one(first.states[at(i)], second, theirs->second, out);
    }
    return out;
  }

  void join_one(const BagState& a, const BagTable& others, const std::vector<int>& which,
                BagTable& out) {
    for (int j : which) {
      const BagState& b = others.states[at(j)];
      BagState state;
      state.reduced = a.reduced + b.reduced;
      state.cost = a.cost + b.cost;
      if (state.reduced >= spare_ || !spend()) return;
      if ((a.assumed & b.assumed) != 0 || state.cost >= limit_) continue;
      state.parts = unite(a.parts, b.parts, out.scope.size());
      put(out, state, {a.step, b.step, 0, 0});
    }
  }

  /// Decides on the edges between a node and later ones, and takes it out.
  BagTable take_out(std::size_t place, const BagTable& table) {
    const std::vector<int>& bag = elimination_.bags[place];
    const int node = bag.front();
    later_.clear();
    for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1]; ++i) {
      const int arc = core_.leaving[at(i)];
      if (place_[at(core_.head(arc))] < static_cast<int>(place)) continue;
      const auto found = std::find(bag.begin(), bag.end(), core_.head(arc)) - bag.begin();
      later_.push_back({static_cast<std::size_t>(found), core_.edges[at(arc >> 1)].cost,
                        std::min(dual_.reduced[at(arc)], dual_.reduced[at(arc ^ 1)])});
    }
    BagTable out;
    out.scope.assign(bag.begin() + 1, bag.end());
    for (const BagState& state : table.states)
      decide(place, state, 0, 0, part_at(state.parts, 0) != 0 ? 2 : 0, out);
    return out;
  }

  /// @param degree  edges at the node, 2 when the state touches it before
  void decide(std::size_t place, const BagState& state, std::size_t index, std::uint32_t taken,
              int degree, BagTable& out) {
    if (index == later_.size()) {
      leave(place, state, taken, degree, out);
      return;
    }
    decide(place, state, index + 1, taken, degree, out);
    const LaterEdge& edge = later_[index];
    const unsigned mine = part_at(state.parts, 0), theirs = part_at(state.parts, edge.place);
    if (mine != 0 && mine == theirs) return;
    BagState next = state;
    next.cost += edge.cost;
    next.reduced += edge.reduced;
    if (too_dear(next) || stopped()) return;
    // There are fewer parts than places while one is untouched: the last number is free then.
    const unsigned kept = mine != 0 ? mine : unsigned{kBagPlaces};
    next.parts = with_part(next.parts, 0, kept);
    next.parts = with_part(next.parts, edge.place, kept);
    if (theirs != 0)
      for (std::size_t i = 0; i <= out.scope.size(); ++i)
        if (part_at(next.parts, i) == theirs) next.parts = with_part(next.parts, i, kept);
    decide(place, next, index + 1, taken | (1U << index), degree + 1, out);
  }

  void leave(std::size_t place, const BagState& state, std::uint32_t taken, int degree,
             BagTable& out) {
    const bool terminal = core_.is_terminal[at(elimination_.bags[place][0])] != 0;
    const unsigned mine = part_at(state.parts, 0);
    if (!spend() || (mine == 0 && terminal)) return;
    if (mine != 0 && !terminal && degree < 2) return;  // a useless leaf
    bool joined = mine == 0 || out.scope.empty();
    for (std::size_t i = 1; i <= out.scope.size() && !joined; ++i)
      joined = part_at(state.parts, i) == mine;
    if (!joined) return;
    BagState next = state;
    next.parts = number_parts(state.parts >> 4U, out.scope.size());
    next.step = -1;
    put(out, next, {state.step, -1, taken, static_cast<int>(place)});
  }

  /// Keeps the steps only from which states that wait came.
  void forget_steps() {
    std::vector<int> number(steps_.size(), -1);
    const auto each_state = [&](auto&& act) {
      for (auto& tables : waiting_)
        for (BagTable& table : tables)
          for (BagState& state : table.states) act(state.step);
    };
    each_state([&](int step) {
      if (step >= 0) number[at(step)] = 0;
    });
    for (std::size_t i = steps_.size(); i-- > 0;) {
      if (number[i] < 0) continue;  // a step comes after those it needs
      for (int needed : {steps_[i].first, steps_[i].second})
        if (needed >= 0) number[at(needed)] = 0;
    }
    int next = 0;
    const auto renumber = [&](int& step) {
      if (step >= 0) step = number[at(step)];
    };
    for (std::size_t i = 0; i < steps_.size(); ++i) {
      if (number[i] < 0) continue;
      Step step = steps_[i];
      renumber(step.first);
      renumber(step.second);
      number[i] = next;
      steps_[at(next++)] = step;
    }
    steps_.resize(at(next));
    each_state(renumber);
    steps_wanted_ = 2 * steps_.size() + kFewSteps;
  }

  void trace(int step, std::vector<int>& edges) const {
    std::vector<int> stack{step};
    while (!stack.empty()) {
      const int top = stack.back();
      stack.pop_back();
      if (top < 0) continue;
      const Step& here = steps_[at(top)];
      stack.insert(stack.end(), {here.first, here.second});
      const int node = elimination_.order[at(here.place)];
      std::uint32_t bit = 1;
      for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1]; ++i) {
        const int arc = core_.leaving[at(i)];
        if (place_[at(core_.head(arc))] < here.place) continue;
        if ((here.edges & bit) != 0) edges.push_back(arc >> 1);
        bit <<= 1U;
      }
    }
    std::sort(edges.begin(), edges.end());
  }

  const SteinerCore& core_;
  const Elimination& elimination_;
  const SteinerDual& dual_;
  double spare_, limit_;
  std::size_t most_, work_ = 0;
  bool late_ = false;
  const std::function<bool()>& out_of_time_;
  std::vector<int> place_;
  std::vector<std::vector<BagTable>> waiting_;  ///< for the node of each place
  std::vector<LaterEdge> later_;
  std::vector<Step> steps_;
  std::size_t steps_wanted_ = kFewSteps;
};

}  // namespace

double work_by_bags(const Elimination& elimination) {
  double work = 0;
  for (const auto& bag : elimination.bags) work += std::pow(3, static_cast<double>(bag.size()) - 1);
  return work;
}

BagsAnswer solve_by_bags(const SteinerCore& core, const Elimination& elimination,
                         const SteinerDual& dual, double limit, std::size_t most,
                         const std::function<bool()>& out_of_time) {
  assert(elimination.largest_bag <= kBagPlaces);
  return Bags(core, elimination, dual, limit, most, out_of_time).run();
}

}  // namespace roomloom::network
