#include "network/steiner_extend.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "network/near_nodes.h"
#include "network/special_distances.h"

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();
// Small trees are given up on beyond these; from trials, no source.
constexpr std::size_t kMostNodes = 14;    // from which a tree is not extended
constexpr std::size_t kMostBranches = 4;  // at one node
constexpr int kMostTrees = 150;           // around one edge or fork
constexpr std::size_t kMostDuals = 4;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// A dual solution made ready: its reduced costs capped, and the ways from its root to each node
/// and from each on to a terminal.
struct ReadyDual {
  int root = 0;
  double spare = 0;  ///< reduced costs of this sum rule a tree out
  std::vector<double> reduced, from_root, to_terminal;
};

/// A tree of few edges is grown from an edge or a fork: every tree of the graph that contains it
/// leads on from each of its leaves that is no terminal, so it is ruled out when all ways on are.
/// Two costs decide: what its arcs and the ways to it cost by a dual bound, and what joins its
/// leaves otherwise. Where that costs the same, the way round must leave out the edge (or fork) in
/// question, so that a tree of the same cost without it is there.
class Extension {
 public:
  Extension(SteinerGraph& graph, const SteinerCore& core, std::vector<char> usable,
            const std::vector<SteinerDual>& duals, double limit)
      : graph_(graph),
        core_(core),
        alive_(std::move(usable)),
        special_(graph),
        near_(core),
        place_(at(core.node_count), -1),
        dirty_(at(core.node_count), 0) {
    for (const SteinerDual& dual : duals) make_ready(dual, limit);
  }

  int run(const std::function<bool()>& out_of_time) {
    int changes = 0;
    for (int e = 0; e < static_cast<int>(alive_.size()) && !out_of_time(); ++e)
      if (alive_[at(e)] && edge_ruled_out(e)) {
        drop(e);
        ++changes;
      }
    for (int v = 0; v < core_.node_count && !out_of_time(); ++v)
      if (replace_fork(v)) ++changes;
    return changes;
  }

 private:
  struct Member {
    int node = 0;
    int parent = 0;  ///< place in the tree; -1: the first
    int edge = -1;   ///< to the parent
    int degree = 0;  ///< in the tree
    std::array<double, kMostDuals>
        turn{};  ///< by dual: what the first's side costs more to come from here
  };

  void make_ready(const SteinerDual& dual, double limit) {
    ReadyDual ready;
    ready.root = dual.root;
    ready.spare = limit - dual.bound;
    const double cap = 2 * std::max(0.0, ready.spare) + 1;
    const auto capped = [cap](std::vector<double> list) {
      for (double& value : list) value = std::min(value, cap);
      return list;
    };
    ready.reduced = capped(dual.reduced);
    ready.from_root = capped(distances_from_root(core_, dual));
    ready.to_terminal = capped(distances_to_terminal(core_, dual));
    if (duals_.size() < kMostDuals) duals_.push_back(std::move(ready));
  }

  void drop(int e) {
    alive_[at(e)] = 0;
    graph_.remove_edge(core_.edge_in_graph[at(e)]);
  }

  void start(int node) {
    tree_.clear();
    cost_ = 0;
    down_.fill(0);
    trees_ = 0;
    tree_.push_back({node, -1, -1, 0, {}});
    place_[at(node)] = 0;
  }
  void finish() {
    for (const Member& member : tree_) place_[at(member.node)] = -1;
  }

  void push(int parent, int arc) {
    Member member{core_.head(arc), parent, arc >> 1, 1, tree_[at(parent)].turn};
    for (std::size_t k = 0; k < duals_.size(); ++k) {
      const std::vector<double>& reduced = duals_[k].reduced;
      down_[k] += reduced[at(arc)];
      member.turn[k] += reduced[at(arc ^ 1)] - reduced[at(arc)];
    }
    cost_ += core_.edges[at(arc >> 1)].cost;
    ++tree_[at(parent)].degree;
    const std::size_t mine = tree_.size();
    place_[at(member.node)] = static_cast<int>(mine);
    arcs_[mine] = arc;
    for (std::size_t i = 0; i < mine; ++i)
      apart_[mine][i] = apart_[i][mine] = distance(member.node, tree_[i].node);
    tree_.push_back(member);
  }
  void pop() {
    const Member& member = tree_.back();
    const int arc = arcs_[tree_.size() - 1];
    for (std::size_t k = 0; k < duals_.size(); ++k) down_[k] -= duals_[k].reduced[at(arc)];
    cost_ -= core_.edges[at(arc >> 1)].cost;
    --tree_[at(member.parent)].degree;
    place_[at(member.node)] = -1;
    tree_.pop_back();
  }

