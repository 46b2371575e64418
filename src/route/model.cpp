#include "route/model.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

#include "route/layers.h"

namespace roomloom::route {
namespace {

constexpr double kSquareMillimetres = 1e6;  ///< loads are told to the solver in these
constexpr std::size_t kMostClasses = 64;    ///< of the solver

/// Runs of one cable and service are one class to the solver, which serves runs of one class and
/// one source best. Past 63 kinds the rest share the last class, whose masks are told run by run.
struct Kind {
  std::uint32_t service = 0;
  double diameter_m = 0, area_m2 = 0, rate = 0, cable_rate = 0;
  bool operator==(const Kind&) const = default;
};
struct Kinds {
  std::vector<Kind> of_class;
  std::vector<int> of_run;
};

/// The runs by what they are, so that the order in which a job lists them changes no plan.
std::vector<std::size_t> by_nature(const Setting& setting) {
  std::vector<std::size_t> order(setting.runs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto nature = [&](std::size_t i) {
    const RunNeeds& run = setting.runs[i];
    return std::tuple(run.from_node, run.to_node, run.service, run.diameter_m, run.cable_rate,
                      run.rate);
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return nature(a) < nature(b); });
  return order;
}

Kinds find_kinds(const Setting& setting) {
  Kinds kinds;
  kinds.of_run.resize(setting.runs.size());
  for (const std::size_t i : by_nature(setting)) {
    const RunNeeds& run = setting.runs[i];
    const Kind kind{run.service, run.diameter_m, run.area_m2, run.rate, run.cable_rate};
    auto found = std::find(kinds.of_class.begin(), kinds.of_class.end(), kind);
    if (found == kinds.of_class.end() && kinds.of_class.size() + 1 < kMostClasses) {
      kinds.of_class.push_back(kind);
      found = kinds.of_class.end() - 1;
    }
    kinds.of_run[i] = static_cast<int>(found - kinds.of_class.begin());
  }
  return kinds;
}

std::uint64_t closed_kinds(const Link& link, const Kinds& kinds) {
  std::uint64_t bits = 0;
  for (std::size_t i = 0; i < kinds.of_class.size(); ++i) {
    const Kind& kind = kinds.of_class[i];
    if ((link.closed_to & kind.service) != 0 || kind.diameter_m > link.largest_diameter_m + 1e-9)
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
  /// Of tracks that are copies: each charge as it is.
  int of_layers(const Layers& layers, int charge) {
    const auto [found, added] = shared_.try_emplace(charge, -1);
    if (!added) return found->second;
    found->second = add(layers.tracks.charges[static_cast<std::size_t>(charge)].price);
    problem_.charges.back().sizes = layers.sizes[static_cast<std::size_t>(charge)];
    for (network::ChargeSize& size : problem_.charges.back().sizes)
      size.capacity *= kSquareMillimetres;
    return found->second;
  }

 private:
  const Setting& setting_;
  network::Problem& problem_;
  std::map<int, int> users_, shared_;
};

void take_charges(const Link& link, ChargeBook& book, network::Edge& edge) {
  const double least = link.sizes.empty() ? 0 : link.sizes.front().price;
  edge.charges = book.of_link(link, least);
  for (const LoadPrice& size : link.sizes)
    edge.steps.push_back({size.load_m2 * kSquareMillimetres, size.price - least});
  if (edge.steps.size() == 1) edge.steps.clear();
}

void take_charges(const Layers& layers, int index, ChargeBook& book, network::Edge& edge) {
  const auto e = static_cast<std::size_t>(index);
  for (const int charge : layers.tracks.edges[e].charges)
    edge.charges.push_back(book.of_layers(layers, charge));
  edge.passes = layers.passes[e];
  edge.one_way = layers.one_way[e] != 0;
  edge.level = layers.level[e];
}

void add_link(const Setting& setting, const Kinds& kinds, int index, ChargeBook& book,
              Model& model) {
  const Link& link = model.graph.links[static_cast<std::size_t>(index)];
  network::Edge edge;
  edge.a = link.a;
  edge.b = link.b;
  edge.length = link.length_m;
  edge.cost = link.length_m - link.corded_m;
  if (link.per_run_cost > 0 || link.corded_m > 0)
    edge.class_cost.assign(static_cast<std::size_t>(model.problem.class_count), link.per_run_cost);
  for (std::size_t i = 0; link.corded_m > 0 && i < kinds.of_class.size(); ++i)
    edge.class_cost[i] += link.corded_m * kinds.of_class[i].cable_rate;
  edge.forbidden_classes = closed_kinds(link, kinds);
  if (link.capacity_m2 > 0) edge.capacity = link.capacity_m2 * kSquareMillimetres;
  if (setting.layers != nullptr)
    take_charges(*setting.layers, link.steps.front().edge, book, edge);
  else
    take_charges(link, book, edge);
  model.problem.edges.push_back(edge);
  model.meaning.push_back({index, -1, -1});
}

double port_cost(const Setting& setting, const HubEdge& exit, std::size_t run) {
  return exit.by_run[run] < 0 ? kClosed
                              : run_cost(setting, static_cast<int>(run), exit.by_run[run]);
}

double port_length(const Setting& setting, const HubEdge& exit, std::size_t run) {
  return setting.tracks.edges[static_cast<std::size_t>(exit.by_run[run])].length_m;
}

/// The shortest of all runs' ways from a hub's ports to one track node.
double least_port_length(const Setting& setting, const HubEdge& exit) {
  double least = kClosed;
  for (std::size_t run = 0; run < exit.by_run.size(); ++run)
    if (exit.by_run[run] >= 0) least = std::min(least, port_length(setting, exit, run));
  return least < kClosed ? least : 0;
}

/// What each run of a hub pays at least on its way from its port to the tracks.
std::vector<double> least_port_costs(const Setting& setting, const Hub& hub) {
  std::vector<double> least(setting.runs.size(), kClosed);
  for (std::size_t run = 0; run < least.size(); ++run)
    for (const HubEdge& exit : hub.edges)
      least[run] = std::min(least[run], port_cost(setting, exit, run));
  return least;
}

/// The ways from a hub's ports to one track node, as one edge. Each run's least is taken out and
/// paid beforehand; of what is left, a class pays the least of its runs, and each run the rest.
network::Edge hub_edge(const Setting& setting, const Kinds& kinds, const LinkGraph& graph, int hub,
                       const HubEdge& exit, const std::vector<double>& least) {
  const std::size_t classes = kinds.of_class.size() + 1;
  network::Edge edge;
  edge.b = exit.node;
  edge.one_way = true;
  edge.length = least_port_length(setting, exit);
  edge.class_cost.assign(classes, kClosed);
  for (std::size_t run = 0; run < exit.by_run.size(); ++run) {
    if (graph.hub_of_run[run] != hub || exit.by_run[run] < 0) continue;
    double& cost = edge.class_cost[static_cast<std::size_t>(kinds.of_run[run])];
    cost = std::min(cost, std::max(0.0, port_cost(setting, exit, run) - least[run]));
  }
  for (std::size_t i = 0; i < classes; ++i)
    if (edge.class_cost[i] >= kClosed) {
      edge.class_cost[i] = 0;
      edge.forbidden_classes |= std::uint64_t{1} << i;
    }
  return edge;
}

void add_hub(const Setting& setting, const Kinds& kinds, int hub, Model& model) {
  const int node = model.problem.node_count++;
  const Hub& ports = model.graph.hubs[static_cast<std::size_t>(hub)];
  const std::vector<double> least = least_port_costs(setting, ports);
  for (std::size_t i = 0; i < ports.edges.size(); ++i) {
    network::Edge edge = hub_edge(setting, kinds, model.graph, hub, ports.edges[i], least);
    edge.a = node;
    model.problem.edges.push_back(edge);
    model.meaning.push_back({-1, hub, static_cast<int>(i)});
  }
  model.least_port_cost.resize(setting.runs.size(), 0);
  for (std::size_t run = 0; run < least.size(); ++run)
    if (model.graph.hub_of_run[run] == hub && least[run] < kClosed)
      model.least_port_cost[run] = least[run];
}

/// What the run's own way from its port costs beyond what its class pays; exits that it has no way
/// to are closed to it.
void take_own_port(const Setting& setting, const Model& model, std::size_t run,
                   network::Commodity& commodity) {
  const int hub = model.graph.hub_of_run[run];
  if (hub < 0) return;
  double longer = kClosed;  // than the shortest of all, wherever it leaves
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    if (model.meaning[e].hub != hub) continue;
    const HubEdge& exit = model.graph.hubs[static_cast<std::size_t>(hub)]
                              .edges[static_cast<std::size_t>(model.meaning[e].exit)];
    if (exit.by_run[run] < 0) {
      commodity.forbidden_edges.push_back(static_cast<int>(e));
      continue;
    }
    const double of_class =
        model.problem.edges[e].class_cost[static_cast<std::size_t>(commodity.class_index)];
    const double beyond = port_cost(setting, exit, run) - model.least_port_cost[run] - of_class;
    if (beyond > 0) commodity.surcharges.push_back({static_cast<int>(e), beyond});
    longer = std::min(longer, port_length(setting, exit, run) - model.problem.edges[e].length);
  }
  if (longer < kClosed) commodity.max_length = std::max(0.0, commodity.max_length - longer);
}

/// Network edges that lead to other ends only, where one could go on from there.
std::vector<int> private_to_others(const Setting& setting, const Model& model, std::size_t run) {
  std::vector<int> closed;
  for (const int e : model.private_edges) {
    const Link& link =
        model.graph
            .links[static_cast<std::size_t>(model.meaning[static_cast<std::size_t>(e)].link)];
    const bool open = std::all_of(link.steps.begin(), link.steps.end(), [&](const Step& step) {
      return is_open_to_ends_of(setting, static_cast<int>(run),
                                setting.tracks.edges[static_cast<std::size_t>(step.edge)]);
    });
    if (!open) closed.push_back(e);
  }
  return closed;
}

/// Edges that are one end's own: of ends that have more than one, for past the tip at the end of a
/// single one nobody goes on, and plates, through which one could.
std::vector<int> private_edges(const Setting& setting, const Model& model) {
  std::map<int, std::vector<int>> of_end;
  std::set<int> passable;
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    if (model.meaning[e].link < 0) continue;
    const Link& link = model.graph.links[static_cast<std::size_t>(model.meaning[e].link)];
    int end = -1;
    bool plate = false;
    for (const Step& step : link.steps) {
      const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
      if (edge.only_end < 0) continue;
      end = edge.only_end;
      plate = plate || edge.crossing >= 0;
    }
    if (end < 0) continue;
    of_end[end].push_back(static_cast<int>(e));
    if (plate) passable.insert(end);
  }
  std::vector<int> edges;
  for (const auto& [end, own] : of_end)
    if (own.size() > 1 || passable.contains(end)) edges.insert(edges.end(), own.begin(), own.end());
  std::sort(edges.begin(), edges.end());
  return edges;
}

/// Network edges closed to one run by its own rules, or to one leg of its way.
std::vector<int> closed_to_run(const Setting& setting, const Kinds& kinds, const Model& model,
                               std::size_t run, std::size_t leg) {
  std::vector<int> closed;
  const RunNeeds& needs = setting.runs[run];
  const bool own_mask = kinds.of_run[run] >= static_cast<int>(kinds.of_class.size());
  if (needs.forbidden.empty() && !own_mask && needs.leg_closed.empty())
    return private_to_others(setting, model, run);
  for (std::size_t e = 0; e < model.meaning.size(); ++e) {
    if (model.meaning[e].link < 0) continue;
    const Link& link = model.graph.links[static_cast<std::size_t>(model.meaning[e].link)];
    const bool open = std::all_of(link.steps.begin(), link.steps.end(), [&](const Step& step) {
      return may_use(setting, static_cast<int>(run), step.edge) &&
             !closed_to_leg(needs, leg, step.edge);
    });
    if (!open) closed.push_back(static_cast<int>(e));
  }
  return closed;
}

/// From the hub, if the run has one, else from its `from`; leg by leg.
void add_commodities(const Setting& setting, const Kinds& kinds, const std::vector<int>& hub_node,
                     Model& model) {
  for (const std::size_t run : by_nature(setting)) {
    const RunNeeds& needs = setting.runs[run];
    if (needs.from_node < 0 || needs.to_node < 0 || !needs.settled.empty()) continue;
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
    for (std::size_t i = 1; i < stops.size(); ++i) {
      const std::size_t leg = model.graph.flipped[run] != 0 ? stops.size() - 1 - i : i - 1;
      commodity.forbidden_edges = closed_to_run(setting, kinds, model, run, leg);
      commodity.surcharges.clear();
      commodity.max_length =
          needs.greatest_length_m > 0 ? needs.greatest_length_m : network::kUnlimited;
      if (i == 1) take_own_port(setting, model, run, commodity);
      commodity.source = stops[i - 1];
      commodity.target = stops[i];
      model.problem.commodities.push_back(commodity);
      model.commodity_run.push_back(static_cast<int>(run));
    }
  }
}

std::string model_text(const Setting& setting, const Model& model) {
  const bool lies = std::any_of(setting.runs.begin(), setting.runs.end(),
                                [](const RunNeeds& run) { return run.lies; });
  return std::string(lies ? "what is still to be paid beside runs that lie there: " : "") +
         "fixed-charge network design on the track graph of " +
         std::to_string(setting.tracks.nodes.size()) + " nodes and " +
         std::to_string(setting.tracks.edges.size()) + " edges (" +
         std::to_string(model.problem.edges.size()) +
         " once joined), ports of one zone as one source with each run's own way from it, bends "
         "and "
         "fittings as edges between a node's axis copies, raceway sizes "
         "by the smallest that holds the loads";
}

}  // namespace

