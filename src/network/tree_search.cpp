#include "network/tree_search.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>

namespace roomloom::network {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

TreeSearch::TreeSearch(const SteinerCore& core)
    : core_(core),
      distance_(at(core.node_count), kFar),
      via_(at(core.node_count), -1),
      mark_(at(core.node_count), 0) {}

SteinerTree TreeSearch::grow(int start, const std::vector<double>& length,
                             const std::vector<char>& usable) {
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> heap;
  std::fill(distance_.begin(), distance_.end(), kFar);
  touched_.resize(at(core_.node_count));
  std::iota(touched_.begin(), touched_.end(), 0);
  std::vector<char> in_tree(at(core_.node_count), 0);
  std::vector<int> nodes;
  std::size_t left = core_.terminals.size();
  const auto take = [&](int v) {
    in_tree[at(v)] = 1;
    nodes.push_back(v);
    left -= core_.is_terminal[at(v)] ? 1 : 0;
    distance_[at(v)] = 0;
    heap.emplace(0.0, v);
  };
  via_[at(start)] = -1;
  take(start);
  while (!heap.empty() && left > 0) {
    const auto [far, v] = heap.top();
    heap.pop();
    if (far > distance_[at(v)]) continue;
    ++work;
    if (core_.is_terminal[at(v)] && !in_tree[at(v)]) {
      for (int w = v; !in_tree[at(w)]; w = core_.tail(via_[at(w)])) take(w);
      continue;
    }
    for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
      const int arc = core_.leaving[at(i)];
      if (!usable[at(arc >> 1)]) continue;
      const int w = core_.head(arc);
      const double next = far + length[at(arc >> 1)];
      if (next >= distance_[at(w)]) continue;
      distance_[at(w)] = next;
      via_[at(w)] = arc;
      heap.emplace(next, w);
    }
  }
  if (left > 0) return {};
  return span_and_prune(nodes, usable);
}

SteinerTree TreeSearch::span_and_prune(const std::vector<int>& nodes,
                                       const std::vector<char>& usable) {
  ++epoch_;
  for (int v : nodes) mark_[at(v)] = epoch_;
  std::vector<int> edges;
  for (int v : nodes) {
    for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
      const int arc = core_.leaving[at(i)];
      if ((arc & 1) == 0 && usable[at(arc >> 1)] && mark_[at(core_.head(arc))] == epoch_)
        edges.push_back(arc >> 1);
    }
  }
  work += static_cast<long long>(edges.size());
  std::sort(edges.begin(), edges.end(), [&](int x, int y) {
    const double cx = core_.edges[at(x)].cost, cy = core_.edges[at(y)].cost;
    return cx != cy ? cx < cy : x < y;
  });
  std::vector<int>& parent = via_;  // free between searches
  for (int v : nodes) parent[at(v)] = v;
  const auto top = [&](int v) {
    while (parent[at(v)] != v) v = parent[at(v)] = parent[at(parent[at(v)])];
    return v;
  };
  std::vector<int> chosen;
  for (int e : edges) {
    const int x = top(core_.edges[at(e)].a), y = top(core_.edges[at(e)].b);
    if (x == y) continue;
    parent[at(x)] = y;
    chosen.push_back(e);
  }
  const int base = top(core_.terminals.front());
  for (int t : core_.terminals)
    if (top(t) != base) return {};
  // Leaves that are no terminals go, one after the other.
  std::vector<std::vector<int>> incident;
  std::vector<int> place(at(core_.node_count), -1);
  for (int v : nodes) {
    place[at(v)] = static_cast<int>(incident.size());
    incident.emplace_back();
  }
  for (int e : chosen) {
    incident[at(place[at(core_.edges[at(e)].a)])].push_back(e);
    incident[at(place[at(core_.edges[at(e)].b)])].push_back(e);
  }
  std::vector<char> gone(core_.edges.size(), 0);
  std::vector<int> degree;
  for (const auto& list : incident) degree.push_back(static_cast<int>(list.size()));
  std::vector<int> leaves = nodes;
  while (!leaves.empty()) {
    const int v = leaves.back();
    leaves.pop_back();
    if (core_.is_terminal[at(v)] || degree[at(place[at(v)])] != 1) continue;
    for (int e : incident[at(place[at(v)])]) {
      if (gone[at(e)]) continue;
      gone[at(e)] = 1;
      const int w = core_.edges[at(e)].a == v ? core_.edges[at(e)].b : core_.edges[at(e)].a;
      --degree[at(place[at(v)])];
      --degree[at(place[at(w)])];
      leaves.push_back(w);
    }
  }
  SteinerTree tree;
  tree.cost = 0;
  for (int e : chosen) {
    const int owner = core_.edges[at(e)].a;
    if (gone[at(e)] || top(owner) != base) continue;
    tree.edges.push_back(e);
    tree.cost += core_.edges[at(e)].cost;
  }
  return tree;
}

