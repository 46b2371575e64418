#include <algorithm>
#include <functional>
#include <optional>
#include <set>

#include "base/glob.h"
#include "base/units.h"
#include "base/vec.h"
#include "route/rules.h"

// What a run is to pass ("via"): each named thing at one edge of it, chosen by the run's own
// cheapest way; the joint problem then has the legs between these edges.

namespace roomloom::route {
namespace {

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

std::set<int> edges_on(const std::vector<Step>& way) {
  std::set<int> edges;
  for (const Step& step : way) edges.insert(step.edge);
  return edges;
}

bool disjoint(const std::set<int>& a, const std::set<int>& b) {
  return std::none_of(a.begin(), a.end(), [&](int one) { return b.count(one) != 0; });
}

/// Whether two edges lie along the same line and partly in the same place: one of them twice over,
/// or the tracks of two walls in their corner.
bool lie_together(const Setting& setting, int one, int other) {
  constexpr double kSame_m = 0.005;
  if (one == other) return true;
  const auto ends = [&](int edge) {
    const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
    const auto at = [&](int node) {
      return setting.tracks.nodes[static_cast<std::size_t>(node)].position;
    };
    return std::pair(at(track.a), at(track.b));
  };
  const auto [a, b] = ends(one);
  const auto [c, d] = ends(other);
  const double length = distance(a, b);
  if (length < kSame_m) return false;
  const Vec3 along = (1 / length) * (b - a);
  const double from = dot(c - a, along), to = dot(d - a, along);
  if (distance(c, a + from * along) > kSame_m || distance(d, a + to * along) > kSame_m)
    return false;
  return std::min(std::max(from, to), length) - std::max(std::min(from, to), 0.0) > kSame_m;
}

bool lies_beside(const Setting& setting, const std::vector<Step>& way, int edge) {
  return std::any_of(way.begin(), way.end(),
                     [&](const Step& step) { return lie_together(setting, edge, step.edge); });
}

bool turns_back(const Setting& setting, const Passing& passing) {
  std::vector<Step> there = passing.before;
  there.push_back(passing.through);
  std::vector<Step> onward = passing.after;
  onward.insert(onward.begin(), passing.through);
  return !disjoint(nodes_on(setting, passing.before), nodes_on(setting, passing.after)) ||
         !disjoint(passages_on(setting, there), passages_on(setting, passing.after)) ||
         !disjoint(passages_on(setting, passing.before), passages_on(setting, onward)) ||
         lies_beside(setting, passing.before, passing.through.edge) ||
         lies_beside(setting, passing.after, passing.through.edge);
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

/// The named edge that the run passes most cheaply on its way beside others.
/// @param passed  closed to it: what it was sent through before, lest it turn back
std::optional<Passing> cheapest_passing(const Setting& setting, int run, int from,
                                        const std::string& pattern, const Occupation& others,
                                        const std::set<int>& passed) {
  const int to = setting.runs[static_cast<std::size_t>(run)].to_node;
  const EdgeCost cost = [&](int edge) {
    return passed.count(edge) != 0 ? kClosed : others.marginal_cost(run, edge);
  };
  const Search out = search_from(setting, from, cost), back = search_from(setting, to, cost);
  std::vector<std::pair<double, Step>> choices;
  for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e) {
    if (!may_use(setting, run, e) || !is_passing(setting, e, pattern)) continue;
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(e)];
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

/// The edges that a run is sent through, and those that lie with one of them.
std::set<int> beside(const Setting& setting, const std::set<int>& sent_through) {
  std::set<int> all;
  for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e)
    if (std::any_of(sent_through.begin(), sent_through.end(),
                    [&](int through) { return lie_together(setting, through, e); }))
      all.insert(e);
  return all;
}

/// Every second leg is the edge that the run is sent through. To the others are closed the
/// crossings and conduits that others pass on the run's own cheapest way, and those edges with what
/// lies beside them: else another way that is cheaper for all together would lead it round what it
/// is to pass, or back on the spot.
void close_legs(const Setting& setting, const std::vector<std::vector<Step>>& legs,
                const std::set<int>& sent_through, RunNeeds& needs) {
  needs.leg_closed.assign(legs.size(), {});
  needs.leg_only.assign(legs.size(), -1);
  const std::set<int> not_again = beside(setting, sent_through);
  for (std::size_t leg = 0; leg < legs.size(); ++leg) {
    if (leg % 2 == 1) {
      needs.leg_only[leg] = legs[leg].front().edge;
      continue;
    }
    std::set<int> others;
    for (std::size_t other = 0; other < legs.size(); ++other) {
      if (other != leg) others.merge(passages_on(setting, legs[other]));
    }
    const std::set<int> own = passages_on(setting, legs[leg]), own_edges = edges_on(legs[leg]);
    for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e) {
      const int passage = passage_of(setting, e);
      const bool passed = others.count(passage) != 0 && own.count(passage) == 0;
      const bool again = not_again.count(e) != 0 && own_edges.count(e) == 0;
      if (passed || again) needs.leg_closed[leg].push_back(e);
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

/// Why a ready conduit of that name takes no cable of the run's size; empty where one does, or none
/// is so named.
std::string why_conduit_is_closed(const Setting& setting, int run, const std::string& pattern) {
  const double diameter = setting.runs[static_cast<std::size_t>(run)].diameter_m;
  std::string why;
  for (const Conduit& conduit : setting.room.conduits) {
    if (!matches_pattern(pattern, conduit.name)) continue;
    const double bore = kPi * conduit.inside_diameter_m * conduit.inside_diameter_m / 4;
    const double cable = kPi * diameter * diameter / 4;
    const double limit = setting.job.prefer.fill_limit;
    if (conduit.inside_diameter_m < diameter)
      why = "it is " + format_length(conduit.inside_diameter_m, setting.job.units, 3) +
            " wide inside, narrower than the cable";
    else if (conduit.occupied_area_m2 + cable > limit * bore)
      why = "what lies in it fills " + format_number(100 * conduit.occupied_area_m2 / bore, 0) +
            " % of it, and with the cable it would be past " + format_number(100 * limit, 0) + " %";
    else
      return "";
  }
  return why;
}

std::string why_not_passed(const Setting& setting, int run, const std::string& pattern) {
  if (const std::string why = why_conduit_is_closed(setting, run, pattern); !why.empty())
    return why;
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

/// Where a run is sent through what it is to pass: its way in legs, every second of them one edge.
struct Sent {
  std::vector<std::vector<Step>> legs;
  std::set<int> through;
  std::vector<int> nodes;
};

/// What it is to pass of `patterns`, one after the other; `failed` is told what it cannot.
Sent send(const Setting& setting, int run, const std::vector<std::string>& patterns,
          const Occupation& others, const std::function<void(const std::string&)>& failed) {
  Sent sent;
  std::vector<Step> rest;
  int here = setting.runs[static_cast<std::size_t>(run)].from_node;
  for (const std::string& pattern : patterns) {
    const auto passing_without = [&](const std::set<int>& passed) {
      return cheapest_passing(setting, run, here, pattern, others, passed);
    };
    auto passing = passing_without(beside(setting, sent.through));
    if (!passing && !sent.through.empty()) passing = passing_without({});
    if (!passing) {
      failed(pattern);
      continue;
    }
    const Step through = passing->through;
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(through.edge)];
    sent.nodes.push_back(through.forward ? edge.a : edge.b);
    sent.nodes.push_back(through.forward ? edge.b : edge.a);
    sent.legs.push_back(passing->before);
    sent.legs.push_back({through});
    rest = passing->after;
    sent.through.insert(through.edge);
    here = sent.nodes.back();
  }
  sent.legs.push_back(rest);
  return sent;
}

}  // namespace

bool is_passing(const Setting& setting, int edge, const std::string& pattern) {
  const EdgeKind kind = setting.tracks.edges[static_cast<std::size_t>(edge)].kind;
  return kind != EdgeKind::turn && kind != EdgeKind::fold && edge_named(setting, edge, pattern);
}

void find_vias(Setting& setting, int run, const RunSpec& spec, Told& told) {
  RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  if (needs.from_node < 0 || needs.to_node < 0) return;
  needs.via = spec.via;
  send(setting, run, spec.via, Occupation(setting), [&](const std::string& pattern) {
    std::erase(needs.via, pattern);
    told.not_kept(spec.id + ": cannot pass \"" + pattern + "\" (" +
                  why_not_passed(setting, run, pattern) + "); planned without it");
  });
}

bool passes_vias(const Setting& setting, int run, const std::vector<Step>& way) {
  std::size_t at = 0;
  for (const std::string& pattern : setting.runs[static_cast<std::size_t>(run)].via) {
    while (at < way.size() && !is_passing(setting, way[at].edge, pattern)) ++at;
    if (at == way.size()) return false;
  }
  return true;
}

bool send_through(Setting& setting, int run, const Occupation& others) {
  RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  bool all = true;
  const Sent sent = send(setting, run, needs.via, others, [&](const std::string&) { all = false; });
  if (!all) return false;
  needs.via_nodes = sent.nodes;
  close_legs(setting, sent.legs, sent.through, needs);
  return true;
}

}  // namespace roomloom::route
