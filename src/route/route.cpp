#include "route/route.h"

#include <algorithm>
#include <map>
#include <optional>

#include "base/units.h"
#include "route/passing.h"
#include "route/rules.h"
#include "route/symmetry.h"
#include "route/written.h"

namespace roomloom {
namespace route {
namespace {

/// What a metre off the present way counts to one on it, and whether a hole may be one that nobody
/// has planned: whoever moves a loudspeaker goes on from where its cable lies, and cuts nothing.
EdgeCost cost_of_moving(const Setting& setting, const Ways& ways, int run, bool new_holes) {
  constexpr double kOnTheWay = 0.01, kTurn_m = 1e-4;
  std::vector<char> own(setting.tracks.edges.size(), 0), planned(own.size(), 0);
  for (std::size_t other = 0; other < ways.size(); ++other)
    for (const Step& step : ways[other]) {
      planned[static_cast<std::size_t>(step.edge)] = 1;
      if (static_cast<int>(other) == run) own[static_cast<std::size_t>(step.edge)] = 1;
    }
  return [&setting, run, new_holes, own, planned](int edge) {
    const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
    if (!may_use(setting, run, edge)) return kClosed;
    if (e.kind == EdgeKind::crossing && !new_holes && planned[static_cast<std::size_t>(edge)] == 0)
      return kClosed;
    const double metres = e.length_m + kTurn_m * (1 + e.turn_rad);
    return own[static_cast<std::size_t>(edge)] != 0 ? kOnTheWay * metres : metres;
  };
}

/// The shortest way to each place that an end may move to, along the run's own as far as it serves.
void add_alternatives(const Setting& setting, const Ways& ways, int run, PlannedRun& planned) {
  const Run& told = setting.ends.runs[static_cast<std::size_t>(run)];
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  for (const bool move_from : {true, false}) {
    const int moving = move_from ? told.from : told.to;
    const int fixed = move_from ? needs.to_node : needs.from_node;
    if (moving < 0 || fixed < 0 ||
        setting.ends.ends[static_cast<std::size_t>(moving)].may_move_to.empty())
      continue;
    const Search search = search_from(setting, fixed, cost_of_moving(setting, ways, run, false));
    std::optional<Search> cutting;  // where the first finds no way: seldom
    for (std::size_t t = 0; t < setting.tracks.terminals.size(); ++t) {
      const Terminal& terminal = setting.tracks.terminals[t];
      if (terminal.end != moving || terminal.alternative < 0) continue;
      planned.alternative_terminals.push_back(static_cast<int>(t));
      std::vector<Step> way;
      if (terminal.node >= 0) {
        auto found = way_to(setting, search, terminal.node);
        if (!found) {
          if (!cutting)
            cutting = search_from(setting, fixed, cost_of_moving(setting, ways, run, true));
          found = way_to(setting, *cutting, terminal.node);
        }
        way = found.value_or(std::vector<Step>{});
      }
      planned.alternative_steps.push_back(move_from ? reversed(way) : way);
    }
  }
}

/// Room that is kept along named runs is bought with the raceway, but no part of the bound.
void tell_spares(const Setting& setting, Told& told) {
  const bool named = std::any_of(setting.spares.begin(), setting.spares.end(),
                                 [](const SpareNeeds& spare) { return !spare.along.empty(); });
  if (named)
    told.relaxations.push_back(
        "room is kept for later along named runs; the bound leaves its raceway out");
}

/// Runs that are longer on their tracks than their cable reaches: no way within it was found, or
/// none is within it.
void tell_too_long(const Setting& setting, const Ways& ways, Told& told) {
  const auto metres = [&](double length) { return format_length(length, setting.job.units, 1); };
  for (std::size_t run = 0; run < ways.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    const std::string way =
        setting.ends.runs[run].id + ": " + metres(length_of(setting, ways[run])) + " of way";
    if (needs.out_of_reach_m > 0)
      told.not_kept(way + "; not even the shortest keeps to the " + metres(needs.out_of_reach_m) +
                    " that its cable reaches, so it is planned all the same");
    else if (too_long_m(setting, static_cast<int>(run), ways[run]) > 0)
      told.not_kept(way + " is longer than the " + metres(needs.greatest_length_m) +
                    " that its cable reaches");
  }
}

void fill_runs(const Setting& setting, const Ways& ways, Plan& plan) {
  for (std::size_t run = 0; run < ways.size(); ++run) {
    PlannedRun planned;
    planned.run = static_cast<int>(run);
    planned.steps = ways[run];
    const RunNeeds& needs = setting.runs[run];
    planned.routed =
        !ways[run].empty() || (needs.from_node >= 0 && needs.from_node == needs.to_node);
    if (planned.routed)
      add_alternatives(setting, ways, static_cast<int>(run), planned);
    else
      planned.blocked_by = blocker_of(setting, static_cast<int>(run));
    plan.runs.push_back(std::move(planned));
  }
}

}  // namespace
}  // namespace route

Plan route_runs(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                const RouteOptions& options) {
  Plan plan;
  route::Setting asked = route::make_setting(tracks, ends, room, job);
  route::Told told;
  route::apply_masks(asked, told);
  route::find_written_ways(asked, plan.notes);
  route::Attempt planned = route::solve_all(asked, options, told);
  const route::Setting& setting = planned.setting;
  route::Solved& solved = planned.solved;
  plan.separate_objective = planned.separate;
  const std::size_t before = told.relaxations.size();
  route::mirror_crossings(setting, solved.ways, told);
  route::keep_company_rules(setting, solved.ways, told);
  route::tell_too_long(setting, solved.ways, told);
  route::tell_spares(setting, told);
  plan.relaxations = solved.relaxations;
  plan.relaxations.insert(plan.relaxations.end(), told.relaxations.begin(), told.relaxations.end());
  plan.notes.insert(plan.notes.end(), told.notes.begin(), told.notes.end());
  plan.bound = solved.bound;
  plan.model = solved.model;
  route::fill_plan(setting, solved.ways, plan);
  route::fill_runs(setting, solved.ways, plan);
  route::tell_moves(setting, solved.ways, plan);
  plan.proven = solved.proven && told.relaxations.size() == before &&
                plan.objective <= plan.bound * (1 + 1e-6) + 1e-9;
  return plan;
}

double price_plan(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job,
                  const Plan& plan) {
  const route::Setting setting = route::make_setting(tracks, ends, room, job);
  route::Ways ways;
  for (const PlannedRun& run : plan.runs) ways.push_back(run.steps);
  return route::price_ways(setting, ways);
}

}  // namespace roomloom
