#include "route/rules.h"

#include <algorithm>
#include <optional>
#include <set>

#include "base/glob.h"

namespace roomloom::route {
namespace {

const RunSpec* spec_of(const Setting& setting, std::size_t run) {
  const int spec = setting.ends.runs[run].spec;
  if (spec < 0 || spec >= static_cast<int>(setting.job.runs.size())) return nullptr;
  return &setting.job.runs[static_cast<std::size_t>(spec)];
}

std::string name_of_place(const Setting& setting, const PlaceId& place) {
  const auto index = static_cast<std::size_t>(place.index);
  switch (place.kind) {
    case PlaceKind::sheet:
      return setting.room.sheets[index].name;
    case PlaceKind::void_space:
      return setting.room.voids[index].name;
    case PlaceKind::zone:
      return setting.ends.zones[index].name;
    case PlaceKind::conduit:
      return setting.room.conduits[index].name;
    default:
      return {};
  }
}

bool edge_named(const Setting& setting, int edge, const std::string& pattern) {
  for (const std::string& name : names_of_edge(setting, edge))
    if (matches_pattern(pattern, name)) return true;
  return false;
}

void close_avoided(Setting& setting, std::size_t run, const RunSpec& spec, Told& told) {
  std::vector<char>& forbidden = setting.runs[run].forbidden;
  forbidden.assign(setting.tracks.edges.size(), 0);
  for (const std::string& pattern : spec.avoid) {
    bool any = false;
    for (std::size_t e = 0; e < forbidden.size(); ++e)
      if (edge_named(setting, static_cast<int>(e), pattern)) {
        forbidden[e] = 1;
        any = true;
      }
    // Nothing to keep off is no rule broken, but it may be a slip of the pen.
    if (!any) told.not_kept(spec.id + ": no track lies on \"" + pattern + "\", which it avoids");
  }
}

/// A run's way through a named edge, and on to its end without turning back.
struct Passing {
  std::vector<Step> before, after;
  Step through;
};

std::set<int> nodes_on(const Setting& setting, const std::vector<Step>& way) {
  std::set<int> nodes;
  for (const Step& step : way) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
    nodes.insert({edge.a, edge.b});
  }
  return nodes;
}

/// What a run passes once and not back again: crossings, and stretches of conduits. -1: none.
int passage_of(const Setting& setting, int edge) {
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  if (track.crossing >= 0) return track.crossing;
  const int crossings = static_cast<int>(setting.room.crossings.size());
  return track.medium == Medium::conduit ? crossings + edge : -1;
}

std::set<int> passages_on(const Setting& setting, const std::vector<Step>& way) {
  std::set<int> passages;
  for (const Step& step : way)
    if (const int passage = passage_of(setting, step.edge); passage >= 0) passages.insert(passage);
  return passages;
}

bool disjoint(const std::set<int>& a, const std::set<int>& b) {
  return std::none_of(a.begin(), a.end(), [&](int one) { return b.count(one) != 0; });
}

bool turns_back(const Setting& setting, const Passing& passing) {
  std::vector<Step> there = passing.before;
  there.push_back(passing.through);
  std::vector<Step> onward = passing.after;
  onward.insert(onward.begin(), passing.through);
  return !disjoint(nodes_on(setting, passing.before), nodes_on(setting, passing.after)) ||
         !disjoint(passages_on(setting, there), passages_on(setting, passing.after)) ||
         !disjoint(passages_on(setting, passing.before), passages_on(setting, onward));
}

/// Where every cheapest way would turn back: on from the nearest few by what they leave open.
std::optional<Passing> passing_onward(const Setting& setting, const Search& out, int to,
                                      const std::vector<std::pair<double, Step>>& choices,
                                      const EdgeCost& cost) {
  constexpr std::size_t kTries = 12;
  std::optional<Passing> best;
  double least = kClosed;
  for (std::size_t i = 0; i < std::min(kTries, choices.size()); ++i) {
    const Step step = choices[i].second;
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
    const int start = step.forward ? edge.a : edge.b;
    const auto before = way_to(setting, out, start);
    if (!before) continue;
    std::vector<Step> there = *before;
    there.push_back(step);
    const std::set<int> passed = passages_on(setting, there);
    const std::set<int> nodes = nodes_on(setting, *before);
    const Search onward = search_from(setting, step.forward ? edge.b : edge.a, [&](int e) {
      const TrackEdge& one = setting.tracks.edges[static_cast<std::size_t>(e)];
      const bool back = e == step.edge || passed.count(passage_of(setting, e)) != 0 ||
                        nodes.count(one.a) != 0 || nodes.count(one.b) != 0;
      return back ? kClosed : cost(e);
    });
    const auto after = way_to(setting, onward, to);
    if (!after) continue;
    Passing passing{*before, *after, step};
    const double total = out.away[static_cast<std::size_t>(start)] + cost(step.edge) +
                         onward.away[static_cast<std::size_t>(to)];
    if (total >= least - 1e-12 || turns_back(setting, passing)) continue;
    least = total;
    best = std::move(passing);
  }
  return best;
}

/// The named edge that the run by itself passes most cheaply on its way.
std::optional<Passing> cheapest_passing(const Setting& setting, int run, int from, int to,
                                        const std::string& pattern) {
  const Occupation nobody(setting);
  const EdgeCost cost = [&](int edge) { return nobody.marginal_cost(run, edge); };
  const Search out = search_from(setting, from, cost), back = search_from(setting, to, cost);
  std::vector<std::pair<double, Step>> choices;
  for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(e)];
    if (edge.kind == EdgeKind::turn || edge.kind == EdgeKind::fold) continue;
    if (!may_use(setting, run, e) || !edge_named(setting, e, pattern)) continue;
    for (const bool forward : {true, false}) {
      const auto start = static_cast<std::size_t>(forward ? edge.a : edge.b);
      const auto end = static_cast<std::size_t>(forward ? edge.b : edge.a);
      const double total = out.away[start] + cost(e) + back.away[end];
      if (total < kClosed) choices.push_back({total, {e, forward}});
    }
  }
  std::stable_sort(choices.begin(), choices.end(),
                   [](const auto& l, const auto& r) { return l.first < r.first; });
  for (const auto& [total, step] : choices) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
    const auto before = way_to(setting, out, step.forward ? edge.a : edge.b);
    const auto after = way_to(setting, back, step.forward ? edge.b : edge.a);
    if (!before || !after) continue;
    Passing passing{*before, reversed(*after), step};
    if (!turns_back(setting, passing)) return passing;
  }
  return passing_onward(setting, out, to, choices, cost);
}

