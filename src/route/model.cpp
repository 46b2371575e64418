#include "route/model.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace roomloom::route {
namespace {

constexpr double kSquareMillimetres = 1e6;  ///< loads are told to the solver in these
constexpr int kMostSideBySide = 8;

double total_area_m2(const Setting& setting) {
  double total = 0;
  for (const RunNeeds& run : setting.runs) total += run.area_m2;
  return total;
}

/// Runs of one service and diameter are alike to the masks. The solver takes 64 kinds at most; the
/// rest share the last kind and get their masks edge by edge.
struct Kinds {
  std::vector<std::pair<std::uint32_t, double>> of_class;
  std::vector<int> of_run;
};

Kinds find_kinds(const Setting& setting) {
  Kinds kinds;
  for (const RunNeeds& run : setting.runs) {
    const std::pair key(run.service, run.diameter_m);
    auto found = std::find(kinds.of_class.begin(), kinds.of_class.end(), key);
    if (found == kinds.of_class.end() && kinds.of_class.size() < 63) {
      kinds.of_class.push_back(key);
      found = kinds.of_class.end() - 1;
    }
    kinds.of_run.push_back(static_cast<int>(found - kinds.of_class.begin()));
  }
  return kinds;
}

struct SizeOffer {
  int option = -1, count = 1;
  double capacity_m2 = 0, price = 0;
};

/// The sizes worth offering: no other is both cheaper and larger, and the last holds all runs.
std::vector<SizeOffer> offers_of(const Setting& setting, const TrackEdge& edge, double all_m2) {
  std::vector<SizeOffer> offers;
  for (const int index : edge.options) {
    const EdgeOption& option = setting.tracks.options[static_cast<std::size_t>(index)];
    if (option.capacity_m2 > 0) offers.push_back({index, 1, option.capacity_m2, option.price});
  }
  if (offers.empty()) return offers;
  const SizeOffer largest = *std::max_element(
      offers.begin(), offers.end(),
      [](const SizeOffer& x, const SizeOffer& y) { return x.capacity_m2 < y.capacity_m2; });
  const int needed = static_cast<int>(std::ceil(all_m2 / largest.capacity_m2 - 1e-9));
  for (int count = 2; count <= std::min(needed, kMostSideBySide); ++count)
    offers.push_back({largest.option, count, count * largest.capacity_m2, count * largest.price});
  std::stable_sort(offers.begin(), offers.end(), [](const SizeOffer& x, const SizeOffer& y) {
    return std::pair(x.capacity_m2, x.price) < std::pair(y.capacity_m2, y.price);
  });
  std::vector<SizeOffer> kept;
  for (auto offer = offers.rbegin(); offer != offers.rend(); ++offer)
    if (kept.empty() || offer->price < kept.back().price) kept.push_back(*offer);
  std::reverse(kept.begin(), kept.end());
  const auto enough = std::find_if(kept.begin(), kept.end(), [&](const SizeOffer& offer) {
    return offer.capacity_m2 >= all_m2 * (1 - 1e-9);
  });
  if (enough != kept.end()) kept.erase(enough + 1, kept.end());
  return kept;
}

std::uint64_t closed_kinds(const TrackEdge& edge, const Kinds& kinds) {
  std::uint64_t bits = 0;
  for (std::size_t i = 0; i < kinds.of_class.size(); ++i) {
    const auto& [service, diameter] = kinds.of_class[i];
    if ((edge.closed_to & service) != 0 || diameter > edge.largest_diameter_m + 1e-9)
      bits |= std::uint64_t{1} << i;
  }
  return bits;
}

void add_edge(const Setting& setting, const Kinds& kinds, double all_m2, int index, Model& model) {
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(index)];
  network::Edge edge;
  edge.a = track.a;
  edge.b = track.b;
  edge.cost = edge.length = track.length_m;
  if (track.per_run_cost > 0)
    edge.class_cost.assign(static_cast<std::size_t>(model.problem.class_count), track.per_run_cost);
  edge.forbidden_classes = closed_kinds(track, kinds);
  edge.charges = track.charges;
  if (track.capacity_m2 > 0 && track.capacity_m2 < all_m2)
    edge.capacity = track.capacity_m2 * kSquareMillimetres;
  const auto put = [&](const network::Edge& made, int option, int count) {
    model.problem.edges.push_back(made);
    model.track_edge.push_back(index);
    model.option.push_back(option);
    model.count.push_back(count);
  };
  const std::vector<SizeOffer> offers = offers_of(setting, track, all_m2);
  if (offers.empty()) {
    put(edge, -1, 0);
    return;
  }
  for (std::size_t i = 0; i < offers.size(); ++i) {
    network::Edge sized = edge;
    sized.charges.push_back(static_cast<int>(model.problem.charges.size()));
    model.problem.charges.push_back({offers[i].price});
    if (offers[i].capacity_m2 < all_m2 * (1 - 1e-9))
      sized.capacity = offers[i].capacity_m2 * kSquareMillimetres;
    put(sized, offers[i].option, offers[i].count);
  }
}

