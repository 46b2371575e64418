#include "network/steiner_bags.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
#include <memory>
#include <utility>

#include "network/bag_memory.h"
#include "network/bag_states.h"
#include "network/bag_steps.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

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
      table = table_at(i);
      if (stopped()) return {};
      if (table.states.empty()) return {true, {}};  // nothing below the limit
      if (i + 1 < count) {
        waiting_[at(place_[at(elimination_.bags[i][1])])].push_back(std::move(table));
        if (steps_.crowded()) steps_.forget_all_but(waiting_);
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

  /// The table of a place, made from those that wait for it.
  BagTable table_at(std::size_t place) {
    const std::vector<int>& bag = elimination_.bags[place];
    find_later_edges(place);
    std::vector<BagTable> inputs = std::move(waiting_[place]);
    BagMemory::Making making = making_of(place, inputs);
    std::vector<int> input_steps;
    for (BagTable& input : inputs) {
      for (BagState& state : input.states) {
        const int number = static_cast<int>(input_steps.size());
        input_steps.push_back(std::exchange(state.step, number));
      }
    }
    std::shared_ptr<const MadeTable> made = memory_.find(making);
    if (!made) {
      MadeTable fresh = make(bag, std::move(inputs), input_steps.size());
      if (stopped()) return {};
      made = memory_.keep(std::move(making), std::move(fresh));
    }
    BagTable table;
    table.scope.assign(bag.begin() + 1, bag.end());
    table.content = made->content;
    table.states = made->states;
    for (std::size_t i = 0; i < table.states.size(); ++i) {
      int step = -1;
      for (std::size_t k = 0; k < made->inputs; ++k) {
        const int from = input_steps[at(made->from[i * made->inputs + k])];
        step = step < 0 ? from : steps_.add({step, from, 0, 0});
      }
      table.states[i].step = steps_.add({step, -1, made->edges[i], static_cast<int>(place)});
    }
    return table;
  }

  /// All that the table of a place depends on beside the limits, nodes told by their places in the
  /// bag. Puts the inputs in an order of their own, so that alike ones are found alike.
  BagMemory::Making making_of(std::size_t place, std::vector<BagTable>& inputs) const {
    const std::vector<int>& bag = elimination_.bags[place];
    BagMemory::Making making{bag.size(), core_.is_terminal[at(bag[0])] != 0 ? 1U : 0U,
                             later_.size()};
    for (const LaterEdge& edge : later_)
      making.insert(making.end(), {edge.place, std::bit_cast<std::uint64_t>(edge.cost),
                                   std::bit_cast<std::uint64_t>(edge.reduced)});
    std::vector<std::pair<BagMemory::Making, BagTable>> told;
    for (BagTable& input : inputs) {
      BagMemory::Making one{static_cast<std::uint64_t>(input.content), input.scope.size()};
      for (int v : input.scope)
        one.push_back(
            static_cast<std::uint64_t>(std::find(bag.begin(), bag.end(), v) - bag.begin()));
      told.emplace_back(std::move(one), std::move(input));
    }
    std::stable_sort(told.begin(), told.end(),
                     [](const auto& x, const auto& y) { return x.first < y.first; });
    inputs.clear();
    for (auto& [one, input] : told) {
      making.insert(making.end(), one.begin(), one.end());
      inputs.push_back(std::move(input));
    }
    return making;
  }

  /// @param inputs  tables whose states' steps are counted through all of them, `input_count`
  MadeTable make(const std::vector<int>& bag, std::vector<BagTable> inputs,
                 std::size_t input_count) {
    here_.assign(input_count, {});
    MadeTable made;
    made.inputs = inputs.size();
    BagTable table = take_out(bag, widen(join_all(std::move(inputs)), bag));
    if (stopped()) return made;
    table.keep_representatives();
    made.states = std::move(table.states);
    std::vector<int> stack;
    for (BagState& state : made.states) {
      const BagStep& last = here_[at(state.step)];
      made.edges.push_back(last.edges);
      state.step = -1;
      stack.assign(1, last.first);
      while (!stack.empty()) {
        const int step = stack.back();
        stack.pop_back();
        if (step < 0) continue;
        if (step < static_cast<int>(input_count))
          made.from.push_back(step);
        else
          stack.insert(stack.end(), {here_[at(step)].first, here_[at(step)].second});
      }
    }
    return made;
  }

  void put(BagTable& table, BagState state, const BagStep& step) {
    const int index = table.place_for(state);
    if (index < 0) return;
    BagState& here = table.states[at(index)];
    state.step = here.step >= 0 ? here.step : static_cast<int>(here_.size());
    if (here.step < 0) here_.emplace_back();
    here_[at(state.step)] = step;
    here = state;
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
    const BagGroups left = grouped(first, promising ? common : 0);
    const BagGroups right = grouped(second, promising ? common : 0);
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

  void find_later_edges(std::size_t place) {
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
  }

  /// Decides on the edges between a bag's first node and later ones, and takes it out.
  BagTable take_out(const std::vector<int>& bag, const BagTable& table) {
    const bool terminal = core_.is_terminal[at(bag.front())] != 0;
    BagTable out;
    out.scope.assign(bag.begin() + 1, bag.end());
    for (const BagState& state : table.states)
      decide(terminal, state, 0, 0, part_at(state.parts, 0) != 0 ? 2 : 0, out);
    return out;
  }

  /// @param degree  edges at the node, 2 when the state touches it before
  void decide(bool terminal, const BagState& state, std::size_t index, std::uint32_t taken,
              int degree, BagTable& out) {
    if (index == later_.size()) {
      leave(terminal, state, taken, degree, out);
      return;
    }
    decide(terminal, state, index + 1, taken, degree, out);
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
    decide(terminal, next, index + 1, taken | (1U << index), degree + 1, out);
  }

  void leave(bool terminal, const BagState& state, std::uint32_t taken, int degree, BagTable& out) {
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
    put(out, next, {state.step, -1, taken, 0});
  }

  void trace(int step, std::vector<int>& edges) const {
    std::vector<int> stack{step};
    while (!stack.empty()) {
      const int top = stack.back();
      stack.pop_back();
      if (top < 0) continue;
      const BagStep& here = steps_[top];
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
  std::vector<BagStep> here_;  ///< of the place at hand, after one an input state
  BagSteps steps_;
  BagMemory memory_;
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
