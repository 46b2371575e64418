#include "network/steiner.h"

#include <algorithm>
#include <cmath>
#include <queue>

#include "network/dual_search.h"
#include "network/steiner_lp.h"
#include "network/steiner_subsets.h"
#include "network/tree_search.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

constexpr double kFar = std::numeric_limits<double>::infinity();

class SteinerSearch {
 public:
  SteinerSearch(const SteinerProblem& problem, double grain, const SteinerBudget& budget,
                int depth = 0)
      : budget_(budget), grain_(grain), depth_(depth), graph_(problem) {
    out_.objective = kFar;
  }

  SteinerOutcome run() {
    reduce(graph_, [this] { return late(); });
    for (int restart = 0; restart < 12; ++restart) {
      ascents();
      if (done() || late() || budget_.lp_iterations <= 0 || by_subsets()) break;
      if (!branch_and_cut()) break;
    }
    if (done() || out_.bound > out_.objective) out_.bound = out_.objective;
    return std::move(out_);
  }

 private:
  bool late() {
    if (budget_.out_of_time && budget_.out_of_time()) out_.timed_out = true;
    return out_.timed_out;
  }

  double seconds_left() const { return budget_.seconds_left ? budget_.seconds_left() : 1e9; }

  /// Trees must cost less than this, in the reduced graph, to be of interest.
  double limit() const {
    return out_.objective - graph_.fixed_cost() -
           std::max(0.99 * grain_, 2e-9 * std::abs(out_.objective));
  }
  bool done() const {
    return out_.bound - graph_.fixed_cost() >= limit() - 1e-10 * std::abs(out_.objective);
  }

  void note_bound(double bound) { out_.bound = std::max(out_.bound, bound + graph_.fixed_cost()); }

  void note_tree(const SteinerTree& tree) {
    if (tree.cost + graph_.fixed_cost() >= out_.objective * (1 - 1e-12)) return;
    std::vector<int> edges;
    for (int e : tree.edges) edges.push_back(core_.edge_in_graph[at(e)]);
    out_.edges = graph_.original(edges);
    out_.objective = tree.cost + graph_.fixed_cost();
  }

  /// Only one node is left: what was fixed is the tree.
  bool trivial() {
    if (graph_.terminal_count() > 1) return false;
    SteinerTree tree;
    tree.cost = 0;
    note_tree(tree);
    note_bound(0);
    return true;
  }

  void ascents() {
    double best_bound = -1;
    for (int round = 0; round < budget_.rounds && !late(); ++round) {
      core_ = make_core(graph_);
      if (trivial() || done()) return;
      const int edges_before = graph_.alive_edges();
      std::vector<char> usable(core_.edges.size(), 1);
      pool_.clear();
      const int tries = depth_ > 0 ? 4 : core_.edges.size() > 20000 ? 6 : 10;
      for (int t = 0; t < tries && !done() && !late(); ++t) one_ascent(usable, best_bound);
      recombine();
      if (done()) return;
      for (std::size_t e = 0; e < usable.size(); ++e)
        if (!usable[e]) graph_.remove_edge(core_.edge_in_graph[e]);
      if (!connected()) {
        note_bound(limit());
        return;
      }
      reduce(graph_, [this] { return late(); });
      if (round > 0 && edges_before - graph_.alive_edges() < edges_before / 50) break;
    }
    core_ = make_core(graph_);
    (void)trivial();
  }

