#include "route/model.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace roomloom::route {
namespace {

constexpr double kSquareMillimetres = 1e6;  ///< loads are told to the solver in these
constexpr std::size_t kMostClasses = 64;

double total_area_m2(const Setting& setting) {
  double total = 0;
  for (const RunNeeds& run : setting.runs) total += run.area_m2;
  return total;
}

/// One class a run where there are few enough; else runs of one service and diameter share one,
/// the last class taking what is left over, and hubs are not used.
struct Kinds {
  bool one_a_run = false;
  std::vector<std::pair<std::uint32_t, double>> of_class;
  std::vector<int> of_run;
};

Kinds find_kinds(const Setting& setting) {
  Kinds kinds;
  kinds.one_a_run = setting.runs.size() <= kMostClasses;
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    const RunNeeds& run = setting.runs[r];
    const std::pair key(run.service, run.diameter_m);
    if (kinds.one_a_run) {
      kinds.of_class.push_back(key);
      kinds.of_run.push_back(static_cast<int>(r));
      continue;
    }
    auto found = std::find(kinds.of_class.begin(), kinds.of_class.end(), key);
    if (found == kinds.of_class.end() && kinds.of_class.size() + 1 < kMostClasses) {
      kinds.of_class.push_back(key);
      found = kinds.of_class.end() - 1;
    }
    kinds.of_run.push_back(static_cast<int>(found - kinds.of_class.begin()));
  }
  return kinds;
}

std::uint64_t closed_kinds(const Link& link, const Kinds& kinds) {
  std::uint64_t bits = 0;
  for (std::size_t i = 0; i < kinds.of_class.size(); ++i) {
    const auto& [service, diameter] = kinds.of_class[i];
    if ((link.closed_to & service) != 0 || diameter > link.largest_diameter_m + 1e-9)
      bits |= std::uint64_t{1} << i;
  }
  return bits;
}

/// Charges that one link alone draws on are one charge to the solver.
class ChargeBook {
 public:
  ChargeBook(const Setting& setting, const LinkGraph& graph, network::Problem& problem)
      : setting_(setting), problem_(problem) {
    for (const Link& link : graph.links)
      for (const int charge : link.charges) ++users_[charge];
  }
  std::vector<int> of_link(const Link& link, double extra) {
    std::vector<int> result;
    double own = extra;
    for (const int charge : link.charges) {
      const double price = setting_.tracks.charges[static_cast<std::size_t>(charge)].price;
      if (users_[charge] == 1) {
        own += price;
        continue;
      }
      const auto [found, added] = shared_.try_emplace(charge, -1);
      if (added) found->second = add(price);
      result.push_back(found->second);
    }
    if (own > 0) result.push_back(add(own));
    return result;
  }
  int add(double price) {
    problem_.charges.push_back({price});
    return static_cast<int>(problem_.charges.size()) - 1;
  }

 private:
  const Setting& setting_;
  network::Problem& problem_;
  std::map<int, int> users_, shared_;
};

void add_link(const Kinds& kinds, double all_m2, int index, ChargeBook& book, Model& model) {
  const Link& link = model.graph.links[static_cast<std::size_t>(index)];
  network::Edge edge;
  edge.a = link.a;
  edge.b = link.b;
  edge.cost = edge.length = link.length_m;
  if (link.per_run_cost > 0)
    edge.class_cost.assign(static_cast<std::size_t>(model.problem.class_count), link.per_run_cost);
  edge.forbidden_classes = closed_kinds(link, kinds);
  if (link.capacity_m2 > 0) edge.capacity = link.capacity_m2 * kSquareMillimetres;
  edge.charges = book.of_link(link, link.offers.size() == 1 ? link.offers[0].price : 0);
  if (link.offers.size() < 2) {
    model.problem.edges.push_back(edge);
    model.meaning.push_back({index, -1, -1, 0});
    return;
  }
  for (const SizeOffer& offer : link.offers) {
    network::Edge sized = edge;
    sized.charges.push_back(book.add(offer.price));
    if (offer.capacity_m2 < all_m2 * (1 - 1e-9))
      sized.capacity = std::min(edge.capacity, offer.capacity_m2 * kSquareMillimetres);
    model.problem.edges.push_back(sized);
    model.meaning.push_back({index, -1, -1, offer.capacity_m2});
  }
}