  /// An upper bound on the special distance: the bottleneck of the best way, terminals parting it.
  double distance(int u, int v) {
    return std::min(near_.between(u, v), special_.between(graph_node(u), graph_node(v)));
  }
  int graph_node(int v) const { return core_.node_in_graph[at(v)]; }

  bool is_leaf(const Member& member) const { return member.degree == 1; }

  /// What the tree's arcs and the ways from and to it cost at least, with the root's way coming in
  /// at a leaf or at `also`.
  bool too_dear(int also) const {
    for (std::size_t k = 0; k < duals_.size(); ++k) {
      const ReadyDual& dual = duals_[k];
      double leaves = 0;
      for (const Member& member : tree_)
        if (is_leaf(member)) leaves += dual.to_terminal[at(member.node)];
      double best = kFar;
      const int root_place = place_[at(dual.root)];
      for (std::size_t i = 0; i < tree_.size(); ++i) {
        const Member& member = tree_[i];
        const bool leaf = is_leaf(member);
        if (!leaf && static_cast<int>(i) != also) continue;
        if (root_place >= 0 && static_cast<int>(i) != root_place) continue;
        best = std::min(best, down_[k] + member.turn[k] + dual.from_root[at(member.node)] + leaves -
                                  (leaf ? dual.to_terminal[at(member.node)] : 0));
      }
      if (best >= dual.spare) return true;
    }
    return false;
  }

  /// Least spanning tree of the leaves under `apart`.
  template <typename Apart>
  double span_leaves(Apart apart) const {
    std::array<std::size_t, kMostNodes + kMostBranches> leaf{};
    std::array<double, kMostNodes + kMostBranches> reach{};
    std::size_t count = 0;
    for (std::size_t i = 0; i < tree_.size(); ++i)
      if (is_leaf(tree_[i])) leaf[count++] = i;
    double sum = 0;
    for (std::size_t i = 1; i < count; ++i) reach[i] = apart(leaf[0], leaf[i]);
    for (std::size_t done = 1; done < count; ++done) {
      std::size_t next = done;
      for (std::size_t i = done + 1; i < count; ++i)
        if (reach[i] < reach[next]) next = i;
      sum += reach[next];
      if (sum > cost_ * (1 + 1e-9)) return kFar;
      std::swap(leaf[next], leaf[done]);
      std::swap(reach[next], reach[done]);
      for (std::size_t i = done + 1; i < count; ++i)
        reach[i] = std::min(reach[i], apart(leaf[done], leaf[i]));
    }
    return sum;
  }

  bool spanned_cheaper() {
    const double sum = span_leaves([&](std::size_t i, std::size_t j) { return apart_[i][j]; });
    if (sum < cost_ * (1 - 1e-10)) return true;
    if (sum > cost_ * (1 + 1e-12)) return false;
    const double again = span_leaves([&](std::size_t i, std::size_t j) {
      if (apart_[i][j] > cost_ * (1 + 1e-12)) return kFar;
      return near_.around(tree_[i].node, tree_[j].node, alive_, avoided_edge_, avoided_node_,
                          cost_ * (1 + 1e-12));
    });
    return again <= cost_ * (1 + 1e-12);
  }

  /// Some piece without forks of the way from the newest member up the tree is longer than a
  /// special distance that spans it.
  bool way_up_too_long() {
    const std::size_t mine = tree_.size() - 1;
    double piece = 0, longest = 0, with_avoided = 0;
    bool has_avoided = false;
    for (std::size_t i = mine; tree_[i].parent >= 0;) {
      const Member& member = tree_[i];
      piece += core_.edges[at(member.edge)].cost;
      has_avoided = has_avoided || member.edge == avoided_edge_;
      longest = std::max(longest, piece);
      if (has_avoided) with_avoided = std::max(with_avoided, piece);
      i = at(member.parent);
      if (apart_[mine][i] < longest * (1 - 1e-10)) return true;
      if (has_avoided && apart_[mine][i] <= with_avoided * (1 + 1e-12) &&
          near_.around(tree_[mine].node, tree_[i].node, alive_, avoided_edge_, -1,
                       with_avoided * (1 + 1e-12)) < kFar)
        return true;
      if (tree_[i].degree != 2) {
        piece = 0;
        has_avoided = false;
      }
    }
    return false;
  }

  bool edge_too_long() const {
    const std::size_t mine = tree_.size() - 1;
    const double cost = core_.edges[at(tree_[mine].edge)].cost * (1 - 1e-10);
    for (std::size_t i = 0; i < mine; ++i)
      if (apart_[mine][i] < cost) return true;
    return false;
  }

