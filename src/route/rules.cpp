#include "route/rules.h"

#include <algorithm>

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

void reroute(const Setting& setting, Ways& ways, int run, const EdgeCost& cost) {
  auto way = way_by_legs(setting, run, cost);
  if (!way.empty()) ways[static_cast<std::size_t>(run)] = std::move(way);
}

constexpr double kOffTheOthersWay = 10;  ///< times as dear, for a run that is to follow another

}  // namespace

Occupation occupation_without(const Setting& setting, const Ways& ways, int run) {
  Occupation occupation(setting);
  for (std::size_t other = 0; other < ways.size(); ++other)
    if (static_cast<int>(other) != run) occupation.add(static_cast<int>(other), ways[other]);
  return occupation;
}

bool follows_others(const Setting& setting, int run) {
  const RunSpec* spec = spec_of(setting, static_cast<std::size_t>(run));
  return spec != nullptr && (!spec->same_way_as.empty() || !spec->not_with.empty());
}

std::vector<std::string> names_of_edge(const Setting& setting, int edge) {
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  std::vector<std::string> names;
  if (track.crossing >= 0)
    names.push_back(setting.room.crossings[static_cast<std::size_t>(track.crossing)].name);
  if (track.home.kind != PlaceKind::none) names.push_back(name_of_place(setting, track.home));
  return names;
}

bool edge_named(const Setting& setting, int edge, const std::string& pattern) {
  for (const std::string& name : names_of_edge(setting, edge))
    if (matches_pattern(pattern, name)) return true;
  return false;
}

void apply_masks(Setting& setting, Told& told) {
  for (std::size_t run = 0; run < setting.runs.size(); ++run) {
    const RunSpec* spec = spec_of(setting, run);
    if (spec == nullptr) continue;
    if (!spec->avoid.empty()) close_avoided(setting, run, *spec, told);
    if (!spec->way.empty()) keep_to_way(setting, static_cast<int>(run), *spec, told);
    if (!spec->via.empty()) find_vias(setting, static_cast<int>(run), *spec, told);
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