TreeShape shape_of(const SteinerCore& core, const SteinerTree& tree) {
  TreeShape shape;
  shape.incident.resize(at(core.node_count));
  for (int e : tree.edges) {
    for (int v : {core.edges[at(e)].a, core.edges[at(e)].b}) {
      if (shape.incident[at(v)].empty()) shape.nodes.push_back(v);
      shape.incident[at(v)].push_back(e);
    }
  }
  return shape;
}

namespace {}  // namespace

void TreeSearch::reach(int node, double distance) {
  if (distance_[at(node)] == kFar) touched_.push_back(node);
  distance_[at(node)] = distance;
}

/// Nodes of the smaller of the two parts at the ends of a path taken out; they get the mark epoch_.
std::vector<int> TreeSearch::smaller_part(const TreeShape& shape, const std::vector<char>& in_tree,
                                          const int (&ends)[2]) {
  std::vector<int> parts[2];
  std::size_t done[2] = {0, 0};
  for (int side = 0; side < 2; ++side) {
    parts[side].push_back(ends[side]);
    mark_[at(ends[side])] = epoch_ - 1 + side;
  }
  int side = 0;
  while (done[side] < parts[side].size()) {  // both grow in turn until one is whole
    const int v = parts[side][done[side]++];
    for (int e : shape.incident[at(v)]) {
      if (!in_tree[at(e)]) continue;
      const int w = core_.edges[at(e)].a == v ? core_.edges[at(e)].b : core_.edges[at(e)].a;
      if (mark_[at(w)] == epoch_ - 1 + side) continue;
      mark_[at(w)] = epoch_ - 1 + side;
      parts[side].push_back(w);
    }
    side = 1 - side;
  }
  for (int v : parts[1 - side]) mark_[at(v)] = 0;
  for (int v : parts[side]) mark_[at(v)] = epoch_;
  return parts[side];
}

/// Whether a node of the tree still hangs on it while a path is taken out.
bool TreeSearch::on_tree(const TreeShape& shape, const std::vector<char>& in_tree, int node) const {
  const auto& list = shape.incident[at(node)];
  return core_.is_terminal[at(node)] ||
         std::any_of(list.begin(), list.end(), [&](int e) { return in_tree[at(e)] != 0; });
}