  bool ruled_out() {
    if (++trees_ > kMostTrees) return false;
    if (too_dear(-1) || spanned_cheaper()) return true;
    if (tree_.size() >= kMostNodes) return false;
    int choice = -1;
    std::size_t fewest = kMostBranches + 3;
    for (std::size_t i = 0; i < tree_.size(); ++i) {
      const int v = tree_[i].node;
      if (!is_leaf(tree_[i]) || core_.is_terminal[at(v)] || dirty_[at(v)]) continue;
      std::size_t branches = 0;
      for (int j = core_.begin[at(v)]; j < core_.begin[at(v) + 1]; ++j) {
        const int arc = core_.leaving[at(j)];
        if (alive_[at(arc >> 1)] && place_[at(core_.head(arc))] < 0) ++branches;
      }
      if (branches >= fewest) continue;
      fewest = branches;
      choice = static_cast<int>(i);
    }
    return choice >= 0 && all_ruled_out(choice);
  }

  /// Whatever edges lead on from a leaf that is no terminal.
  bool all_ruled_out(int leaf) {
    std::array<int, kMostBranches> arcs{};
    std::size_t count = 0;
    const int v = tree_[at(leaf)].node;
    for (int j = core_.begin[at(v)]; j < core_.begin[at(v) + 1]; ++j) {
      const int arc = core_.leaving[at(j)];
      if (!alive_[at(arc >> 1)] || place_[at(core_.head(arc))] >= 0) continue;
      push(leaf, arc);
      const bool out = edge_too_long() || too_dear(leaf);
      pop();
      if (out) continue;
      if (count == kMostBranches) return false;
      arcs[count++] = arc;
    }
    for (unsigned set = 1; set < (1U << count); ++set) {
      const std::size_t before = tree_.size();
      for (std::size_t i = 0; i < count; ++i)
        if (((set >> i) & 1U) != 0) push(leaf, arcs[i]);
      // The newest alone is looked at: the others were when their edge came alone.
      const bool out = way_up_too_long() || ruled_out();
      while (tree_.size() > before) pop();
      if (!out) return false;
    }
    return true;
  }

  bool edge_ruled_out(int e) {
    avoided_edge_ = e;
    avoided_node_ = -1;
    start(core_.edges[at(e)].a);
    push(0, 2 * e);
    const bool out = way_up_too_long() || ruled_out();
    finish();
    return out;
  }

  bool star_ruled_out(int v, const std::vector<int>& arcs) {
    start(v);
    for (int arc : arcs) push(0, arc);
    const bool out = ruled_out();
    finish();
    return out;
  }

  bool replace_fork(int v) {
    if (core_.is_terminal[at(v)] || dirty_[at(v)]) return false;
    std::vector<int> arcs;
    for (int j = core_.begin[at(v)]; j < core_.begin[at(v) + 1]; ++j) {
      const int arc = core_.leaving[at(j)];
      if (alive_[at(arc >> 1)]) arcs.push_back(arc);
      if (alive_[at(arc >> 1)] && dirty_[at(core_.head(arc))]) return false;
    }
    if (arcs.size() != 3) return false;
    avoided_edge_ = -1;
    avoided_node_ = v;
    if (!star_ruled_out(v, arcs)) return false;
    for (std::size_t i = 0; i < 3; ++i) {
      const int one = arcs[i], two = arcs[(i + 1) % 3];
      if (star_ruled_out(v, {one, two})) continue;
      graph_.add_joined(graph_node(core_.head(one)), graph_node(core_.head(two)),
                        core_.edge_in_graph[at(one >> 1)], core_.edge_in_graph[at(two >> 1)]);
    }
    for (int arc : arcs) {
      drop(arc >> 1);
      dirty_[at(core_.head(arc))] = 1;
    }
    dirty_[at(v)] = 1;
    return true;
  }

  SteinerGraph& graph_;
  const SteinerCore& core_;
  std::vector<char> alive_;
  std::vector<ReadyDual> duals_;
  SpecialDistances special_;
  NearNodes near_;
  std::vector<int> place_;   ///< in the tree, one a node; -1: not there
  std::vector<char> dirty_;  ///< its edges have changed
  std::vector<Member> tree_;
  std::array<int, kMostNodes + kMostBranches> arcs_{};
  std::array<std::array<double, kMostNodes + kMostBranches>, kMostNodes + kMostBranches> apart_{};
  double cost_ = 0;
  std::array<double, kMostDuals> down_{};
  int avoided_edge_ = -1, avoided_node_ = -1;
  int trees_ = 0;
};

}  // namespace

int reduce_by_extension(SteinerGraph& graph, const SteinerCore& core,
                        const std::vector<char>& usable, const std::vector<SteinerDual>& duals,
                        double limit, const std::function<bool()>& out_of_time) {
  return Extension(graph, core, usable, duals, limit).run(out_of_time);
}

}  // namespace roomloom::network