/// Closes to each leg the crossings and conduits that the others pass on the run's own cheapest
/// way.
void close_legs(const Setting& setting, const std::vector<std::vector<Step>>& legs,
                RunNeeds& needs) {
  needs.leg_closed.assign(legs.size(), {});
  for (std::size_t leg = 0; leg < legs.size(); ++leg) {
    std::set<int> others;
    for (std::size_t other = 0; other < legs.size(); ++other) {
      if (other != leg) others.merge(passages_on(setting, legs[other]));
    }
    const std::set<int> own = passages_on(setting, legs[leg]);
    for (std::size_t e = 0; e < setting.tracks.edges.size(); ++e) {
      const int passage = passage_of(setting, static_cast<int>(e));
      if (others.count(passage) != 0 && own.count(passage) == 0)
        needs.leg_closed[leg].push_back(static_cast<int>(e));
    }
  }
}

/// Whether the room has anything of that name, with tracks or without.
bool room_names(const Setting& setting, const std::string& pattern) {
  const auto any = [&](const auto& things) {
    return std::any_of(things.begin(), things.end(),
                       [&](const auto& thing) { return matches_pattern(pattern, thing.name); });
  };
  return any(setting.room.crossings) || any(setting.room.voids) || any(setting.room.sheets) ||
         any(setting.room.conduits) || any(setting.ends.zones);
}

/// Whether both sides of an edge can be reached without passing anything of that name.
bool reached_on_both_sides(const Setting& setting, int run, const std::string& pattern) {
  const int from = setting.runs[static_cast<std::size_t>(run)].from_node;
  const Search search = search_from(setting, from, [&](int e) {
    return may_use(setting, run, e) && !edge_named(setting, e, pattern) ? 1.0 : kClosed;
  });
  const auto reached = [&](int node) {
    return search.away[static_cast<std::size_t>(node)] < kClosed;
  };
  for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(e)];
    if (edge_named(setting, e, pattern) && reached(edge.a) && reached(edge.b)) return true;
  }
  return false;
}

std::string why_not_passed(const Setting& setting, int run, const std::string& pattern) {
  if (!room_names(setting, pattern)) return "the room has no hole, void, face or conduit so named";
  bool any = false, open = false;
  for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e) {
    if (!edge_named(setting, e, pattern)) continue;
    any = true;
    open = open || may_use(setting, run, e);
  }
  if (!any) return "no track reaches it: cable is led along faces, and hangs nowhere across a room";
  if (!open) return "it is closed to this run by size, separation or its own \"avoid\"";
  if (!reached_on_both_sides(setting, run, pattern))
    return "no track reaches it from both sides: cable is led along faces, and hangs nowhere "
           "across "
           "a room";
  return "every way through it turns back";
}

void find_vias(Setting& setting, std::size_t run, const RunSpec& spec, Told& told) {
  RunNeeds& needs = setting.runs[run];
  if (needs.from_node < 0 || needs.to_node < 0) return;
  std::vector<std::vector<Step>> legs;
  std::vector<Step> rest;
  int here = needs.from_node;
  for (const std::string& pattern : spec.via) {
    const auto passing =
        cheapest_passing(setting, static_cast<int>(run), here, needs.to_node, pattern);
    if (!passing) {
      told.not_kept(spec.id + ": cannot pass \"" + pattern + "\" (" +
                    why_not_passed(setting, static_cast<int>(run), pattern) +
                    "); planned without it");
      continue;
    }
    const Step through = passing->through;
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(through.edge)];
    needs.via_nodes.push_back(through.forward ? edge.a : edge.b);
    needs.via_nodes.push_back(through.forward ? edge.b : edge.a);
    legs.push_back(passing->before);
    legs.push_back({through});
    rest = passing->after;
    here = needs.via_nodes.back();
  }
  if (needs.via_nodes.empty()) return;
  legs.push_back(rest);
  close_legs(setting, legs, needs);
  told.relaxations.push_back(spec.id +
                             ": passes its via at the point that is cheapest for it alone");
}

