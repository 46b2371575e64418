#include <algorithm>
#include <set>

#include "base/units.h"
#include "geometry/arc.h"
#include "route/rules.h"

// What stands in the way of a run that has none.

namespace roomloom::route {
namespace {

std::string closed_reason(const Setting& setting, int run, int edge) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  const Vec3 a = setting.tracks.nodes[static_cast<std::size_t>(track.a)].position;
  const Vec3 b = setting.tracks.nodes[static_cast<std::size_t>(track.b)].position;
  if (!needs.forbidden.empty() && needs.forbidden[static_cast<std::size_t>(edge)] == 1)
    return "the run's own \"avoid\" (" + names_of_edge(setting, edge).front() + ")";
  if ((track.closed_to & needs.service) != 0) {
    double nearest = 1e30;
    const PowerLine* found = nullptr;
    for (const PowerLine& power : setting.room.power) {
      const double away = segment_distance(a, b, power.from, power.to);
      if (away < nearest) {
        nearest = away;
        found = &power;
      }
    }
    if (found == nullptr) return "separation from mains";
    return "separation from " + found->name + " (" +
           format_length(found->separation_m, setting.job.units, 2) +
           ", as \"prefer\": { \"power_separation\" } or the part's \"clearance\" says)";
  }
  const std::vector<std::string> names = names_of_edge(setting, edge);
  return (names.empty() ? std::string("a passage") : names.front()) +
         " (too narrow for the cable, or full)";
}

std::set<PlaceId> places_reached(const Setting& setting, const Search& search) {
  std::set<PlaceId> places;
  for (const TrackEdge& edge : setting.tracks.edges)
    if (search.away[static_cast<std::size_t>(edge.a)] < kClosed && edge.home.index >= 0)
      places.insert(edge.home);
  return places;
}

/// Sheets beside those reached on which nothing can be fixed, and openings in those reached.
std::string what_lies_between(const Setting& setting, const std::set<PlaceId>& reached) {
  std::set<std::string> names;
  for (const PlaceId& place : reached) {
    if (place.kind != PlaceKind::sheet) continue;
    for (const SheetKeepOut& keep_out :
         setting.room.sheets[static_cast<std::size_t>(place.index)].keep_outs)
      if (!keep_out.name.empty()) names.insert(keep_out.name);
    for (const Seam& seam : setting.room.seams) {
      if (seam.a != place.index && seam.b != place.index) continue;
      const Sheet& beside =
          setting.room.sheets[static_cast<std::size_t>(seam.a == place.index ? seam.b : seam.a)];
      const int other = seam.a == place.index ? seam.b : seam.a;
      if (reached.contains({PlaceKind::sheet, other})) continue;
      names.insert(beside.name);
    }
  }
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

/// Why a suspended ceiling that stands apart from every wall, such as a raft, cannot be reached:
/// nothing leads to the void above it. Empty where that is not so.
std::string stands_apart(const Setting& setting, const Run& told) {
  for (const int end : {told.from, told.to}) {
    const PlaceId& home = setting.ends.ends[static_cast<std::size_t>(end)].place.home;
    if (home.kind != PlaceKind::sheet) continue;
    const Sheet& sheet = setting.room.sheets[static_cast<std::size_t>(home.index)];
    if (sheet.role != SheetRole::suspended_ceiling) continue;
    const bool joined =
        std::any_of(setting.room.seams.begin(), setting.room.seams.end(), [&](const Seam& seam) {
          if (seam.a != home.index && seam.b != home.index) return false;
          const int other = seam.a == home.index ? seam.b : seam.a;
          return setting.room.sheets[static_cast<std::size_t>(other)].role == SheetRole::wall;
        });
    if (!joined)
      return "\"" + sheet.name +
             "\", which meets no wall, so that no track leads to the void above it; model a "
             "conduit from a wall to over it";
  }
  return "";
}

}  // namespace

std::string blocker_of(const Setting& setting, int run) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const Run& told = setting.ends.runs[static_cast<std::size_t>(run)];
  for (const int end : {told.from, told.to})
    for (const Terminal& terminal : setting.tracks.terminals)
      if (terminal.end == end && terminal.alternative < 0 && terminal.node < 0)
        return terminal.blocked_by;
  if (needs.from_node < 0 || needs.to_node < 0) return "an end without a place";
  // With every rule relaxed at a price per edge: what is passed then is what blocks.
  constexpr double kBreach = 1e6;
  const Search relaxed = search_from(setting, needs.from_node, [&](int edge) {
    const double cost = run_cost(setting, run, edge);
    return may_use(setting, run, edge) ? cost : cost + kBreach;
  });
  if (const auto way = way_to(setting, relaxed, needs.to_node)) {
    for (const Step& step : *way)
      if (!may_use(setting, run, step.edge)) return closed_reason(setting, run, step.edge);
    return "what its way can hold: holes or conduits on it are full";
  }
  if (const std::string apart = stands_apart(setting, told); !apart.empty()) return apart;
  const std::string between = what_lies_between(setting, places_reached(setting, relaxed));
  return between.empty() ? "no track joins its ends" : between;
}

}  // namespace roomloom::route
