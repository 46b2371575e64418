#include "route/links.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace roomloom::route {
namespace {

constexpr int kMostSteps = 64;

/// Square metres of cable of all runs that are to be laid, of the thickest, of what is kept free
/// wherever two or more lie, and by edge of those that lie there.
struct Loads {
  double all_m2 = 0, thickest_m2 = 0, spare_m2 = 0;
  std::vector<double> lying_m2;
};

Loads loads_of(const Setting& setting) {
  Loads loads;
  loads.lying_m2.assign(setting.tracks.edges.size(), 0);
  for (const RunNeeds& run : setting.runs) {
    loads.thickest_m2 = std::max(loads.thickest_m2, run.area_m2);
    if (!run.lies)
      loads.all_m2 += run.area_m2;
    else
      for (const Step& step : run.settled)
        loads.lying_m2[static_cast<std::size_t>(step.edge)] += run.area_m2;
  }
  for (const SpareNeeds& spare : setting.spares)
    if (spare.along.empty()) loads.spare_m2 += spare.area_m2;
  return loads;
}

/// What the raceway costs that holds a load. More than the thickest cable is two cables at least,
/// beside which room is kept; less may be one, which is priced without: a bound stays a bound.
double price_of_load(const Tracks& tracks, const TrackEdge& edge, const Loads& loads,
                     double load_m2) {
  const bool shared = load_m2 > loads.thickest_m2 * (1 + 1e-9);
  return choose_size(tracks, edge, load_m2 + (shared ? loads.spare_m2 : 0)).price;
}

void sort_unique(std::vector<double>& values) {
  std::sort(values.begin(), values.end());
  values.erase(std::unique(values.begin(), values.end()), values.end());
}

/// Prices of raceway at the far end of each step, up to the load of all runs together.
/// What lies there already has its raceway.
std::vector<LoadPrice> prices_of(const Tracks& tracks, const TrackEdge& edge, const Loads& loads,
                                 double lying_m2) {
  std::vector<double> ends;
  if (edge.options.empty() || loads.all_m2 <= 0) return {};
  double roomiest_m2 = 0;
  bool installed = false;
  for (const int index : edge.options) {
    const EdgeOption& option = tracks.options[static_cast<std::size_t>(index)];
    roomiest_m2 = std::max(roomiest_m2, option.capacity_m2);
    installed = installed || option.installed != 0;
  }
  for (const int index : edge.options) {
    const double capacity = tracks.options[static_cast<std::size_t>(index)].capacity_m2;
    // Several side by side are of the roomiest, unless some are fixed there already.
    const int most = installed || capacity >= roomiest_m2 ? kMostSteps : 1;
    for (int count = 1; capacity > 0 && count <= most; ++count) {
      const double alone = count * capacity - lying_m2, beside = alone - loads.spare_m2;
      if (alone > 0 && alone < loads.all_m2) ends.push_back(alone);
      if (loads.spare_m2 > 0 && beside > 0 && beside < loads.all_m2) ends.push_back(beside);
      if (beside >= loads.all_m2) break;
    }
  }
  if (const double one = loads.thickest_m2 - lying_m2; loads.spare_m2 > 0 && one > 0)
    ends.push_back(std::min(one, loads.all_m2));
  const double paid = lying_m2 > 0 ? choose_size(tracks, edge, lying_m2).price : 0;
  ends.push_back(loads.all_m2);
  sort_unique(ends);
  std::vector<LoadPrice> result;
  for (auto end = ends.rbegin(); end != ends.rend(); ++end) {
    const double price = std::max(0.0, price_of_load(tracks, edge, loads, lying_m2 + *end) - paid);
    if (result.empty() || price < result.back().price - 1e-9) result.push_back({*end, price});
  }
  std::reverse(result.begin(), result.end());
  return result;
}

double price_at(const std::vector<LoadPrice>& sizes, double load_m2) {
  for (const LoadPrice& size : sizes)
    if (load_m2 <= size.load_m2 * (1 + 1e-9)) return size.price;
  return sizes.empty() ? 0 : sizes.back().price;
}

std::vector<LoadPrice> sum_of(const std::vector<LoadPrice>& x, const std::vector<LoadPrice>& y) {
  std::vector<double> ends;
  for (const LoadPrice& size : x) ends.push_back(size.load_m2);
  for (const LoadPrice& size : y) ends.push_back(size.load_m2);
  sort_unique(ends);
  std::vector<LoadPrice> result;
  for (const double end : ends) {
    const double price = price_at(x, end) + price_at(y, end);
    if (!result.empty() && price <= result.back().price)
      result.back().load_m2 = end;
    else
      result.push_back({end, price});
  }
  return result;
}

Link link_of(const Setting& setting, int index, const Loads& loads) {
  const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(index)];
  Link link;
  link.a = edge.a;
  link.b = edge.b;
  link.steps = {{index, true}};
  link.length_m = edge.length_m;
  if (is_corded(setting, index)) link.corded_m = edge.length_m;
  link.per_run_cost = edge.per_run_cost;
  link.charges = edge.charges;
  std::sort(link.charges.begin(), link.charges.end());
  link.closed_to = edge.closed_to;
  link.largest_diameter_m = edge.largest_diameter_m;
  const double lying_m2 = loads.lying_m2[static_cast<std::size_t>(index)];
  const double free_m2 = edge.capacity_m2 - lying_m2;
  if (edge.capacity_m2 > 0 && free_m2 <= 1e-9) link.closed_to = ~std::uint32_t{0};
  if (edge.capacity_m2 > 0 && free_m2 < loads.all_m2) link.capacity_m2 = std::max(free_m2, 1e-9);
  link.sizes = prices_of(setting.tracks, edge, loads, lying_m2);
  return link;
}

