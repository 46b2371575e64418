#include "route/layers.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "route/asked_sizes.h"
#include "route/junctions.h"
#include "route/paths.h"

namespace roomloom::route {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Runs that ask for the same at each bend.
struct BendKinds {
  std::vector<std::pair<double, double>> radius_and_diameter;
  std::vector<int> of_run;
};

BendKinds bend_kinds(const Setting& setting) {
  BendKinds kinds;
  for (const RunNeeds& run : setting.runs) {
    const std::pair key(run.bend_radius_m, run.diameter_m);
    auto& known = kinds.radius_and_diameter;
    const auto found = std::find(known.begin(), known.end(), key);
    kinds.of_run.push_back(static_cast<int>(found - known.begin()));
    if (found == known.end()) known.push_back(key);
  }
  return kinds;
}

/// How a way is at a node: come there or about to go on, along the node's line or back on it, and
/// at parted nodes also leaving the line or new on it.
enum class Being { come, going, leaving, entered };

/// Where a way can be at a node; the state is -1 where there is one for all.
struct Place {
  int node = -1, state = -1;
  Being being = Being::come;
  bool back = false;
};

class Maker {
 public:
  Maker(const Setting& setting, std::size_t most_edges)
      : setting_(setting),
        most_edges_(most_edges),
        junctions_(setting),
        kinds_(bend_kinds(setting)) {}

  std::optional<Layers> run() {
    collect_needs();
    if (asked_.empty()) return std::nullopt;
    sizes_.emplace(setting_, asked_);
    const std::size_t states = sizes_->states().size();
    if (states < 2 || states > AskedSizes::kMostStates) return std::nullopt;
    find_own_states();
    layers_.tracks.charges = setting_.tracks.charges;
    layers_.sizes.resize(layers_.tracks.charges.size());
    count_users();
    for (int node = 0; node < junctions_.node_count(); ++node) add_nodes(node);
    for (int node = 0; node < junctions_.node_count(); ++node) add_inner_edges(node);
    for (std::size_t e = 0; e < setting_.tracks.edges.size() && !is_too_large(); ++e)
      if (setting_.tracks.edges[e].length_m > 0) add_stretch(static_cast<int>(e));
    for (const Hop& hop : junctions_.hops())
      if (!is_too_large()) add_hop(hop);
    if (is_too_large()) return std::nullopt;
    for (std::size_t run = 0; run < setting_.runs.size(); ++run) add_run(run);
    return std::move(layers_);
  }

 private:
  using Drawn = std::vector<std::pair<int, int>>;  ///< charge, and what is passed of it

  bool is_too_large() const { return layers_.tracks.edges.size() > most_edges_; }
  int states() const { return static_cast<int>(sizes_->states().size()); }

  /// What a kind of run asks of the raceway at a node where it turns toward another's.
  ClearNeed need(std::size_t kind, int node, int other) const {
    RunNeeds run;
    std::tie(run.bend_radius_m, run.diameter_m) = kinds_.radius_and_diameter[kind];
    return least_need_between(run, junctions_.line_of(node), junctions_.line_of(other));
  }

  void collect_needs() {
    needs_of_kind_.resize(kinds_.radius_and_diameter.size());
    for (const Hop& hop : junctions_.hops()) {
      if (!junctions_.is_copied(hop.from) || !junctions_.is_copied(hop.to)) continue;
      for (std::size_t kind = 0; kind < needs_of_kind_.size(); ++kind) {
        const ClearNeed asked = need(kind, hop.from, hop.to);
        const auto same = [&](const ClearNeed& known) {
          return known.width_m == asked.width_m && known.depth_m == asked.depth_m;
        };
        std::vector<ClearNeed>& own = needs_of_kind_[kind];
        if (asked.width_m <= 0 && asked.depth_m <= 0) continue;
        if (std::none_of(own.begin(), own.end(), same)) own.push_back(asked);
      }
    }
    for (const std::vector<ClearNeed>& own : needs_of_kind_)
      asked_.insert(asked_.end(), own.begin(), own.end());
  }

  /// By kind, which states its runs can be in: what two bends of theirs can ask for together.
  void find_own_states() {
    for (const std::vector<ClearNeed>& needs : needs_of_kind_) {
      std::vector<char>& own = own_.emplace_back(at(states()), 0);
      std::set<double> wide{0}, deep{0};
      for (const ClearNeed& need : needs) {
        wide.insert(need.width_m);
        deep.insert(need.depth_m);
      }
      for (const double width : wide)
        for (const double depth : deep)
          own[at(sizes_->state_of(sizes_->size_of({width, depth})))] = 1;
    }
  }

