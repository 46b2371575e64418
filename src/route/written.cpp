#include "route/written.h"

#include <algorithm>

#include "base/glob.h"
#include "base/units.h"
#include "geometry/arc.h"
#include "route/paths.h"
#include "route/rules.h"

namespace roomloom::route {
namespace {

constexpr double kOn_m = 0.002;
constexpr double kSameLength_m = 0.02;
constexpr double kOff = 1000;     ///< times as far, for the search that looks for a written way
constexpr double kMustMove = 10;  ///< money a metre off its way, for a run that cannot keep to it

Vec3 place_of(const Setting& setting, int node) {
  return setting.tracks.nodes[static_cast<std::size_t>(node)].position;
}

bool near(const WrittenWay& way, const Vec3& p) {
  return std::any_of(way.stretches.begin(), way.stretches.end(), [&](const WayStretch& stretch) {
    return point_segment_distance(p, stretch.from, stretch.to) < kOn_m;
  });
}

/// An edge lies on one stretch of the way as a whole; a turn lies at a corner of it.
bool on_way(const Setting& setting, const WrittenWay& way, const TrackEdge& edge) {
  const Vec3 a = place_of(setting, edge.a), b = place_of(setting, edge.b);
  return std::any_of(way.stretches.begin(), way.stretches.end(), [&](const WayStretch& stretch) {
    return point_segment_distance(a, stretch.from, stretch.to) < kOn_m &&
           point_segment_distance(b, stretch.from, stretch.to) < kOn_m;
  });
}

std::vector<char> edges_on(const Setting& setting, const WrittenWay& way) {
  std::vector<char> near_node;
  for (const TrackNode& node : setting.tracks.nodes)
    near_node.push_back(near(way, node.position) ? 1 : 0);
  std::vector<char> on;
  for (const TrackEdge& edge : setting.tracks.edges)
    on.push_back(near_node[static_cast<std::size_t>(edge.a)] != 0 &&
                         near_node[static_cast<std::size_t>(edge.b)] != 0 &&
                         on_way(setting, way, edge)
                     ? 1
                     : 0);
  return on;
}

double length_of(const WrittenWay& way) {
  double sum = 0;
  for (const WayStretch& stretch : way.stretches) sum += distance(stretch.from, stretch.to);
  return sum;
}

/// Metres of a way that are none of the written one.
double off_way_m(const Setting& setting, const std::vector<char>& on,
                 const std::vector<Step>& way) {
  double sum = 0;
  for (const Step& step : way)
    if (on[static_cast<std::size_t>(step.edge)] == 0)
      sum += setting.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
  return sum;
}

/// The way on this graph, if it is there from end to end. `rules`: whether the run's own rules and
/// those of services are asked, which bind no run that lies.
std::vector<Step> whole_way(const Setting& setting, int run, const WrittenWay& way,
                            const std::vector<char>& on, bool rules) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const Search search = search_from(
      setting, needs.from_node,
      [&](int e) {
        if (on[static_cast<std::size_t>(e)] == 0 || (rules && !may_use(setting, run, e)))
          return kClosed;
        const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(e)];
        return edge.length_m + 1e-4 * (1 + edge.turn_rad);
      },
      needs.to_node);
  const auto found = way_to(setting, search, needs.to_node);
  if (!found || std::abs(length_of(setting, *found) - length_of(way)) > kSameLength_m) return {};
  return *found;
}

/// Whether a way passes everything that the run's `via` names.
bool passes_all(const Setting& setting, int run, const std::vector<Step>& way) {
  const int spec = setting.ends.runs[static_cast<std::size_t>(run)].spec;
  if (spec < 0 || spec >= static_cast<int>(setting.job.runs.size())) return true;
  const std::vector<std::string>& via = setting.job.runs[static_cast<std::size_t>(spec)].via;
  return std::all_of(via.begin(), via.end(), [&](const std::string& pattern) {
    return std::any_of(way.begin(), way.end(), [&](const Step& step) {
      const std::vector<std::string> names = names_of_edge(setting, step.edge);
      return std::any_of(names.begin(), names.end(),
                         [&](const std::string& name) { return matches_pattern(pattern, name); });
    });
  });
}

bool may_be_found(const std::vector<char>& on, const RunNeeds& needs) {
  return needs.from_node >= 0 && needs.to_node >= 0 &&
         std::any_of(on.begin(), on.end(), [](char one) { return one != 0; });
}

