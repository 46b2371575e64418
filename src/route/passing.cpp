#include "route/passing.h"

#include <algorithm>
#include <optional>
#include <set>

// Runs that are to pass something: where each of them passes it.

namespace roomloom::route {
namespace {

/// Runs sent through what they are to pass one after the other, each beside all others, and
/// planned.
/// @param ways  of all runs so far; empty = nobody's
Attempt attempt(const Setting& told, const std::set<int>& sent, Ways ways,
                const RouteOptions& options) {
  Setting setting = told;
  for (const int run : sent) {
    const Occupation others = occupation_without(setting, ways, run);
    if (!send_through(setting, run, others)) send_through(setting, run, Occupation(setting));
    if (ways.empty()) continue;
    ways[static_cast<std::size_t>(run)] =
        way_by_legs(setting, run, [&](int edge) { return others.marginal_cost(run, edge); });
  }
  settle_simple_runs(setting);
  lift_hopeless_lengths(setting);
  const Ways separate = separate_ways(setting);
  const auto start = starting_ways(setting);
  Solved solved = solve_jointly(setting, start.value_or(separate), options);
  const double price = price_ways(setting, separate);
  return {std::move(setting), std::move(solved), price};
}

std::set<int> runs_with_via(const Setting& setting) {
  std::set<int> runs;
  for (int run = 0; run < static_cast<int>(setting.runs.size()); ++run)
    if (!setting.runs[static_cast<std::size_t>(run)].via.empty() && !keeps_its_way(setting, run))
      runs.insert(run);
  return runs;
}

/// Of these, those that miss what they are to pass, and those that another rule leads elsewhere
/// yet.
std::set<int> astray(const Attempt& tried, const std::set<int>& runs) {
  std::set<int> missed;
  for (const int run : runs)
    if (follows_others(tried.setting, run) ||
        !passes_vias(tried.setting, run, tried.solved.ways[static_cast<std::size_t>(run)]))
      missed.insert(run);
  return missed;
}

bool sends_alike(const Attempt& a, const Attempt& b) {
  return std::equal(
      a.setting.runs.begin(), a.setting.runs.end(), b.setting.runs.begin(),
      [](const RunNeeds& l, const RunNeeds& r) { return l.via_nodes == r.via_nodes; });
}

/// Chooses where runs pass beside given ways, then beside the plan that this gives, until that
/// stays as it is; keeps the best plan.
/// @param sent  runs that are; those that miss what they are to pass join them
void choose_passing(const Setting& told, const std::set<int>& asked, Ways beside,
                    std::set<int>& sent, const RouteOptions& quick, std::optional<Attempt>& best) {
  constexpr int kMostPlans = 4;
  for (int plans = 0; plans < kMostPlans; ++plans) {
    Attempt next = attempt(told, sent, beside, quick);
    beside = next.solved.ways;
    const std::size_t before = sent.size();
    sent.merge(astray(next, asked));
    if (sent.size() > before) continue;
    const bool alike = sends_alike(*best, next);
    if (judge(next.setting, next.solved.ways) < judge(best->setting, best->solved.ways))
      best.emplace(std::move(next));
    if (alike) return;
  }
}

/// Ways of a plan in which every metre off what runs are to pass is dearer: they move there
/// together, as none does by itself when the others are elsewhere.
Ways lured_ways(const Setting& told, const std::set<int>& sent, const RouteOptions& quick) {
  constexpr double kDearer = 5;
  Setting setting = told;
  for (const int run : sent) {
    RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
    needs.on_written.assign(setting.tracks.edges.size(), 0);
    for (const std::string& pattern : needs.via)
      for (int e = 0; e < static_cast<int>(setting.tracks.edges.size()); ++e)
        if (is_passing(setting, e, pattern)) needs.on_written[static_cast<std::size_t>(e)] = 1;
    needs.moving_price = kDearer * needs.rate;
  }
  return attempt(setting, {}, {}, quick).solved.ways;
}

/// Where runs are sent is chosen by quick plans; the plan itself is as good as was asked for.
void search_longer(Attempt& quick, const std::set<int>& asked, const RouteOptions& options) {
  if (options.effort == RouteEffort::quick) return;
  RouteOptions unproved = options;
  unproved.certificate = nullptr;
  Attempt longer{quick.setting, solve_jointly(quick.setting, quick.solved.ways, unproved),
                 quick.separate};
  if (astray(longer, asked) == astray(quick, asked)) quick.solved = std::move(longer.solved);
}

/// Each run once more beside the others, through whatever edge of what it is to pass, or by a way
/// that passes it without being sent: legs keep runs off one another's holes more than they must.
void improve_passing(Attempt& planned, const std::set<int>& asked) {
  Setting setting = planned.setting;
  Ways& ways = planned.solved.ways;
  for (int round = 0; round < kRounds; ++round) {
    bool changed = false;
    for (const int run : asked) {
      RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
      const Occupation others = occupation_without(setting, ways, run);
      const EdgeCost cost = [&](int edge) { return others.marginal_cost(run, edge); };
      const RunNeeds sent = needs;
      const auto consider = [&] {
        Ways next = ways;
        next[static_cast<std::size_t>(run)] = way_by_legs(setting, run, cost);
        if (!passes_vias(setting, run, next[static_cast<std::size_t>(run)])) return;
        if (!(judge(setting, next) < judge(setting, ways))) return;
        ways = std::move(next);
        changed = true;
      };
      needs.via_nodes.clear();
      needs.leg_closed.clear();
      needs.leg_only.clear();
      consider();
      if (send_through(setting, run, others)) consider();
      needs = sent;
    }
    if (!changed) return;
  }
}

void tell_sent(const Setting& setting, Told& said) {
  std::string runs;
  for (std::size_t run = 0; run < setting.runs.size(); ++run)
    if (!setting.runs[run].via_nodes.empty())
      runs += (runs.empty() ? "" : ", ") + setting.ends.runs[run].id;
  said.relaxations.push_back(runs + ": the bound leaves \"via\" out");
}

}  // namespace

Attempt solve_all(const Setting& told, const RouteOptions& options, Told& said) {
  Attempt free = attempt(told, {}, {}, options);
  const std::set<int> asked = runs_with_via(told);
  if (asked.empty()) return free;
  RouteOptions quick = options;
  quick.effort = RouteEffort::quick;
  quick.certificate = nullptr;
  std::optional<Attempt> best = attempt(told, asked, {}, quick);
  const double separate = best->separate;
  std::set<int> sent = astray(free, asked);
  if (sent.empty()) {
    free.separate = separate;
    return free;
  }
  const Ways lured = lured_ways(told, sent, quick);
  choose_passing(told, asked, free.solved.ways, sent, quick, best);
  choose_passing(told, asked, lured, sent, quick, best);
  search_longer(*best, asked, options);
  improve_passing(*best, asked);
  tell_sent(best->setting, said);
  // What binds with nobody sent anywhere binds wherever they pass.
  best->solved.bound = free.solved.bound;
  best->solved.certified = free.solved.certified;
  best->solved.relaxations = free.solved.relaxations;
  best->solved.proven = false;
  best->separate = separate;
  return std::move(*best);
}

}  // namespace roomloom::route