/// Takes out a path between two forks or terminals and joins the two parts anew where it is
/// cheapest.
bool TreeSearch::exchange_paths(SteinerTree& tree, const std::vector<char>& usable,
                                long long stop) {
  bool improved = false;
  TreeShape shape = shape_of(core_, tree);
  const auto is_key = [&](int v) {
    return core_.is_terminal[at(v)] || shape.incident[at(v)].size() != 2;
  };
  std::vector<char> in_tree(core_.edges.size(), 0);
  for (int e : tree.edges) in_tree[at(e)] = 1;
  const std::vector<int> candidates = tree.edges;
  for (int first : candidates) {
    if (work > stop) break;
    if (!in_tree[at(first)]) continue;
    std::vector<int> path{first};
    double length = core_.edges[at(first)].cost;
    int ends[2] = {core_.edges[at(first)].a, core_.edges[at(first)].b};
    for (int& end : ends) {
      int last = first;
      while (!is_key(end)) {
        const auto& list = shape.incident[at(end)];
        last = list[0] == last ? list[1] : list[0];
        path.push_back(last);
        length += core_.edges[at(last)].cost;
        end = core_.edges[at(last)].a == end ? core_.edges[at(last)].b : core_.edges[at(last)].a;
      }
    }
    if (*std::min_element(path.begin(), path.end()) != first && path.size() > 1) {
      // Each path is tried once, at its edge of lowest number.
      continue;
    }
    for (int e : path) in_tree[at(e)] = 0;
    // Part of ends[0] gets epoch_, the other part epoch_ + 1.
    epoch_ += 2;
    const std::vector<int> start = smaller_part(shape, in_tree, ends);
    for (int v : touched_) distance_[at(v)] = kFar;
    touched_.clear();
    std::priority_queue<Entry, std::vector<Entry>, std::greater<>> heap;
    for (int v : start) {
      reach(v, 0);
      heap.emplace(0.0, v);
    }
    work += static_cast<long long>(start.size());
    int reached = -1;
    while (!heap.empty()) {
      const auto [far, v] = heap.top();
      heap.pop();
      if (far > distance_[at(v)]) continue;
      ++work;
      if (distance_[at(v)] > 0 && shape.incident[at(v)].size() > 0 && mark_[at(v)] != epoch_ &&
          on_tree(shape, in_tree, v)) {
        reached = v;
        break;
      }
      for (int i = core_.begin[at(v)]; i < core_.begin[at(v) + 1]; ++i) {
        const int arc = core_.leaving[at(i)];
        const int w = core_.head(arc);
        if (!usable[at(arc >> 1)]) continue;
        const double next = far + core_.edges[at(arc >> 1)].cost;
        if (next >= length * (1 - 1e-12) || next >= distance_[at(w)]) continue;
        reach(w, next);
        via_[at(w)] = arc;
        heap.emplace(next, w);
      }
    }
    std::vector<int> joined = path;
    if (reached >= 0) {
      joined.clear();
      for (int w = reached; mark_[at(w)] != epoch_; w = core_.tail(via_[at(w)]))
        joined.push_back(via_[at(w)] >> 1);
      tree.cost += distance_[at(reached)] - length;
      improved = true;
    }
    for (int e : joined) in_tree[at(e)] = 1;
    if (reached < 0) continue;
    for (int e : path) {
      for (int v : {core_.edges[at(e)].a, core_.edges[at(e)].b}) {
        auto& list = shape.incident[at(v)];
        list.erase(std::find(list.begin(), list.end(), e));
      }
    }
    for (int e : joined)
      for (int v : {core_.edges[at(e)].a, core_.edges[at(e)].b}) shape.incident[at(v)].push_back(e);
  }
  if (!improved) return false;
  std::vector<int> nodes;
  for (int v = 0; v < core_.node_count; ++v)
    if (!shape.incident[at(v)].empty()) nodes.push_back(v);
  tree = span_and_prune(nodes, usable);
  return true;
}

/// Costliest edge on the way between two nodes of a rooted tree.
double TreeSearch::costliest_between(const Rooted& rooted, int a, int b) {
  double most = 0;
  while (a != b) {
    if (rooted.depth[at(a)] < rooted.depth[at(b)]) std::swap(a, b);
    const int edge = rooted.up[at(a)];
    most = std::max(most, core_.edges[at(edge)].cost);
    a = core_.edges[at(edge)].a == a ? core_.edges[at(edge)].b : core_.edges[at(edge)].a;
    ++work;
  }
  return most;
}

TreeSearch::Rooted TreeSearch::rooted_of(const TreeShape& shape) const {
  Rooted rooted;
  rooted.up.assign(at(core_.node_count), -1);
  rooted.depth.assign(at(core_.node_count), -1);
  std::vector<int> stack{core_.terminals.front()};
  rooted.depth[at(stack.back())] = 0;
  while (!stack.empty()) {
    const int v = stack.back();
    stack.pop_back();
    for (int e : shape.incident[at(v)]) {
      const int w = core_.edges[at(e)].a == v ? core_.edges[at(e)].b : core_.edges[at(e)].a;
      if (rooted.depth[at(w)] >= 0) continue;
      rooted.depth[at(w)] = rooted.depth[at(v)] + 1;
      rooted.up[at(w)] = e;
      stack.push_back(w);
    }
  }
  return rooted;
}