int run_by_id(const Setting& setting, const std::string& id) {
  for (std::size_t run = 0; run < setting.ends.runs.size(); ++run)
    if (setting.ends.runs[run].id == id) return static_cast<int>(run);
  return -1;
}

/// Edges on which two runs would be neighbours for good: not the free ends.
bool is_shared_medium(const TrackEdge& edge) {
  return edge.kind == EdgeKind::crossing || edge.medium == Medium::raceway ||
         edge.medium == Medium::support || edge.medium == Medium::bay ||
         edge.medium == Medium::conduit || edge.medium == Medium::bare;
}

std::vector<char> lies_on(const Setting& setting, const std::vector<Step>& way) {
  std::vector<char> on(setting.tracks.edges.size(), 0);
  for (const Step& step : way) on[static_cast<std::size_t>(step.edge)] = 1;
  return on;
}

Occupation occupation_without(const Setting& setting, const Ways& ways, int run) {
  Occupation occupation(setting);
  for (std::size_t other = 0; other < ways.size(); ++other)
    if (static_cast<int>(other) != run) occupation.add(static_cast<int>(other), ways[other]);
  return occupation;
}

void reroute(const Setting& setting, Ways& ways, int run, const EdgeCost& cost) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const Search search = search_from(setting, needs.from_node, cost);
  if (auto way = way_to(setting, search, needs.to_node)) ways[static_cast<std::size_t>(run)] = *way;
}

constexpr double kOffTheOthersWay = 10;  ///< times as dear, for a run that is to follow another

}  // namespace

std::vector<std::string> names_of_edge(const Setting& setting, int edge) {
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  std::vector<std::string> names;
  if (track.crossing >= 0)
    names.push_back(setting.room.crossings[static_cast<std::size_t>(track.crossing)].name);
  if (track.home.kind != PlaceKind::none) names.push_back(name_of_place(setting, track.home));
  return names;
}

void apply_masks(Setting& setting, Told& told) {
  for (std::size_t run = 0; run < setting.runs.size(); ++run) {
    const RunSpec* spec = spec_of(setting, run);
    if (spec == nullptr) continue;
    if (!spec->avoid.empty()) close_avoided(setting, run, *spec, told);
    if (!spec->way.empty()) keep_to_way(setting, static_cast<int>(run), *spec, told);
    if (!spec->via.empty()) find_vias(setting, run, *spec, told);
  }
}

void keep_company_rules(const Setting& setting, Ways& ways, Told& told) {
  for (std::size_t r = 0; r < ways.size(); ++r) {
    const RunSpec* spec = spec_of(setting, r);
    if (spec == nullptr || ways[r].empty() || setting.runs[r].lies) continue;
    const int run = static_cast<int>(r);
    for (const std::string& id : spec->same_way_as) {
      const int other = run_by_id(setting, id);
      if (other < 0 || ways[static_cast<std::size_t>(other)].empty()) continue;
      const std::vector<char> on = lies_on(setting, ways[static_cast<std::size_t>(other)]);
      const Occupation occupation = occupation_without(setting, ways, run);
      reroute(setting, ways, run, [&](int edge) {
        const double cost = occupation.marginal_cost(run, edge);
        if (cost >= kClosed || on[static_cast<std::size_t>(edge)] != 0) return cost;
        return kOffTheOthersWay * cost;
      });
      told.relaxations.push_back(spec->id + ": follows " + id + "; the bound leaves this rule out");
    }
    for (const std::string& id : spec->not_with) {
      const int other = run_by_id(setting, id);
      if (other < 0 || ways[static_cast<std::size_t>(other)].empty()) continue;
      const std::vector<char> on = lies_on(setting, ways[static_cast<std::size_t>(other)]);
      const Occupation occupation = occupation_without(setting, ways, run);
      reroute(setting, ways, run, [&](int edge) {
        const auto e = static_cast<std::size_t>(edge);
        if (on[e] != 0 && is_shared_medium(setting.tracks.edges[e])) return kClosed;
        return occupation.marginal_cost(run, edge);
      });
      bool together = false;
      for (const Step& step : ways[r])
        together = together ||
                   (on[static_cast<std::size_t>(step.edge)] != 0 &&
                    is_shared_medium(setting.tracks.edges[static_cast<std::size_t>(step.edge)]));
      if (together)
        told.not_kept(spec->id + ": has no way apart from " + id);
      else
        told.relaxations.push_back(spec->id + ": keeps away from " + id +
                                   "; the bound leaves this rule out");
    }
  }
}

}  // namespace roomloom::route