  void count_users() {
    users_.assign(setting_.tracks.charges.size(), 0);
    for (const TrackEdge& edge : setting_.tracks.edges)
      for (const int charge : edge.charges) ++users_[at(charge)];
  }

  /// Copies of a node in one state: along and back, each come and going, leaving and entered.
  int width(int node) const {
    const bool parted = junctions_.is_parted(node);
    return junctions_.is_copied(node) ? (parted ? 6 : 2) : (parted ? 2 : 1);
  }

  int node_of(const Place& place) const {
    const bool copied = junctions_.is_copied(place.node), parted = junctions_.is_parted(place.node);
    const int first = first_copy_[at(place.node)] + std::max(0, place.state) * width(place.node);
    const bool on = place.being == Being::going || place.being == Being::entered;
    const bool turning = place.being == Being::leaving || place.being == Being::entered;
    if (!copied) return first + (parted && on ? 1 : 0);
    if (!parted) return first + (place.back ? 1 : 0);
    return first + (turning ? 4 : place.back ? 2 : 0) + (on ? 1 : 0);
  }

  void add_nodes(int node) {
    const int count = (junctions_.is_copied(node) ? states() : 1) * width(node);
    first_copy_.push_back(static_cast<int>(layers_.tracks.nodes.size()));
    layers_.tracks.nodes.resize(layers_.tracks.nodes.size() + at(count),
                                setting_.tracks.nodes[at(junctions_.room_node(node))]);
    layers_.is_terminal.resize(layers_.tracks.nodes.size(), at(node) < setting_.is_terminal.size()
                                                                ? setting_.is_terminal[at(node)]
                                                                : 0);
  }

  /// What leads from one copy of a parted node to another.
  void add_inner_edges(int node) {
    if (!junctions_.is_parted(node)) return;
    const auto lead = [&](Place from, Being a, Being b) {
      Place to = from;
      from.being = a;
      to.being = b;
      add_edge({}, from, to, {}, {}, kinds_at(from, to), true);
    };
    for (Place place : places_at(node, Being::come))
      for (const bool back : {false, true}) {
        place.back = back;
        lead(place, Being::come, Being::going);
        if (!junctions_.is_copied(node)) break;
        lead(place, Being::come, Being::leaving);
        lead(place, Being::entered, Being::going);
      }
  }

  std::vector<Place> places_at(int node, Being being) const {
    if (!junctions_.is_copied(node)) return {{node, -1, being}};
    std::vector<Place> places;
    for (int s = 0; s < states(); ++s) places.push_back({node, s, being});
    return places;
  }

  /// Kinds of run that can be at both places.
  std::vector<char> kinds_at(const Place& a, const Place& b) const {
    std::vector<char> kinds;
    for (const std::vector<char>& own : own_)
      kinds.push_back((a.state < 0 || own[at(a.state)] != 0) &&
                      (b.state < 0 || own[at(b.state)] != 0));
    return kinds;
  }

  void add_edge(TrackEdge edge, const Place& a, const Place& b, std::vector<Step> steps,
                Drawn drawn, std::vector<char> kinds, bool one_way) {
    if (std::none_of(kinds.begin(), kinds.end(), [](char open) { return open != 0; })) return;
    edge.a = node_of(a);
    edge.b = node_of(b);
    edge.charges.clear();
    std::vector<int>& passes = layers_.passes.emplace_back();
    std::stable_sort(drawn.begin(), drawn.end(),
                     [](const auto& x, const auto& y) { return x.first < y.first; });
    for (const auto& [charge, passed] : drawn) {
      if (!edge.charges.empty() && edge.charges.back() == charge) continue;
      edge.charges.push_back(charge);
      passes.push_back(passed);
    }
    layers_.tracks.edges.push_back(std::move(edge));
    layers_.steps.push_back(std::move(steps));
    layers_.one_way.push_back(one_way ? 1 : 0);
    const int state = std::max(a.state, b.state);
    layers_.level.push_back(state < 0 ? sizes_->state_of({}) : state);
    kinds_of_edge_.push_back(std::move(kinds));
  }

  Drawn drawn_by(const std::vector<Step>& steps) const {
    Drawn drawn;
    for (const Step& step : steps)
      for (const int charge : setting_.tracks.edges[at(step.edge)].charges)
        drawn.emplace_back(charge, 2 * step.edge + (step.forward ? 0 : 1));
    return drawn;
  }