/// What the tree saves when a node joins it: a spanning tree over the node, its contacts and the
/// costliest edges between them stands for that of the whole.
double TreeSearch::saving_of(const Rooted& rooted, int node, const std::vector<char>& usable) {
  struct Link {
    double cost;
    std::size_t a, b;
  };
  std::vector<std::pair<double, int>> contacts;
  for (int i = core_.begin[at(node)]; i < core_.begin[at(node) + 1]; ++i) {
    const int arc = core_.leaving[at(i)];
    if (usable[at(arc >> 1)] && rooted.depth[at(core_.head(arc))] >= 0)
      contacts.emplace_back(core_.edges[at(arc >> 1)].cost, core_.head(arc));
  }
  if (contacts.size() < 2) return 0;
  std::sort(contacts.begin(), contacts.end());
  if (contacts.size() > 8) contacts.resize(8);
  std::vector<Link> links;
  for (std::size_t i = 0; i < contacts.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      links.push_back({costliest_between(rooted, contacts[i].second, contacts[j].second), i, j});
  const auto span = [&](std::vector<Link> list) {
    std::stable_sort(list.begin(), list.end(),
                     [](const Link& x, const Link& y) { return x.cost < y.cost; });
    std::vector<std::size_t> part(contacts.size() + 1);
    std::iota(part.begin(), part.end(), std::size_t{0});
    double total = 0;
    for (const Link& link : list) {
      const std::size_t x = part[link.a], y = part[link.b];
      if (x == y) continue;
      total += link.cost;
      std::replace(part.begin(), part.end(), x, y);
    }
    return total;
  };
  const double before = span(links);
  for (std::size_t i = 0; i < contacts.size(); ++i)
    links.push_back({contacts[i].first, i, contacts.size()});
  return before - span(links);
}

/// Adds nodes outside the tree that make its spanning tree cheaper.
bool TreeSearch::insert_nodes(SteinerTree& tree, const std::vector<char>& usable, long long stop) {
  bool improved = false;
  TreeShape shape = shape_of(core_, tree);
  Rooted rooted = rooted_of(shape);
  for (int v = 0; v < core_.node_count && work < stop; ++v) {
    if (rooted.depth[at(v)] >= 0 || saving_of(rooted, v, usable) <= 1e-12 * tree.cost) continue;
    std::vector<int> nodes = shape.nodes;
    nodes.push_back(v);
    const SteinerTree other = span_and_prune(nodes, usable);
    if (other.cost >= tree.cost * (1 - 1e-12)) continue;
    tree = other;
    improved = true;
    shape = shape_of(core_, tree);
    rooted = rooted_of(shape);
  }
  return improved;
}

/// Leaves out one node of the tree where what remains spans at less.
bool TreeSearch::drop_nodes(SteinerTree& tree, const std::vector<char>& usable, long long stop) {
  bool improved = false;
  TreeShape shape = shape_of(core_, tree);
  std::vector<int> nodes = shape.nodes;
  for (std::size_t i = 0; i < nodes.size() && work < stop; ++i) {
    if (core_.is_terminal[at(nodes[i])] || shape.incident[at(nodes[i])].size() < 3) continue;
    std::vector<int> fewer = nodes;
    fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
    const SteinerTree other = span_and_prune(fewer, usable);
    if (other.cost >= tree.cost * (1 - 1e-12)) continue;
    tree = other;
    shape = shape_of(core_, tree);
    nodes = shape.nodes;
    improved = true;
  }
  return improved;
}

void TreeSearch::improve(SteinerTree& tree, const std::vector<char>& usable, long long work_limit) {
  const long long stop = work + work_limit;
  for (bool again = tree.edges.size() > 1; again && work < stop;) {
    again = exchange_paths(tree, usable, stop);
    again |= insert_nodes(tree, usable, stop);
    if (!again) again = drop_nodes(tree, usable, stop);
  }
}

}  // namespace roomloom::network