Model make_model(const Setting& setting) {
  Model model;
  const Kinds kinds = find_kinds(setting);
  model.graph = make_links(setting);
  model.problem.node_count = static_cast<int>(setting.tracks.nodes.size());
  model.problem.outward = true;
  model.problem.class_count = static_cast<int>(kinds.of_class.size()) + 1;
  ChargeBook book(setting, model.graph, model.problem);
  for (std::size_t i = 0; i < model.graph.links.size(); ++i)
    add_link(setting, kinds, static_cast<int>(i), book, model);
  std::vector<int> hub_node;
  for (std::size_t i = 0; i < model.graph.hubs.size(); ++i) {
    hub_node.push_back(model.problem.node_count);
    add_hub(setting, kinds, static_cast<int>(i), model);
  }
  model.private_edges = private_edges(setting, model);
  add_commodities(setting, kinds, hub_node, model);
  model.text = model_text(setting, model);
  return model;
}

network::Effort effort_of(const RouteOptions& options) {
  network::Effort effort;
  effort.level = options.effort == RouteEffort::prove    ? network::EffortLevel::prove
                 : options.effort == RouteEffort::normal ? network::EffortLevel::normal
                                                         : network::EffortLevel::quick;
  if (options.seconds > 0) effort.time_limit_s = options.seconds;
  return effort;
}

}  // namespace roomloom::route