void add_hub(const Setting& setting, int hub, Model& model) {
  const int node = model.problem.node_count++;
  const std::vector<HubEdge>& exits = model.graph.hubs[static_cast<std::size_t>(hub)].edges;
  for (std::size_t i = 0; i < exits.size(); ++i) {
    network::Edge edge;
    edge.a = node;
    edge.b = exits[i].node;
    edge.one_way = true;
    edge.length = network::kUnlimited;
    edge.class_cost.assign(static_cast<std::size_t>(model.problem.class_count), 0);
    edge.forbidden_classes = 0;
    for (std::size_t run = 0; run < exits[i].by_run.size(); ++run) {
      const int track = exits[i].by_run[run];
      if (track < 0 || model.graph.hub_of_run[run] != hub) {
        edge.forbidden_classes |= std::uint64_t{1} << run;
        continue;
      }
      edge.class_cost[run] = run_cost(setting, static_cast<int>(run), track);
      edge.length =
          std::min(edge.length, setting.tracks.edges[static_cast<std::size_t>(track)].length_m);
    }
    if (!std::isfinite(edge.length)) edge.length = 0;
    model.problem.edges.push_back(edge);
    model.meaning.push_back({-1, hub, static_cast<int>(i), 0});
  }
}

/// Network edges closed to one run by its own rules.
std::vector<int> closed_to_run(const Setting& setting, const Kinds& kinds, const Model& model,
                               std::size_t run) {
  std::vector<int> closed;
  const RunNeeds& needs = setting.runs[run];
  const bool own_mask = kinds.of_run[run] >= static_cast<int>(kinds.of_class.size());
  if (needs.forbidden.empty() && !own_mask) return closed;
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    if (model.meaning[e].link < 0) continue;
    const Link& link = model.graph.links[static_cast<std::size_t>(model.meaning[e].link)];
    const bool open = std::all_of(link.steps.begin(), link.steps.end(), [&](const Step& step) {
      return may_use(setting, static_cast<int>(run), step.edge);
    });
    if (!open) closed.push_back(static_cast<int>(e));
  }
  return closed;
}

/// From the hub, if the run has one, else from its `from`; leg by leg.
void add_commodities(const Setting& setting, const Kinds& kinds, const std::vector<int>& hub_node,
                     Model& model) {
  for (std::size_t run = 0; run < setting.runs.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    if (needs.from_node < 0 || needs.to_node < 0) continue;
    std::vector<int> stops = {needs.from_node};
    stops.insert(stops.end(), needs.via_nodes.begin(), needs.via_nodes.end());
    stops.push_back(needs.to_node);
    if (model.graph.flipped[run] != 0) std::reverse(stops.begin(), stops.end());
    if (model.graph.hub_of_run[run] >= 0)
      stops[0] = hub_node[static_cast<std::size_t>(model.graph.hub_of_run[run])];
    network::Commodity commodity;
    commodity.class_index = kinds.of_run[run];
    commodity.rate = needs.rate;
    commodity.load = needs.area_m2 * kSquareMillimetres;
    if (needs.greatest_length_m > 0) commodity.max_length = needs.greatest_length_m;
    commodity.forbidden_edges = closed_to_run(setting, kinds, model, run);
    for (std::size_t i = 1; i < stops.size(); ++i) {
      commodity.source = stops[i - 1];
      commodity.target = stops[i];
      model.problem.commodities.push_back(commodity);
      model.commodity_run.push_back(static_cast<int>(run));
    }
  }
}

std::string model_text(const Setting& setting, const Model& model) {
  return "fixed-charge network design on the track graph of " +
         std::to_string(setting.tracks.nodes.size()) + " nodes and " +
         std::to_string(setting.tracks.edges.size()) + " edges (" +
         std::to_string(model.problem.edges.size()) +
         " once joined and with raceway sizes as parallel options), bends and fittings as edges "
         "between a node's axis copies";
}

}  // namespace

