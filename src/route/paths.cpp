#include "route/paths.h"

#include <algorithm>
#include <queue>
#include <set>

namespace roomloom::route {

namespace {

/// Nodes through which no way to the goal can cost at most `limit` are left out.
struct Within {
  const std::vector<double>* least_to_goal = nullptr;  ///< by node; null = nothing is left out
  double limit = kClosed;

  bool holds(double so_far, int node) const {
    return least_to_goal == nullptr ||
           so_far + (*least_to_goal)[static_cast<std::size_t>(node)] <= limit;
  }
};

template <typename Cost>
Search search_within(const Setting& setting, int node, const Cost& cost, int goal,
                     const Within& within) {
  const std::size_t count = setting.tracks.nodes.size();
  Search search{std::vector<double>(count, kClosed), std::vector<Step>(count)};
  using Entry = std::pair<double, int>;
  std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
  search.away[static_cast<std::size_t>(node)] = 0;
  open.emplace(0, node);
  while (!open.empty()) {
    const auto [so_far, here] = open.top();
    open.pop();
    if (so_far > search.away[static_cast<std::size_t>(here)]) continue;
    if (here == goal) break;
    if (here != node && setting.is_terminal[static_cast<std::size_t>(here)] != 0) continue;
    for (const auto& [e, next, forward] : setting.edges_at[static_cast<std::size_t>(here)]) {
      double& known = search.away[static_cast<std::size_t>(next)];
      if (known <= so_far) continue;  // as most are, seen from behind: what it costs is no matter
      if (!within.holds(so_far, next)) continue;
      const double more = cost(e);
      if (more >= kClosed || so_far + more >= known - 1e-12) continue;
      if (!within.holds(so_far + more, next)) continue;
      known = so_far + more;
      search.by[static_cast<std::size_t>(next)] = {e, forward};
      open.emplace(known, next);
    }
  }
  return search;
}

}  // namespace

Search search_from(const Setting& setting, int node, const EdgeCost& cost, int goal) {
  return search_within(setting, node, cost, goal, {});
}

std::optional<std::vector<Step>> way_to(const Setting& setting, const Search& search, int node) {
  if (search.away[static_cast<std::size_t>(node)] >= kClosed) return std::nullopt;
  std::vector<Step> way;
  for (Step step = search.by[static_cast<std::size_t>(node)]; step.edge >= 0;
       step = search.by[static_cast<std::size_t>(node)]) {
    way.push_back(step);
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
    node = step.forward ? edge.a : edge.b;
  }
  std::reverse(way.begin(), way.end());
  return way;
}

bool closed_to_leg(const RunNeeds& needs, std::size_t leg, int edge) {
  if (leg < needs.leg_only.size() && needs.leg_only[leg] >= 0) return edge != needs.leg_only[leg];
  return leg < needs.leg_closed.size() &&
         std::binary_search(needs.leg_closed[leg].begin(), needs.leg_closed[leg].end(), edge);
}

std::vector<Step> way_by_legs(const Setting& setting, int run, const EdgeCost& cost) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  if (needs.from_node < 0 || needs.to_node < 0) return {};
  std::vector<int> stops = needs.via_nodes;
  stops.push_back(needs.to_node);
  std::vector<Step> way;
  int here = needs.from_node;
  for (std::size_t leg = 0; leg < stops.size(); ++leg) {
    const int stop = stops[leg];
    const Search search = search_from(
        setting, here,
        [&](int edge) { return closed_to_leg(needs, leg, edge) ? kClosed : cost(edge); }, stop);
    const auto piece = way_to(setting, search, stop);
    if (!piece) return {};
    way.insert(way.end(), piece->begin(), piece->end());
    here = stop;
  }
  return way;
}

std::vector<Step> reversed(std::vector<Step> way) {
  std::reverse(way.begin(), way.end());
  for (Step& step : way) step.forward = !step.forward;
  return way;
}

Occupation::Occupation(const Setting& setting)
    : setting_(setting),
      load_(setting.tracks.edges.size(), 0),
      charge_users_(setting.tracks.charges.size(), 0),
      lying_(setting.spares.empty() ? 0 : setting.tracks.edges.size()) {}

void Occupation::add(int run, const std::vector<Step>& way) {
  for (const Step& step : way) {
    const auto e = static_cast<std::size_t>(step.edge);
    load_[e] += setting_.runs[static_cast<std::size_t>(run)].area_m2;
    if (!lying_.empty()) lying_[e].push_back(run);
    for (const int charge : setting_.tracks.edges[e].charges)
      ++charge_users_[static_cast<std::size_t>(charge)];
  }
}

void Occupation::remove(int run, const std::vector<Step>& way) {
  for (const Step& step : way) {
    const auto e = static_cast<std::size_t>(step.edge);
    load_[e] = std::max(0.0, load_[e] - setting_.runs[static_cast<std::size_t>(run)].area_m2);
    if (!lying_.empty()) lying_[e].erase(std::find(lying_[e].begin(), lying_[e].end(), run));
    for (const int charge : setting_.tracks.edges[e].charges)
      --charge_users_[static_cast<std::size_t>(charge)];
  }
}