void add_commodities(const Setting& setting, const Kinds& kinds, Model& model) {
  for (std::size_t run = 0; run < setting.runs.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    if (needs.from_node < 0 || needs.to_node < 0) continue;
    std::vector<int> stops = needs.via_nodes;
    stops.push_back(needs.to_node);
    int here = needs.from_node;
    for (const int stop : stops) {
      network::Commodity commodity;
      commodity.source = here;
      commodity.target = stop;
      commodity.class_index = kinds.of_run[run];
      commodity.rate = needs.rate;
      commodity.load = needs.area_m2 * kSquareMillimetres;
      if (needs.greatest_length_m > 0) commodity.max_length = needs.greatest_length_m;
      const bool own_mask = kinds.of_run[run] >= static_cast<int>(kinds.of_class.size());
      for (std::size_t e = 0; e < model.track_edge.size(); ++e) {
        const int track = model.track_edge[e];
        const bool named =
            !needs.forbidden.empty() && needs.forbidden[static_cast<std::size_t>(track)] != 0;
        if (named || (own_mask && !may_use(setting, static_cast<int>(run), track)))
          commodity.forbidden_edges.push_back(static_cast<int>(e));
      }
      model.problem.commodities.push_back(commodity);
      model.commodity_run.push_back(static_cast<int>(run));
      here = stop;
    }
  }
}

std::string model_text(const Setting& setting, const Model& model) {
  const Tracks& tracks = setting.tracks;
  std::string text = "fixed-charge network design on the track graph of " +
                     std::to_string(tracks.nodes.size()) + " nodes and " +
                     std::to_string(tracks.edges.size()) + " edges";
  text += ", bends and fittings as edges between a node's axis copies";
  if (model.problem.edges.size() > tracks.edges.size())
    text += ", raceway sizes as parallel options (" + std::to_string(model.problem.edges.size()) +
            " edges with them)";
  return text;
}

}  // namespace

Model make_model(const Setting& setting) {
  Model model;
  const Kinds kinds = find_kinds(setting);
  const double all_m2 = total_area_m2(setting);
  model.problem.node_count = static_cast<int>(setting.tracks.nodes.size());
  model.problem.class_count = static_cast<int>(kinds.of_class.size()) + 1;
  for (const Charge& charge : setting.tracks.charges)
    model.problem.charges.push_back({charge.price});
  for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e)
    add_edge(setting, kinds, all_m2, static_cast<int>(e), model);
  add_commodities(setting, kinds, model);
  model.text = model_text(setting, model);
  return model;
}

network::Effort effort_of(const RouteOptions& options) {
  network::Effort effort;
  effort.level = options.effort == RouteEffort::quick   ? network::EffortLevel::quick
                 : options.effort == RouteEffort::prove ? network::EffortLevel::prove
                                                        : network::EffortLevel::normal;
  if (options.seconds > 0) effort.time_limit_s = options.seconds;
  return effort;
}

network::Solution as_solution(const Setting& setting, const Model& model, const Ways& ways) {
  std::map<int, double> load;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) load[step.edge] += setting.runs[run].area_m2;
  std::map<std::pair<int, int>, int> edge_of_option;  // (track edge, option) with count 1
  std::map<int, std::vector<int>> edges_of;
  for (std::size_t e = 0; e < model.track_edge.size(); ++e)
    edges_of[model.track_edge[e]].push_back(static_cast<int>(e));
  network::Solution solution;
  std::vector<bool> done(ways.size(), false);
  for (const int run : model.commodity_run) {
    network::Route route;
    const auto r = static_cast<std::size_t>(run);
    // Legs of one run are not told apart: the whole way serves the first, the others start anew.
    if (!done[r] && setting.runs[r].via_nodes.empty())
      for (const Step& step : ways[r]) {
        const std::vector<int>& offers = edges_of[step.edge];
        int chosen = offers.back();
        for (const int e : offers)
          if (model.problem.edges[static_cast<std::size_t>(e)].capacity >=
              load[step.edge] * kSquareMillimetres * (1 - 1e-9)) {
            chosen = e;
            break;
          }
        route.steps.push_back({chosen, step.forward});
      }
    done[r] = true;
    route.reachable = !route.steps.empty();
    solution.routes.push_back(route);
  }
  return solution;
}

Ways as_ways(const Setting& setting, const Model& model, const network::Solution& solution) {
  Ways ways(setting.runs.size());
  std::vector<bool> broken(setting.runs.size(), false);
  for (std::size_t k = 0; k < model.commodity_run.size(); ++k) {
    const auto run = static_cast<std::size_t>(model.commodity_run[k]);
    if (!solution.routes[k].reachable) broken[run] = true;
    for (const network::Step& step : solution.routes[k].steps)
      ways[run].push_back({model.track_edge[static_cast<std::size_t>(step.edge)], step.forward});
  }
  for (std::size_t run = 0; run < ways.size(); ++run)
    if (broken[run]) ways[run].clear();
  return ways;
}

}  // namespace roomloom::route