  /// An ascent from a root, a tree on what it saturates, and what it rules out.
  void one_ascent(std::vector<char>& usable, double& best_bound) {
    const auto& terminals = core_.terminals;
    const int root = terminals[at(random_.below(static_cast<int>(terminals.size())))];
    const SteinerDual dual = ascend(core_, root, 0);
    note_bound(dual.bound);
    best_bound = std::max(best_bound, dual.bound);
    std::vector<char> saturated(core_.edges.size(), 0);
    std::vector<double> length;
    for (std::size_t e = 0; e < saturated.size(); ++e) {
      saturated[e] = dual.reduced[2 * e] <= 0 || dual.reduced[2 * e + 1] <= 0;
      length.push_back(core_.edges[e].cost);
    }
    TreeSearch search(core_);
    const std::vector<char> all(core_.edges.size(), 1);
    plant(search, root, length, saturated);
    // Trees under disturbed lengths differ from each other, which recombination lives on.
    for (double& l : length) l *= 0.8 + 0.4 * random_.below(1000) / 1000.0;
    plant(search, random_.below(core_.node_count), length, all);
    if (!std::isfinite(limit())) return;
    const std::vector<char> keep = usable_edges(core_, dual, limit());
    for (std::size_t e = 0; e < keep.size(); ++e) usable[e] = usable[e] && keep[e];
  }

  /// A tree of the pool. Only a promising one is worth a search among all edges.
  void plant(TreeSearch& search, int start, const std::vector<double>& length,
             const std::vector<char>& usable) {
    SteinerTree tree = search.grow(start, length, usable);
    if (tree.cost == kFar) return;
    search.improve(tree, usable, budget_.tree_work / 4);
    if (tree.cost + graph_.fixed_cost() < 1.01 * out_.objective)
      search.improve(tree, std::vector<char>(core_.edges.size(), 1), budget_.tree_work);
    note_tree(tree);
    pool_.push_back(tree);
  }

  /// The best trees together make a small graph, the best tree of which is often better than all.
  void recombine() {
    if (depth_ > 0 || pool_.size() < 3 || budget_.lp_iterations <= 0) return;
    std::stable_sort(pool_.begin(), pool_.end(),
                     [](const SteinerTree& x, const SteinerTree& y) { return x.cost < y.cost; });
    if (pool_.size() > 16) pool_.resize(16);
    int fruitless = 0;
    for (int attempt = 0; fruitless < 6 && attempt < 60 && !done() && !late(); ++attempt) {
      std::vector<char> chosen(core_.edges.size(), 0);
      const std::size_t few = std::min<std::size_t>(pool_.size(), attempt == 0 ? 6 : 4);
      for (std::size_t i = 0; i < few; ++i) {
        const std::size_t pick =
            attempt == 0 ? i : at(random_.below(static_cast<int>(pool_.size())));
        for (int e : pool_[pick].edges) chosen[at(e)] = 1;
      }
      SteinerProblem part;
      std::vector<int> edges;
      part.node_count = core_.node_count;
      part.terminals = core_.terminals;
      for (std::size_t e = 0; e < chosen.size(); ++e) {
        if (!chosen[e]) continue;
        part.edges.push_back(core_.edges[e]);
        edges.push_back(static_cast<int>(e));
      }
      SteinerBudget budget = budget_;
      budget.rounds = 3;
      budget.lp_iterations = 3000;
      budget.subset_seconds = 0.2;
      SteinerSearch inner(part, grain_, budget, depth_ + 1);
      const SteinerOutcome outcome = inner.run();
      SteinerTree tree;
      tree.cost = 0;
      for (int e : outcome.edges) {
        tree.edges.push_back(edges[at(e)]);
        tree.cost += core_.edges[at(edges[at(e)])].cost;
      }
      if (outcome.edges.empty() && core_.terminals.size() > 1) continue;
      TreeSearch search(core_);
      search.improve(tree, std::vector<char>(core_.edges.size(), 1), budget_.tree_work);
      const double before = out_.objective;
      note_tree(tree);
      fruitless = out_.objective < before ? 0 : fruitless + 1;
      renew_pool(tree);
    }
  }

  /// The tree takes the place of the worst, unless one of the same cost is there.
  void renew_pool(const SteinerTree& tree) {
    for (const SteinerTree& other : pool_)
      if (std::abs(other.cost - tree.cost) <= 1e-9 * tree.cost) return;
    auto worst = std::max_element(
        pool_.begin(), pool_.end(),
        [](const SteinerTree& x, const SteinerTree& y) { return x.cost < y.cost; });
    if (tree.cost < worst->cost) *worst = tree;
  }

