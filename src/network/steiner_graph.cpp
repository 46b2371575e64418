#include "network/steiner_graph.h"

#include <algorithm>

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

SteinerGraph::SteinerGraph(const SteinerProblem& problem)
    : adjacent_(at(problem.node_count)), terminal_(at(problem.node_count), 0) {
  for (int t : problem.terminals) {
    if (terminal_[at(t)]) continue;
    terminal_[at(t)] = 1;
    ++terminal_count_;
  }
  for (std::size_t e = 0; e < problem.edges.size(); ++e) {
    joined_.emplace_back(static_cast<int>(e), -1);
    const SteinerEdge& edge = problem.edges[e];
    if (edge.a != edge.b) add_edge(edge.a, edge.b, edge.cost, static_cast<int>(e));
  }
}

std::vector<int> SteinerGraph::terminals() const {
  std::vector<int> list;
  for (int v = 0; v < node_count(); ++v)
    if (terminal_[at(v)]) list.push_back(v);
  return list;
}

int SteinerGraph::add_edge(int a, int b, double cost, int origin) {
  for (int e : adjacent_[at(degree(a) <= degree(b) ? a : b)]) {
    Edge& edge = edges_[at(e)];
    if ((edge.a == a && edge.b == b) || (edge.a == b && edge.b == a)) {
      if (edge.cost <= cost) return -1;
      edge.cost = cost;
      edge.origin = origin;
      return e;
    }
  }
  const int index = edge_count();
  edges_.push_back({a, b, cost, origin, true});
  adjacent_[at(a)].push_back(index);
  adjacent_[at(b)].push_back(index);
  ++alive_edges_;
  return index;
}

void SteinerGraph::remove_edge(int index) {
  Edge& edge = edges_[at(index)];
  if (!edge.alive) return;
  edge.alive = false;
  --alive_edges_;
  for (int node : {edge.a, edge.b}) {
    auto& list = adjacent_[at(node)];
    list.erase(std::find(list.begin(), list.end(), index));
  }
}

void SteinerGraph::add_joined(int a, int b, int first, int second) {
  const Edge one = edges_[at(first)], two = edges_[at(second)];
  joined_.emplace_back(one.origin, two.origin);
  add_edge(a, b, one.cost + two.cost, static_cast<int>(joined_.size()) - 1);
}

void SteinerGraph::contract(int index, int keep) {
  const Edge edge = edges_[at(index)];
  const int gone = edge.other(keep);
  fixed_cost_ += edge.cost;
  fixed_.push_back(edge.origin);
  remove_edge(index);
  const std::vector<int> moved = adjacent_[at(gone)];
  for (int e : moved) {
    const Edge old = edges_[at(e)];
    remove_edge(e);
    add_edge(keep, old.other(gone), old.cost, old.origin);
  }
  if (!terminal_[at(gone)]) return;
  terminal_[at(gone)] = 0;
  if (terminal_[at(keep)])
    --terminal_count_;
  else
    terminal_[at(keep)] = 1;
}

void SteinerGraph::remove_node(int node) {
  const std::vector<int> list = adjacent_[at(node)];
  for (int e : list) remove_edge(e);
}

void SteinerGraph::expand(int origin, std::vector<int>& out) const {
  std::vector<int> stack{origin};
  while (!stack.empty()) {
    const auto [first, second] = joined_[at(stack.back())];
    stack.pop_back();
    if (second < 0) {
      out.push_back(first);
      continue;
    }
    stack.push_back(first);
    stack.push_back(second);
  }
}

std::vector<int> SteinerGraph::original(const std::vector<int>& edges) const {
  std::vector<int> out;
  for (int e : edges) expand(edges_[at(e)].origin, out);
  for (int origin : fixed_) expand(origin, out);
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace roomloom::network