void reverse_link(Link& link) {
  std::swap(link.a, link.b);
  link.steps = reversed(link.steps);
}

/// x, then y: x.b == y.a.
Link joined(const Link& x, const Link& y) {
  Link link = x;
  link.b = y.b;
  link.steps.insert(link.steps.end(), y.steps.begin(), y.steps.end());
  link.length_m += y.length_m;
  link.corded_m += y.corded_m;
  link.per_run_cost += y.per_run_cost;
  link.charges.clear();
  std::set_union(x.charges.begin(), x.charges.end(), y.charges.begin(), y.charges.end(),
                 std::back_inserter(link.charges));
  link.closed_to |= y.closed_to;
  link.largest_diameter_m = std::min(x.largest_diameter_m, y.largest_diameter_m);
  if (y.capacity_m2 > 0)
    link.capacity_m2 = x.capacity_m2 > 0 ? std::min(x.capacity_m2, y.capacity_m2) : y.capacity_m2;
  link.sizes = sum_of(x.sizes, y.sizes);
  return link;
}

/// Takes out nodes at which nothing branches, and what leads nowhere.
class Contraction {
 public:
  Contraction(std::vector<Link> links, std::size_t node_count, const std::vector<char>& kept)
      : links_(std::move(links)), alive_(links_.size(), 1), at_(node_count), kept_(kept) {
    for (std::size_t i = 0; i < links_.size(); ++i) {
      at_[static_cast<std::size_t>(links_[i].a)].push_back(static_cast<int>(i));
      if (links_[i].a != links_[i].b)
        at_[static_cast<std::size_t>(links_[i].b)].push_back(static_cast<int>(i));
    }
  }

  std::vector<Link> run() {
    std::vector<int> open;
    for (std::size_t n = at_.size(); n-- > 0;) open.push_back(static_cast<int>(n));
    while (!open.empty()) {
      const int node = open.back();
      open.pop_back();
      visit(node, open);
    }
    std::vector<Link> result;
    for (std::size_t i = 0; i < links_.size(); ++i)
      if (alive_[i] != 0) result.push_back(links_[i]);
    return result;
  }

 private:
  void drop(int link) {
    alive_[static_cast<std::size_t>(link)] = 0;
    std::erase(at_[static_cast<std::size_t>(links_[static_cast<std::size_t>(link)].a)], link);
    std::erase(at_[static_cast<std::size_t>(links_[static_cast<std::size_t>(link)].b)], link);
  }

  void visit(int node, std::vector<int>& open) {
    const std::vector<int>& here = at_[static_cast<std::size_t>(node)];
    if (kept_[static_cast<std::size_t>(node)] != 0) return;
    if (here.size() == 1) {
      const Link gone = links_[static_cast<std::size_t>(here.front())];
      drop(here.front());
      open.push_back(gone.a == node ? gone.b : gone.a);
      return;
    }
    if (here.size() != 2) return;
    const int first = here.front(), second = here.back();
    Link x = links_[static_cast<std::size_t>(first)], y = links_[static_cast<std::size_t>(second)];
    if (x.b != node) reverse_link(x);
    if (y.a != node) reverse_link(y);
    if (x.a == y.b) {  // a loop leads nowhere
      drop(first);
      drop(second);
      open.push_back(x.a);
      return;
    }
    drop(first);
    drop(second);
    const int made = static_cast<int>(links_.size());
    links_.push_back(joined(x, y));
    alive_.push_back(1);
    at_[static_cast<std::size_t>(x.a)].push_back(made);
    at_[static_cast<std::size_t>(y.b)].push_back(made);
  }

  std::vector<Link> links_;
  std::vector<char> alive_;
  std::vector<std::vector<int>> at_;  ///< by node: its links, ascending
  const std::vector<char>& kept_;
};

/// A port: a node that only free ways without charges leave.
bool is_port(const Setting& setting, int node) {
  if (node < 0) return false;
  for (const Neighbour& neighbour : setting.edges_at[static_cast<std::size_t>(node)]) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(neighbour.edge)];
    if (!edge.charges.empty() || !edge.options.empty() || edge.capacity_m2 > 0) return false;
  }
  return true;
}

PlaceId home_of_port(const Setting& setting, int node) {
  if (!is_port(setting, node)) return {};
  for (const Neighbour& neighbour : setting.edges_at[static_cast<std::size_t>(node)]) {
    const PlaceId home = setting.tracks.edges[static_cast<std::size_t>(neighbour.edge)].home;
    if (home.kind == PlaceKind::zone) return home;
  }
  return {};
}

