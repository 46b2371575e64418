#include "network/max_flow.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace roomloom::network {
namespace {

constexpr double kTiny = 1e-9;

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

MaxFlow::MaxFlow(int node_count, const std::vector<int>& tails, const std::vector<int>& heads)
    : node_count_(node_count), begin_(at(node_count) + 1, 0), links_(2 * tails.size()) {
  for (std::size_t i = 0; i < tails.size(); ++i) {
    to_.push_back(heads[i]);
    to_.push_back(tails[i]);
    ++begin_[at(tails[i]) + 1];
    ++begin_[at(heads[i]) + 1];
  }
  std::partial_sum(begin_.begin(), begin_.end(), begin_.begin());
  std::vector<int> next(begin_.begin(), begin_.end() - 1);
  for (std::size_t i = 0; i < tails.size(); ++i) {
    links_[at(next[at(tails[i])]++)] = static_cast<int>(2 * i);
    links_[at(next[at(heads[i])]++)] = static_cast<int>(2 * i + 1);
  }
}

/// Levels count from the sink, so that flow pushed from the source never runs into a dead end that
/// cannot reach it.
bool MaxFlow::label(int source, int sink) {
  level_.assign(at(node_count_), -1);
  queue_.assign(1, sink);
  level_[at(sink)] = 0;
  for (std::size_t i = 0; i < queue_.size(); ++i) {
    const int v = queue_[i];
    for (int j = begin_[at(v)]; j < begin_[at(v) + 1]; ++j) {
      const int link = links_[at(j)];
      const int w = to_[at(link)];
      if (level_[at(w)] >= 0 || room_[at(link ^ 1)] <= kTiny) continue;
      level_[at(w)] = level_[at(v)] + 1;
      if (w == source) return true;
      queue_.push_back(w);
    }
  }
  return false;
}

double MaxFlow::push(int node, int sink, double limit) {
  if (node == sink) return limit;
  double sent = 0;
  for (int& j = next_[at(node)]; j < begin_[at(node) + 1]; ++j) {
    const int link = links_[at(j)];
    const int w = to_[at(link)];
    if (level_[at(w)] + 1 != level_[at(node)] || level_[at(w)] < 0 || room_[at(link)] <= kTiny)
      continue;
    const double more = push(w, sink, std::min(limit - sent, room_[at(link)]));
    if (more <= 0) continue;
    room_[at(link)] -= more;
    room_[at(link ^ 1)] += more;
    sent += more;
    if (limit - sent <= kTiny) return sent;
  }
  level_[at(node)] = -1;
  return sent;
}

double MaxFlow::run(int source, int sink, const std::vector<double>& capacity, double enough) {
  room_.assign(2 * capacity.size(), 0.0);
  for (std::size_t i = 0; i < capacity.size(); ++i) room_[2 * i] = std::max(0.0, capacity[i]);
  source_ = source;
  sink_ = sink;
  return augment(0, enough);
}

double MaxFlow::widen(double total, double extra, const std::vector<double>& capacity,
                      double enough) {
  for (std::size_t i = 0; i < capacity.size(); ++i)
    if (capacity[i] >= 0) room_[2 * i] += extra;
  return augment(total, enough);
}

double MaxFlow::augment(double total, double enough) {
  const int source = source_, sink = sink_;
  while (total < enough - kTiny && label(source, sink)) {
    next_.assign(begin_.begin(), begin_.end() - 1);
    const double sent = push(source, sink, enough - total);
    if (sent <= kTiny) break;
    total += sent;
  }
  return total;
}

std::vector<char> MaxFlow::reached_from(int node, bool backwards) const {
  std::vector<char> side(at(node_count_), 0);
  std::vector<int> stack{node};
  side[at(node)] = 1;
  while (!stack.empty()) {
    const int v = stack.back();
    stack.pop_back();
    for (int j = begin_[at(v)]; j < begin_[at(v) + 1]; ++j) {
      const int link = links_[at(j)];
      const int w = to_[at(link)];
      if (room_[at(backwards ? link ^ 1 : link)] <= kTiny || side[at(w)]) continue;
      side[at(w)] = 1;
      stack.push_back(w);
    }
  }
  return side;
}

std::vector<char> MaxFlow::source_side() const { return reached_from(source_, false); }

std::vector<char> MaxFlow::sink_side() const { return reached_from(sink_, true); }

}  // namespace roomloom::network
