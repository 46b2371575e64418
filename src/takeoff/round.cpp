#include "takeoff/round.h"

#include <algorithm>
#include <cstdint>
#include <map>
#include <queue>
#include <string_view>
#include <tuple>
#include <unordered_map>

#include "takeoff/cells.h"

namespace roomloom {
namespace {

constexpr double kWaysOfARoom = 30;

/// A state of more ways takes longer and is followed by more: it counts as many states.
double states_worth(std::size_t ways) {
  const double times = static_cast<double>(ways) / kWaysOfARoom;
  return std::max(1.0, times * times);
}

/// How far each way has come.
using Progress = std::vector<std::uint16_t>;

struct HashOfProgress {
  std::size_t operator()(const Progress& at) const {
    return std::hash<std::string_view>()(
        {reinterpret_cast<const char*>(at.data()), at.size() * sizeof(std::uint16_t)});
  }
};

/// Stops still due at a place.
struct Due {
  int spot = -1, count = 0;
};

/// What is due in the rest of a way, from each of its stops on.
std::vector<std::vector<Due>> dues_of(const std::vector<int>& way) {
  std::vector<std::vector<Due>> dues(way.size() + 1);
  for (std::size_t k = way.size(); k-- > 0;) {
    dues[k] = dues[k + 1];
    const auto same = std::find_if(dues[k].begin(), dues[k].end(),
                                   [&](const Due& due) { return due.spot == way[k]; });
    if (same == dues[k].end())
      dues[k].push_back({way[k], 1});
    else
      ++same->count;
  }
  return dues;
}

struct Node {
  Progress at;
  int by = -1;  ///< node before
  int spot = -1;
  int stops = 0, still = 0;  ///< made, and at least due
  double metres = 0;
};

class Search {
 public:
  Search(std::vector<std::vector<int>> ways, const std::vector<Spot>& spots,
         const std::set<int>& last)
      : ways_(std::move(ways)), spots_(spots), last_(last), due_(spots.size(), 0) {
    for (const std::vector<int>& way : ways_) dues_.push_back(dues_of(way));
  }

  struct Found {
    std::vector<int> stops;  ///< none where so many states did not do
    bool ends_well = false;
  };

  Found run(long most_states) {
    double states_left = static_cast<double>(most_states);
    add({Progress(ways_.size(), 0), -1, -1, 0, 0, 0});
    // A round opens a state at each of its stops.
    if (nodes_.front().still * states_worth(ways_.size()) > states_left) return {};
    int best = -1;  // of as few stops as can be, ending elsewhere
    while (!open_.empty()) {
      const auto [least, stops, metres, index] = open_.top();
      if (best >= 0 && least > nodes_[static_cast<std::size_t>(best)].stops) break;
      states_left -= states_worth(ways_.size());
      if (states_left < 0) return {best < 0 ? std::vector<int>{} : stops_to(best), false};
      open_.pop();
      const Node node = nodes_[static_cast<std::size_t>(index)];
      if (node.stops > fewest_[node.at]) continue;
      if (node.still > 0) {
        for (const int spot : ready(node.at)) step(index, spot);
      } else if (last_.empty() || last_.contains(node.spot)) {
        return {stops_to(index), true};
      } else if (best < 0) {
        best = index;
      }
    }
    return {best < 0 ? std::vector<int>{} : stops_to(best), true};
  }

 private:
  struct Entry {
    int least;  ///< stops in all, at least
    int stops;  ///< made
    double metres;
    int node;
    bool operator<(const Entry& o) const {  // the queue pops the greatest
      return std::tuple(-least, stops, -metres, -node) <
             std::tuple(-o.least, o.stops, -o.metres, -o.node);
    }
  };

  /// At each place the most that any one way still has to stop there.
  int still_due(const Progress& at) {
    int sum = 0;
    for (std::size_t w = 0; w < ways_.size(); ++w)
      for (const Due& own : dues_[w][at[w]]) {
        int& due = due_[static_cast<std::size_t>(own.spot)];
        if (own.count <= due) continue;
        if (due == 0) touched_.push_back(own.spot);
        sum += own.count - due;
        due = own.count;
      }
    for (const int spot : touched_) due_[static_cast<std::size_t>(spot)] = 0;
    touched_.clear();
    return sum;
  }

  std::vector<int> ready(const Progress& at) const {
    std::vector<int> spots;
    for (std::size_t w = 0; w < ways_.size(); ++w)
      if (at[w] < ways_[w].size()) spots.push_back(ways_[w][at[w]]);
    std::sort(spots.begin(), spots.end());
    spots.erase(std::unique(spots.begin(), spots.end()), spots.end());
    return spots;
  }

