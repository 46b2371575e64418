#include "network/steiner_branch.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include "network/steiner_lp.h"

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

/// The least bound first, of equal ones the latest.
struct SteinerBranch::Queue {
  struct Worse {
    bool operator()(const Node& a, const Node& b) const {
      if (a.bound != b.bound) return a.bound > b.bound;
      return a.number < b.number;
    }
  };
  std::priority_queue<Node, std::vector<Node>, Worse> nodes;
};

std::vector<char> SteinerBranch::run(const SteinerDual& dual) {
  SteinerLp lp(core_, dual);
  double value = 0;
  const Cut root = cut(lp, 1'000'000, true, value);
  if (root == Cut::closed) record_.note_nothing_below();
  if (root != Cut::bounded) return {};
  tree_from(lp);
  if (record_.done()) return {};
  lp.fix_arcs(record_.limit());
  const std::vector<char> dead = lp.dead_edges();
  if (std::count(dead.begin(), dead.end(), 1) >= static_cast<long>(dead.size() / 5)) return dead;
  grow(lp, dual.root, value);
  return {};
}

void SteinerBranch::tree_from(SteinerLp& lp) {
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
    record_.note_tree(core_, tree);
    if (tree.cost >= guide_cost_) continue;
    guide_cost_ = tree.cost;
    guide(lp, tree);
  }
}

/// The tree as arcs that lead away from the root.
void SteinerBranch::guide(SteinerLp& lp, const SteinerTree& tree) const {
  const TreeShape shape = shape_of(core_, tree);
  std::vector<double> arcs(2 * core_.edges.size(), 0.0);
  std::vector<char> seen(at(core_.node_count), 0);
  std::vector<int> stack{lp.root()};
  seen[at(lp.root())] = 1;
  while (!stack.empty()) {
    const int v = stack.back();
    stack.pop_back();
    for (int e : shape.incident[at(v)]) {
      const int arc = core_.edges[at(e)].a == v ? 2 * e : 2 * e + 1;
      const int w = core_.head(arc);
      if (seen[at(w)]) continue;
      seen[at(w)] = 1;
      arcs[at(arc)] = 1;
      stack.push_back(w);
    }
  }
  lp.set_guide(std::move(arcs));
}

/// Cutting planes at the present bounds. closed: nothing below the limit is left.
SteinerBranch::Cut SteinerBranch::cut(SteinerLp& lp, int rounds, bool root, double& value) {
  double last = -kFar;
  int stalled = 0;
  for (int round = 0; round < rounds; ++round) {
    const auto state = lp.resolve(record_.limit(), record_.seconds_left());
    if (state == SteinerLp::State::infeasible) return Cut::closed;
    if (state == SteinerLp::State::stopped) return Cut::stuck;
    value = lp.value();
    if (root) {
      record_.note_bound(value);
      if (round % 10 == 0) tree_from(lp);
      lp.fix_arcs(record_.limit());
      if (record_.done()) return Cut::closed;
    }
    if (record_.late() || lp.iterations() > budget_.lp_iterations) return Cut::worn;
    const int found = lp.separate([this] { return record_.late(); });
    if (record_.late()) return Cut::worn;  // what was not looked for may be there
    if (found == 0) return Cut::bounded;
    lp.drop_slack_rows();
    stalled = value < last + 1e-6 * std::abs(value) ? stalled + 1 : 0;
    last = value;
    if (!root && stalled > 6) return Cut::bounded;
  }
  return Cut::bounded;
}

void SteinerBranch::apply(SteinerLp& lp, const std::vector<Hold>& holds, bool release) {
  for (const Hold& hold : holds) {
    const int state = release ? -1 : hold.state;
    if (hold.is_arc)
      lp.hold_arc(hold.index, state);
    else
      lp.hold(hold.index, state);
  }
}

/// The most undecided node, or arc when all nodes are whole. @return false: all whole
bool SteinerBranch::choose(const SteinerLp& lp, int root, Hold& choice) const {
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

void SteinerBranch::split(SteinerLp& lp, int root, const Node& parent, int& numbers, Queue& queue) {
  Hold choice;
  if (!choose(lp, root, choice)) {
    tree_from(lp);
    return;
  }
  for (const int state : {0, 1}) {
    Node child{parent.bound, ++numbers, parent.holds};
    choice.state = state;
    child.holds.push_back(choice);
    queue.nodes.push(std::move(child));
  }
}

void SteinerBranch::grow(SteinerLp& lp, int root, double value) {
  Queue queue;
  int numbers = 0;
  split(lp, root, {value, 0, {}}, numbers, queue);
  std::vector<Hold> held;
  int visited = 0;
  while (!queue.nodes.empty()) {
    const Node node = queue.nodes.top();
    record_.note_bound(std::min(node.bound, record_.limit()));
    if (node.bound >= record_.limit()) return;
    if (record_.late() || lp.iterations() > budget_.lp_iterations) return;
    queue.nodes.pop();
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
  record_.note_nothing_below();
}

}  // namespace roomloom::network
