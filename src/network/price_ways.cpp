#include <cmath>
#include <map>
#include <unordered_map>
#include <utility>

#include "network/price_polish.h"

namespace roomloom::network {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

}  // namespace

/// Distances over costs alone, one a root and profile.
void PricePolish::find_lower_bounds() {
  std::map<std::pair<int, int>, int> known;
  for (const Demand& d : model_.demands) {
    const int plain = model_.profiles[at(d.profile)].plain;
    const auto [found, added] =
        known.emplace(std::pair(d.root, plain), static_cast<int>(labels_.size()));
    lower_of_demand_.push_back(found->second);
    if (!added) continue;
    std::vector<double> distance(at(model_.node_count), kInfinity);
    const std::vector<double>& cost = model_.profiles[at(plain)].cost;
    distance[at(d.root)] = 0;
    heap_.clear(0, 0);
    heap_.push(0.0, d.root);
    while (!heap_.empty()) {
      const auto [reached, node] = heap_.pop();
      if (reached > distance[at(node)]) continue;
      for (int i = model_.out.begin[at(node)]; i < model_.out.begin[at(node) + 1]; ++i) {
        const int arc = model_.out.arcs[at(i)], next = model_.head[at(arc)];
        const double far = reached + cost[at(arc)];
        if (far >= distance[at(next)]) continue;
        distance[at(next)] = far;
        heap_.push(far, next);
      }
    }
    std::vector<Label>& labels = labels_.emplace_back(at(model_.node_count));
    for (std::size_t v = 0; v < labels.size(); ++v) labels[v].lower = distance[v];
  }
}

void PricePolish::set_ways(const Permitted& permitted) {
  ways_.clear();
  prices_.assign(model_.demands.size(), {});
  length_.clear();
  std::unordered_map<std::string, int> known;  // by which arcs are open
  for (std::size_t k = 0; k < prices_.size(); ++k) {
    const std::vector<double>& cost = model_.profiles[at(model_.demands[k].profile)].cost;
    std::string open(permitted[k].begin(), permitted[k].end());
    for (std::size_t arc = 0; arc < open.size(); ++arc)
      if (std::isinf(cost[arc])) open[arc] = 0;
    const auto [found, added] = known.emplace(std::move(open), static_cast<int>(ways_.size()));
    if (added) ways_.push_back(ways_through(found->first));
    Prices& prices = prices_[k];
    prices.ways = found->second;
    const Ways& ways = ways_[at(prices.ways)];
    prices.first = static_cast<int>(length_.size());
    for (const Way& way : ways.list) length_.push_back(cost[at(way.arc)]);
  }
  pair_at_.assign(length_.size(), -1);
}

/// @param open  a flag an arc
PricePolish::Ways PricePolish::ways_through(const std::string& open) const {
  Ways ways;
  ways.at_arc.assign(at(model_.arc_count), -1);
  for (int node = 0; node < model_.node_count; ++node) {
    ways.begin.push_back(static_cast<int>(ways.list.size()));
    for (int i = model_.in.begin[at(node)]; i < model_.in.begin[at(node) + 1]; ++i) {
      const int arc = model_.in.arcs[at(i)];
      if (open[at(arc)] == 0) continue;
      ways.at_arc[at(arc)] = static_cast<int>(ways.list.size());
      ways.list.push_back({model_.tail(arc), arc});
    }
  }
  ways.begin.push_back(static_cast<int>(ways.list.size()));
  return ways;
}

}  // namespace roomloom::network
