#include "network/steiner.h"

#include <algorithm>
#include <cmath>

#include "network/bag_states.h"
#include "network/dual_search.h"
#include "network/steiner_bags.h"
#include "network/steiner_branch.h"
#include "network/steiner_extend.h"
#include "network/steiner_record.h"
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
      : budget_(budget),
        grain_(grain),
        depth_(depth),
        graph_(problem),
        record_(graph_, grain, budget_) {}

  SteinerOutcome run() {
    reduce(graph_, [this] { return late(); });
    for (int restart = 0; restart < 12; ++restart) {
      if (budget_.lp_iterations > 0 && by_bags()) break;
      ascents();
      if (done() || late() || budget_.lp_iterations <= 0 || by_subsets()) break;
      if (!branch_and_cut()) break;
    }
    SteinerOutcome& out = record_.out;
    if (done() || out.bound > out.objective) out.bound = out.objective;
    return std::move(out);
  }

 private:
  bool late() { return record_.late(); }
  bool done() const { return record_.done(); }
  double limit() const { return record_.limit(); }

  /// Only one node is left: what was fixed is the tree.
  bool trivial() {
    if (graph_.terminal_count() > 1) return false;
    SteinerTree tree;
    tree.cost = 0;
    record_.note_tree(core_, tree);
    record_.note_bound(0);
    return true;
  }

  void ascents() {
    for (int round = 0; round < budget_.rounds && !late(); ++round) {
      core_ = make_core(graph_);
      if (trivial() || done()) return;
      const int edges_before = graph_.alive_edges();
      std::vector<char> usable(core_.edges.size(), 1);
      pool_.clear();
      duals_.clear();
      const int tries = depth_ > 0 ? 4 : core_.edges.size() > 20000 ? 6 : 10;
      for (int t = 0; t < tries && !done() && !late(); ++t) one_ascent(usable);
      recombine();
      if (done()) return;
      for (std::size_t e = 0; e < usable.size(); ++e)
        if (!usable[e]) graph_.remove_edge(core_.edge_in_graph[e]);
      if (!connected()) {
        record_.note_nothing_below();
        return;
      }
      extend(usable);
      if (!connected()) {
        record_.note_nothing_below();
        return;
      }
      reduce(graph_, [this] { return late(); });
      if (round > 0 && edges_before - graph_.alive_edges() < edges_before / 50) break;
    }
    core_ = make_core(graph_);
    (void)trivial();
  }

  void extend(const std::vector<char>& usable) {
    if (!std::isfinite(limit())) return;
    reduce_by_extension(graph_, core_, usable, duals_, limit(), [this] { return late(); });
  }

  /// Keeps the duals of the greatest bounds.
  void keep_dual(SteinerDual dual) {
    duals_.push_back(std::move(dual));
    std::stable_sort(duals_.begin(), duals_.end(),
                     [](const SteinerDual& x, const SteinerDual& y) { return x.bound > y.bound; });
    if (duals_.size() > 3) duals_.pop_back();
  }

  /// An ascent from a root, a tree on what it saturates, and what it rules out.
  void one_ascent(std::vector<char>& usable) {
    const auto& terminals = core_.terminals;
    const int root = terminals[at(random_.below(static_cast<int>(terminals.size())))];
    const SteinerDual dual = ascend(core_, root, 0);
    record_.note_bound(dual.bound);
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
    keep_dual(dual);
  }

  /// A tree of the pool. Only a promising one is worth a search among all edges.
  void plant(TreeSearch& search, int start, const std::vector<double>& length,
             const std::vector<char>& usable) {
    SteinerTree tree = search.grow(start, length, usable);
    if (tree.cost == kFar) return;
    search.improve(tree, usable, budget_.tree_work / 4);
    if (tree.cost + graph_.fixed_cost() < 1.01 * record_.out.objective)
      search.improve(tree, std::vector<char>(core_.edges.size(), 1), budget_.tree_work);
    record_.note_tree(core_, tree);
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
      budget.bag_work = std::min(budget_.bag_work, 1e5);
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
      const double before = record_.out.objective;
      record_.note_tree(core_, tree);
      fruitless = record_.out.objective < before ? 0 : fruitless + 1;
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

  /// With few terminals there is a way that never fails.
  bool by_subsets() {
    if (core_.terminals.size() < 2 || seconds_by_subsets(core_) > budget_.subset_seconds)
      return false;
    record_.note_tree(core_, solve_by_subsets(core_));
    record_.out.bound = record_.out.objective;
    return true;
  }

  /// Over a tree decomposition, where its bags are small. @return whether that was the answer
  bool by_bags() {
    core_ = make_core(graph_);
    if (core_.terminals.size() < 2) return false;
    const int root = core_.terminals.front();
    const Elimination elimination = eliminate(core_, root, kBagPlaces);
    if (elimination.order.empty() || work_by_bags(elimination) > budget_.bag_work) return false;
    if (depth_ == 0 && std::isinf(record_.out.objective)) {  // a tree to have when time runs out
      std::vector<char> usable(core_.edges.size(), 1);
      one_ascent(usable);
    }
    const auto most = static_cast<std::size_t>(4 * budget_.bag_work);
    const BagsAnswer answer = solve_by_bags(core_, elimination, ascend(core_, root, 0), limit(),
                                            most, [this] { return late(); });
    if (!answer.finished) return false;
    record_.note_tree(core_, answer.tree);
    record_.note_nothing_below();
    return true;
  }

  /// @return true: the graph shrank so much that it is worth starting afresh
  bool branch_and_cut() {
    const std::vector<char> dead = SteinerBranch(core_, budget_, record_, random_).run(best_root());
    if (dead.empty()) return false;
    for (std::size_t e = 0; e < dead.size(); ++e)
      if (dead[e]) graph_.remove_edge(core_.edge_in_graph[e]);
    if (!connected()) {
      record_.note_nothing_below();
      return false;
    }
    reduce(graph_, [this] { return late(); });
    return true;
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

  const SteinerBudget& budget_;
  double grain_;
  int depth_ = 0;  ///< 1 within a recombination
  std::vector<SteinerTree> pool_;
  std::vector<SteinerDual> duals_;  ///< of the core, the best
  SteinerGraph graph_;
  SteinerCore core_;
  SteinerRecord record_;
  Random random_;
};

}  // namespace

SteinerOutcome solve_steiner(const SteinerProblem& problem, double grain,
                             const SteinerBudget& budget) {
  return SteinerSearch(problem, grain, budget).run();
}

}  // namespace roomloom::network