Model make_model(const Setting& setting) {
  Model model;
  const Kinds kinds = find_kinds(setting);
  const double all_m2 = total_area_m2(setting);
  model.graph = make_links(setting, all_m2, kinds.one_a_run);
  model.problem.node_count = static_cast<int>(setting.tracks.nodes.size());
  model.problem.class_count =
      std::max(1, static_cast<int>(kinds.of_class.size()) + (kinds.one_a_run ? 0 : 1));
  ChargeBook book(setting, model.graph, model.problem);
  for (std::size_t i = 0; i < model.graph.links.size(); ++i)
    add_link(kinds, all_m2, static_cast<int>(i), book, model);
  std::vector<int> hub_node;
  for (std::size_t i = 0; i < model.graph.hubs.size(); ++i) {
    hub_node.push_back(model.problem.node_count);
    add_hub(setting, static_cast<int>(i), model);
  }
  add_commodities(setting, kinds, hub_node, model);
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

namespace {

/// Looks up network edges by the track edges they stand for.
struct Lookup {
  std::map<int, int> link_of_edge;                 ///< track edge -> link
  std::map<int, std::vector<int>> of_link;         ///< link -> network edges, by capacity
  std::map<std::pair<int, int>, int> of_hub_exit;  ///< (hub, node) -> network edge
};

Lookup make_lookup(const Model& model) {
  Lookup lookup;
  for (std::size_t i = 0; i < model.graph.links.size(); ++i)
    for (const Step& step : model.graph.links[i].steps)
      lookup.link_of_edge[step.edge] = static_cast<int>(i);
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    const Meaning& meaning = model.meaning[e];
    if (meaning.link >= 0)
      lookup.of_link[meaning.link].push_back(static_cast<int>(e));
    else
      lookup.of_hub_exit[{meaning.hub, model.problem.edges[e].b}] = static_cast<int>(e);
  }
  return lookup;
}

int offered_for(const Model& model, const std::vector<int>& offers, double load_m2) {
  for (const int e : offers) {
    const double capacity = model.meaning[static_cast<std::size_t>(e)].capacity_m2;
    if (capacity <= 0 || capacity >= load_m2 * (1 - 1e-9)) return e;
  }
  return offers.back();
}

/// A way in the source's direction, as network steps; empty when it leaves the solver's graph.
std::vector<network::Step> network_steps(const Setting& setting, const Model& model,
                                         const Lookup& lookup, const std::map<int, double>& load,
                                         std::size_t run, const std::vector<Step>& way) {
  std::vector<network::Step> steps;
  std::size_t i = 0;
  const int hub = model.graph.hub_of_run[run];
  if (hub >= 0) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(way[0].edge)];
    const auto found = lookup.of_hub_exit.find({hub, way[0].forward ? edge.b : edge.a});
    if (found == lookup.of_hub_exit.end()) return {};
    steps.push_back({found->second, true});
    i = 1;
  }
  while (i < way.size()) {
    const auto found = lookup.link_of_edge.find(way[i].edge);
    if (found == lookup.link_of_edge.end()) return {};
    const Link& link = model.graph.links[static_cast<std::size_t>(found->second)];
    const bool forward = way[i] == link.steps.front();
    steps.push_back(
        {offered_for(model, lookup.of_link.at(found->second), load.at(way[i].edge)), forward});
    i += link.steps.size();
  }
  return steps;
}

}  // namespace

network::Solution as_solution(const Setting& setting, const Model& model, const Ways& ways) {
  const Lookup lookup = make_lookup(model);
  std::map<int, double> load;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) load[step.edge] += setting.runs[run].area_m2;
  network::Solution solution;
  for (const int run : model.commodity_run) {
    const auto r = static_cast<std::size_t>(run);
    network::Route route;
    if (!ways[r].empty() && setting.runs[r].via_nodes.empty())
      route.steps = network_steps(setting, model, lookup, load, r,
                                  model.graph.flipped[r] != 0 ? reversed(ways[r]) : ways[r]);
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
    for (const network::Step& step : solution.routes[k].steps) {
      const Meaning& meaning = model.meaning[static_cast<std::size_t>(step.edge)];
      if (meaning.link < 0) {
        const HubEdge& exit = model.graph.hubs[static_cast<std::size_t>(meaning.hub)]
                                  .edges[static_cast<std::size_t>(meaning.exit)];
        ways[run].push_back({exit.by_run[run], exit.forward[run] != 0});
        continue;
      }
      const std::vector<Step>& steps =
          model.graph.links[static_cast<std::size_t>(meaning.link)].steps;
      const std::vector<Step> passed = step.forward ? steps : reversed(steps);
      ways[run].insert(ways[run].end(), passed.begin(), passed.end());
    }
  }
  for (std::size_t run = 0; run < ways.size(); ++run) {
    if (broken[run]) ways[run].clear();
    if (model.graph.flipped[run] != 0) ways[run] = reversed(ways[run]);
  }
  return ways;
}

}  // namespace roomloom::route