  /// Both ways along a stretch, between two places. One edge where both ends are single nodes.
  void add_both_ways(const TrackEdge& edge, int index, Place a, Place b, const Drawn& drawn) {
    const bool single = width(a.node) == 1 && width(b.node) == 1;
    const auto against = [&](const Place& place) {
      return junctions_.is_copied(place.node) &&
             dot(junctions_.line_of(place.node).direction, direction_of(index)) < 0;
    };
    a.back = against(a);
    b.back = against(b);
    a.being = Being::going;
    b.being = Being::come;
    add_edge(edge, a, b, {{index, true}}, drawn, kinds_at(a, b), !single);
    if (single) return;
    std::swap(a.being, b.being);
    a.back = !a.back;
    b.back = !b.back;
    Drawn other = drawn;
    for (auto& [charge, passed] : other) passed ^= 1;
    add_edge(edge, b, a, {{index, false}}, other, kinds_at(a, b), true);
  }

  Vec3 direction_of(int index) const {
    const TrackEdge& edge = setting_.tracks.edges[at(index)];
    return setting_.tracks.nodes[at(edge.b)].position - setting_.tracks.nodes[at(edge.a)].position;
  }

  void add_stretch(int index) {
    TrackEdge edge = setting_.tracks.edges[at(index)];
    const Place a{junctions_.end_of_stretch(index, edge.a)};
    const Place b{junctions_.end_of_stretch(index, edge.b)};
    if (is_leg(edge)) return add_leg(edge, index, a, b);
    if (width(a.node) > 1 || width(b.node) > 1) edge.capacity_m2 = 0;
    add_both_ways(edge, index, a, b, drawn_by({{index, true}}));
  }

  /// One copy a state. What only this stretch draws on is one charge with its sizes.
  void add_leg(TrackEdge edge, int index, Place a, Place b) {
    Charge own;
    Drawn drawn;
    for (const auto& [charge, passed] : drawn_by({{index, true}}))
      if (users_[at(charge)] == 1)
        own.price += setting_.tracks.charges[at(charge)].price;
      else
        drawn.emplace_back(charge, passed);
    drawn.emplace_back(static_cast<int>(layers_.tracks.charges.size()), 2 * index);
    layers_.tracks.charges.push_back(own);
    layers_.sizes.push_back(sizes_->sizes_of(index));
    edge.options.clear();
    edge.capacity_m2 = 0;
    const bool copied = junctions_.is_copied(a.node) || junctions_.is_copied(b.node);
    for (int s = 0; s < (copied ? states() : 1); ++s) {
      if (junctions_.is_copied(a.node)) a.state = s;
      if (junctions_.is_copied(b.node)) b.state = s;
      add_both_ways(edge, index, a, b, drawn);
    }
  }

  /// A turn between two places. Where both are raceway, their states must hold what it asks for.
  void add_hop(const Hop& hop) {
    const bool bend = junctions_.is_copied(hop.from) && junctions_.is_copied(hop.to);
    TrackEdge turn;
    turn.kind = EdgeKind::turn;
    turn.turn_rad = hop.turn_rad;
    turn.per_run_cost = hop.cost;
    for (const Place& a : places_at(hop.from, Being::leaving))
      for (const Place& b : places_at(hop.to, Being::entered)) {
        std::vector<char> kinds = kinds_at(a, b);
        for (std::size_t kind = 0; bend && kind < kinds.size(); ++kind)
          if (!holds(a, need(kind, hop.from, hop.to)) || !holds(b, need(kind, hop.to, hop.from)))
            kinds[kind] = 0;
        add_edge(turn, a, b, hop.steps, drawn_by(hop.steps), std::move(kinds), hop.one_way);
      }
  }

  bool holds(const Place& place, const ClearNeed& need) const {
    return sizes_->states()[at(place.state)].holds(sizes_->size_of(need));
  }

  void add_run(std::size_t index) {
    const RunNeeds& told = setting_.runs[index];
    RunNeeds& run = layers_.runs.emplace_back(told);
    run.on_written.clear();
    run.written.clear();
    run.least = {};
    run.moving_price = 0;
    const auto arrival = [&](int& node) { node = node < 0 ? -1 : node_of({node}); };
    arrival(run.from_node);
    arrival(run.to_node);
    std::for_each(run.via_nodes.begin(), run.via_nodes.end(), arrival);
    const std::size_t count = layers_.tracks.edges.size();
    run.forbidden.assign(count, 0);
    run.leg_only.clear();  // told by what is closed to each leg
    run.leg_closed.assign(std::max(told.leg_closed.size(), told.leg_only.size()), {});
    for (std::size_t e = 0; e < count; ++e) {
      bool open = kinds_of_edge_[e][at(kinds_.of_run[index])] != 0;
      for (const Step& step : layers_.steps[e]) {
        open = open && (told.forbidden.empty() || told.forbidden[at(step.edge)] == 0);
        for (std::size_t leg = 0; leg < run.leg_closed.size(); ++leg)
          if (closed_to_leg(told, leg, step.edge) &&
              (run.leg_closed[leg].empty() || run.leg_closed[leg].back() != static_cast<int>(e)))
            run.leg_closed[leg].push_back(static_cast<int>(e));
      }
      run.forbidden[e] = open ? 0 : 1;
    }
  }