  void step(int from, int spot) {
    Node next = nodes_[static_cast<std::size_t>(from)];
    for (std::size_t w = 0; w < ways_.size(); ++w)
      if (next.at[w] < ways_[w].size() && ways_[w][next.at[w]] == spot) ++next.at[w];
    if (next.spot >= 0)
      next.metres += distance(element(spots_, next.spot).floor, element(spots_, spot).floor);
    next.by = from;
    next.spot = spot;
    ++next.stops;
    add(std::move(next));
  }

  void add(Node node) {
    node.still = still_due(node.at);
    // Finished rounds are told apart by where they end.
    const bool wanted = node.still == 0 && last_.contains(node.spot);
    const auto known = fewest_.find(node.at);
    if (known != fewest_.end() && known->second <= (wanted ? node.stops - 1 : node.stops)) return;
    fewest_[node.at] = node.stops;
    open_.push({node.stops + node.still, node.stops, node.metres, static_cast<int>(nodes_.size())});
    nodes_.push_back(std::move(node));
  }

  std::vector<int> stops_to(int index) const {
    std::vector<int> spots;
    for (; nodes_[static_cast<std::size_t>(index)].by >= 0;
         index = nodes_[static_cast<std::size_t>(index)].by)
      spots.push_back(nodes_[static_cast<std::size_t>(index)].spot);
    std::reverse(spots.begin(), spots.end());
    return spots;
  }

  std::vector<std::vector<int>> ways_;
  const std::vector<Spot>& spots_;
  const std::set<int>& last_;
  std::vector<Node> nodes_;
  std::priority_queue<Entry> open_;
  std::unordered_map<Progress, int, HashOfProgress> fewest_;
  std::vector<std::vector<std::vector<Due>>> dues_;  ///< of each way, from each of its stops on
  std::vector<int> due_, touched_;                   ///< while stops are counted
};

/// The ways that ask for something of their own, and each other place by itself.
std::vector<std::vector<int>> distinct_ways(const std::vector<int>& spots,
                                            const std::vector<int>& order,
                                            const std::vector<std::vector<int>>& way) {
  std::vector<std::vector<int>> ways;
  for (const int run : order)
    if (!element(way, run).empty()) ways.push_back(element(way, run));
  for (const int spot : spots) {
    const bool passed = std::any_of(ways.begin(), ways.end(), [&](const auto& one) {
      return std::find(one.begin(), one.end(), spot) != one.end();
    });
    if (!passed) ways.push_back({spot});
  }
  std::sort(ways.begin(), ways.end());
  ways.erase(std::unique(ways.begin(), ways.end()), ways.end());
  return ways;
}

/// The nearest place where nobody would have to be waited for, or where the fewest would.
std::vector<int> greedy_stops(const std::vector<std::vector<int>>& ways,
                              const std::vector<Spot>& spots) {
  std::vector<std::size_t> next(ways.size(), 0);
  std::vector<int> stops;
  while (true) {
    std::map<int, int> late, ready;
    for (std::size_t w = 0; w < ways.size(); ++w)
      for (std::size_t k = next[w]; k < ways[w].size(); ++k)
        ++(k == next[w] ? ready : late)[ways[w][k]];
    if (ready.empty()) return stops;
    const auto key = [&](int spot) {
      const double metres =
          stops.empty() ? 0
                        : distance(element(spots, stops.back()).floor, element(spots, spot).floor);
      return std::tuple(late.contains(spot) ? late.at(spot) : 0, metres, spot);
    };
    const auto best =
        std::min_element(ready.begin(), ready.end(),
                         [&](const auto& a, const auto& b) { return key(a.first) < key(b.first); });
    stops.push_back(best->first);
    for (std::size_t w = 0; w < ways.size(); ++w)
      if (next[w] < ways[w].size() && ways[w][next[w]] == best->first) ++next[w];
  }
}

}  // namespace

Round round_of(const std::vector<int>& spots, const std::vector<int>& order,
               const std::vector<std::vector<int>>& way, const std::vector<Spot>& all_spots,
               const std::set<int>& last, long most_states) {
  const std::vector<std::vector<int>> ways = distinct_ways(spots, order, way);
  Round round;
  auto [stops, ends_well] = Search(ways, all_spots, last).run(most_states);
  round.fewest = !stops.empty() || ways.empty();
  round.ends_well = round.fewest && ends_well;
  if (!round.fewest) stops = greedy_stops(ways, all_spots);
  std::vector<std::size_t> next(way.size(), 0);
  for (const int spot : stops) {
    Visit visit{spot, {}};
    for (const int run : order) {
      const auto& places = element(way, run);
      std::size_t& at = next[static_cast<std::size_t>(run)];
      if (at >= places.size() || places[at] != spot) continue;
      ++at;
      visit.runs.push_back(run);
    }
    round.visits.push_back(std::move(visit));
  }
  return round;
}

}  // namespace roomloom