  bool connected() const {
    std::vector<char> seen(at(graph_.node_count()), 0);
    const std::vector<int> terminals = graph_.terminals();
    std::vector<int> stack{terminals.front()};
    seen[at(stack.back())] = 1;
    while (!stack.empty()) {
      const int v = stack.back();
      stack.pop_back();
      for (int e : graph_.at_node(v)) {
        const int w = graph_.edge(e).other(v);
        if (seen[at(w)]) continue;
        seen[at(w)] = 1;
        stack.push_back(w);
      }
    }
    return std::all_of(terminals.begin(), terminals.end(), [&](int t) { return seen[at(t)]; });
  }

  void tree_from(const SteinerLp& lp) {
    std::vector<double> length;
    const std::vector<double> x = lp.edge_values();
    for (std::size_t e = 0; e < x.size(); ++e)
      length.push_back(core_.edges[e].cost * std::max(1e-6, 1 - x[e]));
    const std::vector<char> all(core_.edges.size(), 1);
    TreeSearch search(core_);
    for (int start = 0; start < 3; ++start) {
      const auto& terminals = core_.terminals;
      const int from = terminals[at(random_.below(static_cast<int>(terminals.size())))];
      SteinerTree tree = search.grow(from, length, all);
      if (tree.cost == kFar) continue;
      search.improve(tree, all, budget_.tree_work / 8);
      note_tree(tree);
    }
  }

  /// With few terminals there is a way that never fails.
  bool by_subsets() {
    if (core_.terminals.size() < 2 || seconds_by_subsets(core_) > budget_.subset_seconds)
      return false;
    note_tree(solve_by_subsets(core_));
    out_.bound = out_.objective;
    return true;
  }

  enum class Cut { bounded, closed, stuck, worn };

  /// Cutting planes at the present bounds. closed: nothing below the limit is left.
  Cut cut(SteinerLp& lp, int rounds, bool root, double& value) {
    double last = -kFar;
    int stalled = 0;
    for (int round = 0; round < rounds; ++round) {
      const auto state = lp.resolve(limit(), seconds_left());
      if (state == SteinerLp::State::infeasible) return Cut::closed;
      if (state == SteinerLp::State::stopped) return Cut::stuck;
      value = lp.value();
      if (root) {
        note_bound(value);
        if (round % 10 == 0) tree_from(lp);
        lp.fix_arcs(limit());
        if (done()) return Cut::closed;
      }
      if (late() || lp.iterations() > budget_.lp_iterations) return Cut::worn;
      if (lp.separate() == 0) return Cut::bounded;
      if (round % 5 == 4) lp.drop_slack_rows();
      stalled = value < last + 1e-6 * std::abs(value) ? stalled + 1 : 0;
      last = value;
      if (!root && stalled > 6) return Cut::bounded;
    }
    return Cut::bounded;
  }

  /// @return true: the graph shrank so much that it is worth starting afresh
  bool branch_and_cut() {
    const SteinerDual dual = best_root();
    SteinerLp lp(core_, dual);
    double value = 0;
    const Cut root = cut(lp, 1'000'000, true, value);
    if (root == Cut::closed) {
      note_bound(limit());
      return false;
    }
    if (root != Cut::bounded) return false;
    tree_from(lp);
    if (done()) return false;
    lp.fix_arcs(limit());
    if (shrink(lp)) return true;
    grow_tree(lp, value);
    return false;
  }

  SteinerDual best_root() {
    SteinerDual best;
    best.bound = -1;
    for (int t = 0; t < 3; ++t) {
      const auto& terminals = core_.terminals;
      const int root = terminals[at(random_.below(static_cast<int>(terminals.size())))];
      SteinerDual dual = ascend(core_, root, 40 * core_.edges.size());
      if (dual.bound > best.bound) best = std::move(dual);
    }
    return best;
  }

  bool shrink(const SteinerLp& lp) {
    const std::vector<char> dead = lp.dead_edges();
    const auto count = std::count(dead.begin(), dead.end(), 1);
    if (count < static_cast<long>(dead.size() / 5)) return false;
    for (std::size_t e = 0; e < dead.size(); ++e)
      if (dead[e]) graph_.remove_edge(core_.edge_in_graph[e]);
    if (!connected()) {
      note_bound(limit());
      return false;
    }
    reduce(graph_, [this] { return late(); });
    return true;
  }