  const Setting& setting_;
  const std::size_t most_edges_;
  const Junctions junctions_;
  const BendKinds kinds_;
  std::vector<ClearNeed> asked_;
  std::vector<std::vector<ClearNeed>> needs_of_kind_;
  std::optional<AskedSizes> sizes_;
  std::vector<std::vector<char>> own_;  ///< by kind and state
  std::vector<int> users_;              ///< edges that draw on each charge of the room
  std::vector<int> first_copy_;         ///< by node
  std::vector<std::vector<char>> kinds_of_edge_;
  Layers layers_;
};

bool is_plain_job(const Setting& setting) {
  return std::none_of(setting.runs.begin(), setting.runs.end(),
                      [](const RunNeeds& run) { return run.lies || !run.lying.empty(); });
}

/// Cuts out what leads back to where the way has been.
std::vector<Step> without_loops(const Setting& setting, const std::vector<Step>& way) {
  std::vector<Step> result;
  std::map<int, std::size_t> steps_to;
  for (const Step& step : way) {
    const TrackEdge& edge = setting.tracks.edges[at(step.edge)];
    const int from = step.forward ? edge.a : edge.b, to = step.forward ? edge.b : edge.a;
    steps_to.try_emplace(from, result.size());
    result.push_back(step);
    if (const auto been = steps_to.find(to); been != steps_to.end()) {
      const std::size_t kept = been->second;
      std::erase_if(steps_to, [&](const auto& entry) { return entry.second > kept; });
      result.resize(kept);
    }
  }
  return result;
}

}  // namespace

std::optional<Layers> make_layers(const Setting& setting, std::size_t most_edges) {
  if (!is_plain_job(setting)) return std::nullopt;
  return Maker(setting, most_edges).run();
}

Setting setting_of(const Setting& setting, const Layers& layers) {
  Setting layered{layers.tracks,      setting.ends, setting.room, setting.job, layers.runs, {},
                  layers.is_terminal, {},           {},           &layers};
  layered.edges_at = neighbours_of(layers.tracks);
  for (std::size_t e = 0; e < layers.tracks.edges.size() && !setting.corded.empty(); ++e)
    layered.corded.push_back(
        std::any_of(layers.steps[e].begin(), layers.steps[e].end(), [&](const Step& step) {
          return setting.tracks.edges[at(step.edge)].length_m > 0 && is_corded(setting, step.edge);
        }));
  return layered;
}

Ways lifted_ways(const Setting& layered, const Ways& ways) {
  const Layers& layers = *layered.layers;
  Ways lifted;
  for (std::size_t r = 0; r < ways.size(); ++r) {
    const int run = static_cast<int>(r);
    std::vector<Step>& way = lifted.emplace_back();
    const RunNeeds& needs = layered.runs[r];
    if (ways[r].empty() || needs.from_node < 0 || needs.to_node < 0 || !needs.via_nodes.empty())
      continue;
    std::set<int> on_way;
    for (const Step& step : ways[r]) on_way.insert(step.edge);
    const Search search = search_from(
        layered, needs.from_node,
        [&](int e) {
          for (const Step& step : layers.steps[at(e)])
            if (!on_way.contains(step.edge)) return kClosed;
          if (!may_use(layered, run, e)) return kClosed;
          double cost = run_cost(layered, run, e);
          for (const int charge : layers.tracks.edges[at(e)].charges)
            cost += layers.tracks.charges[at(charge)].price +
                    network::price_of_size(layers.sizes[at(charge)], layered.runs[r].area_m2,
                                           std::uint32_t{1} << layers.level[at(e)]);
          return cost;
        },
        needs.to_node);
    way = way_to(layered, search, needs.to_node).value_or(std::vector<Step>{});
  }
  return lifted;
}

Ways lowered_ways(const Setting& setting, const Layers& layers, const Ways& ways) {
  Ways lowered;
  for (std::size_t run = 0; run < ways.size(); ++run) {
    std::vector<Step>& way = lowered.emplace_back();
    if (!setting.runs[run].settled.empty()) {
      way = setting.runs[run].settled;
      continue;
    }
    for (const Step& step : ways[run]) {
      const std::vector<Step>& passed = layers.steps[at(step.edge)];
      const std::vector<Step> steps = step.forward ? passed : reversed(passed);
      way.insert(way.end(), steps.begin(), steps.end());
    }
    if (setting.runs[run].via_nodes.empty()) way = without_loops(setting, way);
  }
  return lowered;
}

}  // namespace roomloom::route