double Occupation::marginal_cost(int run, int edge) const {
  if (!may_use(setting_, run, edge)) return kClosed;
  const auto e = static_cast<std::size_t>(edge);
  const TrackEdge& track = setting_.tracks.edges[e];
  const double area = setting_.runs[static_cast<std::size_t>(run)].area_m2;
  if (track.capacity_m2 > 0 && load_[e] + area > track.capacity_m2 * (1 + 1e-9)) return kClosed;
  double cost = run_cost(setting_, run, edge);
  const RunNeeds& needs = setting_.runs[static_cast<std::size_t>(run)];
  if (!needs.on_written.empty() && needs.on_written[e] == 0)
    cost += needs.moving_price * track.length_m;
  for (const int charge : track.charges)
    if (charge_users_[static_cast<std::size_t>(charge)] == 0)
      cost += setting_.tracks.charges[static_cast<std::size_t>(charge)].price;
  return cost + added_size_price(track, e, run);
}

double Occupation::spare_on(std::size_t edge, int run) const {
  if (lying_.empty()) return 0;
  std::vector<int> runs = lying_[edge];
  if (run >= 0) runs.push_back(run);
  return spare_m2(setting_, runs);
}

double Occupation::added_size_price(const TrackEdge& track, std::size_t edge, int run) const {
  if (track.options.empty()) return 0;
  const double area = setting_.runs[static_cast<std::size_t>(run)].area_m2;
  const double with =
      choose_size(setting_.tracks, track, load_[edge] + area + spare_on(edge, run)).price;
  if (load_[edge] <= 0) return with;
  const double now = choose_size(setting_.tracks, track, load_[edge] + spare_on(edge, -1)).price;
  return std::max(0.0, with - now);
}

double Occupation::way_cost(int run, const std::vector<Step>& way) const {
  double cost = 0;
  std::set<int> opened;
  for (const Step& step : way) {
    const double marginal = marginal_cost(run, step.edge);
    if (marginal >= kClosed) return kClosed;
    cost += marginal;
    for (const int charge : setting_.tracks.edges[static_cast<std::size_t>(step.edge)].charges)
      if (charge_users_[static_cast<std::size_t>(charge)] == 0 && !opened.insert(charge).second)
        cost -= setting_.tracks.charges[static_cast<std::size_t>(charge)].price;
  }
  return cost;
}

namespace {

/// The sum of what the edges of a way cost; kClosed if it is closed or empty.
template <typename Cost>
double sum_over(const std::vector<Step>& way, const Cost& cost) {
  double sum = way.empty() ? kClosed : 0;
  for (const Step& step : way) {
    const double more = cost(step.edge);
    if (more >= kClosed) return kClosed;
    sum += more;
  }
  return sum;
}

/// @param metre_price  what a metre weighs more
/// @param known  a way of the run, to which one that costs more need not be found; may be empty
std::vector<Step> cheapest(const Setting& setting, const Occupation& occupation, int run,
                           double metre_price = 0, const std::vector<Step>& known = {}) {
  const auto cost = [&](int edge) {
    const double marginal = occupation.marginal_cost(run, edge);
    if (marginal >= kClosed) return kClosed;
    return marginal + metre_price * setting.tracks.edges[static_cast<std::size_t>(edge)].length_m;
  };
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  if (!needs.via_nodes.empty() || needs.least.to_end.empty())
    return way_by_legs(setting, run, cost);
  constexpr double kRounding = 1e-9;
  const double limit = std::min(sum_over(known, cost), sum_over(needs.least.steps, cost));
  const Search search = search_within(setting, needs.from_node, cost, needs.to_node,
                                      {&needs.least.to_end, limit * (1 + kRounding) + kRounding});
  return way_to(setting, search, needs.to_node).value_or(std::vector<Step>{});
}

}  // namespace

double length_of(const Setting& setting, const std::vector<Step>& way) {
  double sum = 0;
  for (const Step& step : way)
    sum += setting.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
  return sum;
}

double too_long_m(const Setting& setting, int run, const std::vector<Step>& way) {
  const double greatest = setting.runs[static_cast<std::size_t>(run)].greatest_length_m;
  if (greatest <= 0) return 0;
  const double over = length_of(setting, way) - greatest * (1 + 1e-9);
  return std::max(0.0, over);
}

namespace {

/// The cheapest way found that the cable reaches; empty if even the shortest is too long.
std::vector<Step> within_reach(const Setting& setting, const Occupation& occupation, int run) {
  constexpr double kDearest = 1e5;
  constexpr int kHalvings = 12;
  const auto fits = [&](const std::vector<Step>& way) {
    return !way.empty() && too_long_m(setting, run, way) <= 0;
  };
  std::vector<Step> best;
  double high = 0.01;
  for (; high < kDearest && !fits(best); high *= 4) best = cheapest(setting, occupation, run, high);
  if (!fits(best)) return {};
  double low = 0;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    std::vector<Step> way = cheapest(setting, occupation, run, middle);
    (fits(way) ? high : low) = middle;
    if (fits(way) && occupation.way_cost(run, way) < occupation.way_cost(run, best))
      best = std::move(way);
  }
  return best;
}

}  // namespace