  struct Hold {
    bool is_arc = false;
    int index = 0;
    int state = 0;
  };
  struct Node {
    double bound = 0;
    int number = 0;
    std::vector<Hold> holds;
  };
  struct Worse {
    bool operator()(const Node& a, const Node& b) const {
      if (a.bound != b.bound) return a.bound > b.bound;
      return a.number < b.number;
    }
  };
  using Queue = std::priority_queue<Node, std::vector<Node>, Worse>;

  static void apply(SteinerLp& lp, const std::vector<Hold>& holds, bool release) {
    for (const Hold& hold : holds) {
      const int state = release ? -1 : hold.state;
      if (hold.is_arc)
        lp.hold_arc(hold.index, state);
      else
        lp.hold(hold.index, state);
    }
  }

  /// The most undecided node, or arc when all nodes are whole. @return false: all whole
  bool choose(const SteinerLp& lp, int root, Hold& choice) const {
    const std::vector<double> nodes = lp.node_values();
    double best = 1e-5;
    for (int v = 0; v < core_.node_count; ++v) {
      if (v == root || core_.is_terminal[at(v)]) continue;
      const int degree = core_.begin[at(v) + 1] - core_.begin[at(v)];
      const double undecided =
          std::min(nodes[at(v)], 1 - nodes[at(v)]) * (1 + 0.02 * std::min(degree, 20));
      if (undecided <= best) continue;
      best = undecided;
      choice = {false, v, 0};
    }
    if (best > 1e-5) return true;
    const std::vector<double> x = lp.arc_values();
    for (std::size_t a = 0; a < x.size(); ++a) {
      const double undecided = std::min(x[a], 1 - x[a]);
      if (undecided <= best) continue;
      best = undecided;
      choice = {true, static_cast<int>(a), 0};
    }
    return best > 1e-5;
  }

  void split(const SteinerLp& lp, int root, const Node& parent, int& numbers, Queue& queue) {
    Hold choice;
    if (!choose(lp, root, choice)) {
      tree_from(lp);
      return;
    }
    for (const int state : {0, 1}) {
      Node child{parent.bound, ++numbers, parent.holds};
      choice.state = state;
      child.holds.push_back(choice);
      queue.push(std::move(child));
    }
  }

  void grow_tree(SteinerLp& lp, double value) {
    Queue queue;
    int numbers = 0;
    int root = -1;
    for (int v : core_.terminals)
      if (lp.node_values()[at(v)] < 0.5) root = v;
    split(lp, root, {value, 0, {}}, numbers, queue);
    std::vector<Hold> held;
    int visited = 0;
    while (!queue.empty()) {
      const Node node = queue.top();
      note_bound(std::min(node.bound, limit()));
      if (node.bound >= limit()) return;
      if (late() || lp.iterations() > budget_.lp_iterations) return;
      queue.pop();
      apply(lp, held, true);
      held = node.holds;
      apply(lp, held, false);
      double bound = node.bound;
      const Cut state = cut(lp, 40, false, bound);
      if (state == Cut::closed) continue;
      if (state != Cut::bounded) return;
      if (++visited % 10 == 0) tree_from(lp);
      split(lp, root, {std::max(bound, node.bound), 0, node.holds}, numbers, queue);
    }
    note_bound(limit());
  }

  const SteinerBudget& budget_;
  double grain_;
  int depth_ = 0;  ///< 1 within a recombination
  std::vector<SteinerTree> pool_;
  SteinerGraph graph_;
  SteinerCore core_;
  SteinerOutcome out_;
  Random random_;
};

}  // namespace

SteinerOutcome solve_steiner(const SteinerProblem& problem, double grain,
                             const SteinerBudget& budget) {
  return SteinerSearch(problem, grain, budget).run();
}

}  // namespace roomloom::network