/// Which zone each run may be said to start from: the one that most runs touch.
void choose_hubs(const Setting& setting, LinkGraph& graph, std::map<PlaceId, int>& hub_of_zone) {
  std::map<PlaceId, int> popular;
  for (const RunNeeds& run : setting.runs)
    for (const int node : {run.from_node, run.to_node}) {
      if (!run.settled.empty()) continue;
      const PlaceId home = home_of_port(setting, node);
      if (home.kind == PlaceKind::zone) ++popular[home];
    }
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    const RunNeeds& run = setting.runs[r];
    if (run.from_node < 0 || run.to_node < 0 || !run.settled.empty()) continue;
    const PlaceId from = home_of_port(setting, run.from_node);
    const PlaceId to = home_of_port(setting, run.to_node);
    const int from_count = from.kind == PlaceKind::zone ? popular[from] : 0;
    const int to_count = to.kind == PlaceKind::zone ? popular[to] : 0;
    if (std::max(from_count, to_count) < 2 || from == to) continue;
    graph.flipped[r] = to_count > from_count ? 1 : 0;
    const PlaceId zone = graph.flipped[r] != 0 ? to : from;
    const auto [found, added] = hub_of_zone.try_emplace(zone, static_cast<int>(graph.hubs.size()));
    if (added) graph.hubs.emplace_back();
    graph.hub_of_run[r] = found->second;
  }
}

void fill_hub(const Setting& setting, std::size_t run, bool flipped, Hub& hub) {
  const int port = flipped ? setting.runs[run].to_node : setting.runs[run].from_node;
  for (const Neighbour& neighbour : setting.edges_at[static_cast<std::size_t>(port)]) {
    if (!may_use(setting, static_cast<int>(run), neighbour.edge)) continue;
    auto found = std::find_if(hub.edges.begin(), hub.edges.end(),
                              [&](const HubEdge& exit) { return exit.node == neighbour.node; });
    if (found == hub.edges.end()) {
      HubEdge made;
      made.node = neighbour.node;
      made.by_run.assign(setting.runs.size(), -1);
      made.forward.assign(setting.runs.size(), 0);
      hub.edges.push_back(made);
      found = hub.edges.end() - 1;
    }
    found->by_run[run] = neighbour.edge;
    found->forward[run] = neighbour.forward ? 1 : 0;
  }
}

}  // namespace

LinkGraph make_links(const Setting& setting) {
  LinkGraph graph;
  const Loads loads = loads_of(setting);
  std::map<PlaceId, int> hub_of_zone;
  graph.hub_of_run.assign(setting.runs.size(), -1);
  graph.flipped.assign(setting.runs.size(), 0);
  choose_hubs(setting, graph, hub_of_zone);
  // Copies of one stretch stay edges of their own: they share charges.
  std::vector<char> kept(setting.tracks.nodes.size(), setting.layers != nullptr ? 1 : 0);
  std::vector<char> ports(setting.tracks.nodes.size(), 0);
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    const RunNeeds& run = setting.runs[r];
    const int hub = graph.hub_of_run[r];
    const int port = graph.flipped[r] != 0 ? run.to_node : run.from_node;
    for (const int node : {run.from_node, run.to_node})
      if (node >= 0 && run.settled.empty()) kept[static_cast<std::size_t>(node)] = 1;
    for (const int node : run.via_nodes) kept[static_cast<std::size_t>(node)] = 1;
    if (hub < 0) continue;
    ports[static_cast<std::size_t>(port)] = 1;
    fill_hub(setting, r, graph.flipped[r] != 0, graph.hubs[static_cast<std::size_t>(hub)]);
  }
  // A port that another run reaches as its far end must stay a node of the graph.
  for (std::size_t r = 0; r < setting.runs.size(); ++r) {
    const RunNeeds& run = setting.runs[r];
    if (!run.settled.empty()) continue;
    const bool hub = graph.hub_of_run[r] >= 0;
    if (run.from_node >= 0 && !(hub && graph.flipped[r] == 0))
      ports[static_cast<std::size_t>(run.from_node)] = 0;
    if (run.to_node >= 0 && !(hub && graph.flipped[r] != 0))
      ports[static_cast<std::size_t>(run.to_node)] = 0;
  }
  for (const Hub& hub : graph.hubs)
    for (const HubEdge& exit : hub.edges) kept[static_cast<std::size_t>(exit.node)] = 1;
  std::vector<Link> links;
  for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e) {
    const TrackEdge& edge = setting.tracks.edges[e];
    if (ports[static_cast<std::size_t>(edge.a)] != 0 ||
        ports[static_cast<std::size_t>(edge.b)] != 0)
      continue;
    links.push_back(link_of(setting, static_cast<int>(e), loads));
  }
  graph.links = Contraction(std::move(links), setting.tracks.nodes.size(), kept).run();
  return graph;
}

}  // namespace roomloom::route