void lift_hopeless_lengths(Setting& setting) {
  constexpr double kOnlyLength = 1e5;
  const Occupation nobody(setting);
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    const int run = static_cast<int>(r);
    RunNeeds& needs = setting.runs[r];
    if (needs.greatest_length_m <= 0 || keeps_its_way(setting, run)) continue;
    const std::vector<Step> way = cheapest(setting, nobody, run, kOnlyLength);
    if (way.empty() || too_long_m(setting, run, way) <= 0) continue;
    needs.out_of_reach_m = needs.greatest_length_m;
    needs.greatest_length_m = 0;
  }
}

Ways shortened_ways(const Setting& setting, Ways ways) {
  Occupation occupation(setting);
  for (std::size_t run = 0; run < ways.size(); ++run)
    occupation.add(static_cast<int>(run), ways[run]);
  for (std::size_t r = 0; r < ways.size(); ++r) {
    const int run = static_cast<int>(r);
    if (too_long_m(setting, run, ways[r]) <= 0 || setting.runs[r].lies) continue;
    occupation.remove(run, ways[r]);
    std::vector<Step> way = within_reach(setting, occupation, run);
    if (!way.empty()) ways[r] = std::move(way);
    occupation.add(run, ways[r]);
  }
  return ways;
}

bool keeps_its_way(const Setting& setting, int run) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  return needs.lies || needs.stays;
}

void settle_simple_runs(Setting& setting) {
  constexpr std::size_t kMostKept = 4'000'000;  // numbers: 32 megabytes
  const bool keeps = setting.runs.size() * setting.tracks.nodes.size() <= kMostKept;
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    RunNeeds& needs = setting.runs[r];
    if (needs.from_node < 0 || needs.to_node < 0 || !needs.via_nodes.empty()) continue;
    if (keeps_its_way(setting, static_cast<int>(r))) continue;
    const int run = static_cast<int>(r);
    const auto cost = [&](int edge) {
      return may_use(setting, run, edge) ? run_cost(setting, run, edge) : kClosed;
    };
    Search search = search_within(setting, needs.to_node, cost, needs.from_node, {});
    const auto way = way_to(setting, search, needs.from_node);
    if (!way) continue;
    if (keeps) {
      // Where the search has not been is no nearer than where it ended.
      const double farthest = search.away[static_cast<std::size_t>(needs.from_node)];
      for (double& away : search.away) away = std::min(away, farthest);
      needs.least = {std::move(search.away), reversed(*way)};
    }
    const bool free = std::all_of(way->begin(), way->end(), [&](const Step& step) {
      const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
      return edge.charges.empty() && edge.options.empty() && edge.capacity_m2 <= 0;
    });
    if (free) needs.settled = reversed(*way);
  }
}

Ways separate_ways(const Setting& told) {
  Ways ways;
  Setting setting = told;
  for (RunNeeds& run : setting.runs) run.moving_price = 0;
  const Occupation nobody(setting);
  for (std::size_t run = 0; run < setting.runs.size(); ++run)
    ways.push_back(setting.runs[run].lies || !setting.runs[run].lying.empty()
                       ? setting.runs[run].settled
                       : cheapest(setting, nobody, static_cast<int>(run)));
  return ways;
}

Ways written_ways(const Setting& setting) {
  Ways ways;
  Occupation occupation(setting);
  for (std::size_t run = 0; run < setting.runs.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    ways.push_back(needs.lies ? needs.settled : needs.written);
    occupation.add(static_cast<int>(run), ways.back());
  }
  for (std::size_t run = 0; run < ways.size(); ++run) {
    if (!ways[run].empty()) continue;
    ways[run] = cheapest(setting, occupation, static_cast<int>(run));
    occupation.add(static_cast<int>(run), ways[run]);
  }
  return ways;
}

Ways improved_ways(const Setting& setting, Ways ways, int rounds) {
  Occupation occupation(setting);
  for (std::size_t run = 0; run < ways.size(); ++run)
    occupation.add(static_cast<int>(run), ways[run]);
  for (int round = 0; round < rounds; ++round) {
    bool changed = false;
    for (std::size_t run = 0; run < ways.size(); ++run) {
      const int k = static_cast<int>(run);
      if (keeps_its_way(setting, k)) continue;
      occupation.remove(k, ways[run]);
      const double before = ways[run].empty() ? kClosed : occupation.way_cost(k, ways[run]);
      std::vector<Step> other = cheapest(setting, occupation, k, 0, ways[run]);
      const bool reaches =
          too_long_m(setting, k, other) <= too_long_m(setting, k, ways[run]) + 1e-9;
      if (!other.empty() && (reaches || ways[run].empty()) &&
          occupation.way_cost(k, other) < before - 1e-9) {
        ways[run] = std::move(other);
        changed = true;
      }
      occupation.add(k, ways[run]);
    }
    if (!changed) break;
  }
  return ways;
}

}  // namespace roomloom::route