/// A run that lies where its way cannot be found again is drawn as near to it as tracks allow.
void lay_near(const Setting& setting, const std::vector<char>& on, RunNeeds& needs) {
  const Search search = search_from(
      setting, needs.from_node,
      [&](int e) {
        const double length = setting.tracks.edges[static_cast<std::size_t>(e)].length_m;
        return (on[static_cast<std::size_t>(e)] != 0 ? length : kOff * length) + 1e-4;
      },
      needs.to_node);
  if (const auto way = way_to(setting, search, needs.to_node)) {
    needs.settled = *way;
    needs.lies = true;
  }
}

/// The cheapest way of a run whose cable lies on `way`: what lies costs nothing, and where it is
/// led on it pays as if it were alone. Nothing moves it afterwards.
void lead_on(Setting& setting, int run, const WrittenWay& way) {
  RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  needs.lying = edges_on(setting, way);
  if (!may_be_found(needs.lying, needs)) return needs.lying.clear();
  const Occupation nobody(setting);
  const Search search = search_from(
      setting, needs.from_node, [&](int edge) { return nobody.marginal_cost(run, edge); },
      needs.to_node);
  if (const auto found = way_to(setting, search, needs.to_node)) {
    needs.settled = needs.written = *found;
    needs.stays = true;
  } else {
    needs.lying.clear();
  }
}

void take_up(Setting& setting, int run, const WrittenWay& way, std::vector<std::string>& told) {
  RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const std::string& id = setting.ends.runs[static_cast<std::size_t>(run)].id;
  if (way.led_on) return lead_on(setting, run, way);
  const std::vector<char> on = edges_on(setting, way);
  const bool any = may_be_found(on, needs);
  if (way.held) {
    if (any) needs.settled = whole_way(setting, run, way, on, false);
    needs.lies = !needs.settled.empty();
    if (needs.lies) return;
    if (any) lay_near(setting, on, needs);
    const double off = off_way_m(setting, on, needs.settled);
    told.push_back(id +
                   ": lies in the room, but its written way does not lead from end to end "
                   "here; " +
                   (needs.lies ? "it is drawn as near to it as tracks allow, " +
                                     format_length(off, setting.job.units, 2) + " of it elsewhere"
                               : std::string("it is planned as if it were new")) +
                   ". Were its ends or the model moved?");
    return;
  }
  needs.on_written = on;
  if (any) needs.written = whole_way(setting, run, way, on, true);
  if (!passes_all(setting, run, needs.written)) needs.written.clear();
  needs.stays = !needs.written.empty() && !setting.job.moving_price;
  needs.moving_price = setting.job.moving_price.value_or(kMustMove);
  if (!needs.written.empty()) return;
  if (needs.from_node < 0 || needs.to_node < 0)
    needs.why_not = "an end reaches no track";
  else if (any && !whole_way(setting, run, way, on, false).empty())
    needs.why_not = "a rule of the run, separation or the cable's thickness closes its way";
  else if (distance(place_of(setting, needs.from_node), way.stretches.front().from) > kOn_m ||
           distance(place_of(setting, needs.to_node), way.stretches.back().to) > kOn_m)
    needs.why_not = "an end has moved";
  else
    needs.why_not = "something stands in its way now";
}

}  // namespace

void find_written_ways(Setting& setting, std::vector<std::string>& told) {
  for (std::size_t run = 0; run < setting.ends.runs.size(); ++run) {
    const std::string& id = setting.ends.runs[run].id;
    // What is recorded as built comes after the plan that it was built by, and is right.
    const WrittenWay* way = nullptr;
    for (const WrittenWay& one : setting.job.written)
      if (one.run == id && !one.stretches.empty() && (way == nullptr || !way->held)) way = &one;
    const int spec = setting.ends.runs[run].spec;
    const bool installed = spec >= 0 && spec < static_cast<int>(setting.job.runs.size()) &&
                           setting.job.runs[static_cast<std::size_t>(spec)].installed;
    if (way != nullptr)
      take_up(setting, static_cast<int>(run), *way, told);
    else if (installed)
      told.push_back(id +
                     ": is installed, but nothing says where it lies; it is planned as if it "
                     "were new. Record it, or start from the plan that it was pulled by");
  }
}

void tell_moves(const Setting& setting, const Ways& ways, Plan& plan) {
  for (std::size_t run = 0; run < ways.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    if (needs.lies) plan.runs[run].held = true;
    if (needs.on_written.empty()) continue;
    plan.started_from = true;
    if (ways[run] == needs.written) continue;
    plan.moved.push_back(
        {static_cast<int>(run), off_way_m(setting, needs.on_written, ways[run]),
         needs.why_not.empty() ? std::string("another way is cheaper") : needs.why_not});
  }
}

}  // namespace roomloom::route
