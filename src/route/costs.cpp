#include "route/costs.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <map>
#include <set>

namespace roomloom::route {
namespace {

const CableType* cable_of(const Job& job, const Run& run) {
  if (run.cable < 0 || run.cable >= static_cast<int>(job.catalogue.cables.size())) return nullptr;
  return &job.catalogue.cables[static_cast<std::size_t>(run.cable)];
}

int terminal_node(const Tracks& tracks, int end) {
  for (const Terminal& terminal : tracks.terminals)
    if (terminal.end == end && terminal.alternative < 0) return terminal.node;
  return -1;
}

RunNeeds needs_of(const Tracks& tracks, const Run& run, const Job& job) {
  RunNeeds needs;
  needs.from_node = terminal_node(tracks, run.from);
  needs.to_node = terminal_node(tracks, run.to);
  needs.service = service_bit(run.service);
  const double pulling = job.prefer.minutes_per_run_m * job.prefer.money_per_minute;
  if (const CableType* cable = cable_of(job, run)) {
    needs.cable_rate = cable->price_per_m * job.prefer.cable_weight;
    needs.diameter_m = cable->diameter_m;
    needs.bend_radius_m = cable->bend_radius_m;
    needs.area_m2 = kPi * cable->diameter_m * cable->diameter_m / 4;
    needs.greatest_length_m = cable->greatest_length_m;
  }
  needs.rate = needs.cable_rate + pulling;
  return needs;
}

/// Who lies on each edge, runs ascending.
std::map<int, std::vector<int>> runs_by_edge(const Ways& ways) {
  std::map<int, std::vector<int>> lying;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) {
      std::vector<int>& there = lying[step.edge];
      if (there.empty() || there.back() != static_cast<int>(run))
        there.push_back(static_cast<int>(run));
    }
  return lying;
}

double load_of(const Setting& setting, const std::vector<int>& runs) {
  double load = 0;
  for (const int run : runs) load += setting.runs[static_cast<std::size_t>(run)].area_m2;
  return load;
}

/// What raceway beside these runs must hold: their cables, and those that come later.
double raceway_load_of(const Setting& setting, const std::vector<int>& runs) {
  return load_of(setting, runs) + spare_m2(setting, runs);
}

SpareNeeds spare_needs(const SpareSpec& spare, const Ends& ends, const Job& job) {
  SpareNeeds needs;
  if (const CableType* cable = job.catalogue.cable(spare.cable))
    needs.area_m2 = spare.count * kPi * cable->diameter_m * cable->diameter_m / 4;
  if (spare.along.empty()) return needs;
  for (const Run& run : ends.runs)
    needs.along.push_back(std::find(spare.along.begin(), spare.along.end(), run.id) !=
                          spare.along.end());
  return needs;
}

/// A cord is recorded in a hole or a conduit; one in a hole of a stud bay goes up the whole bay.
std::vector<char> corded_edges(const Tracks& tracks, const Room& room, const Job& job) {
  const std::vector<std::string>& cords = job.as_built.draw_cords;
  if (cords.empty()) return {};
  const auto has = [&](const std::string& name) {
    return std::find(cords.begin(), cords.end(), name) != cords.end();
  };
  std::set<int> bays;
  for (const Crossing& crossing : room.crossings)
    for (const PlaceId& side : {crossing.from, crossing.to})
      if (has(crossing.name) && side.kind == PlaceKind::void_space &&
          room.voids[static_cast<std::size_t>(side.index)].upright_only)
        bays.insert(side.index);
  std::vector<char> corded;
  for (const TrackEdge& edge : tracks.edges) {
    const auto home = static_cast<std::size_t>(edge.home.index);
    const bool hole =
        edge.crossing >= 0 && has(room.crossings[static_cast<std::size_t>(edge.crossing)].name);
    const bool conduit = edge.home.kind == PlaceKind::conduit && has(room.conduits[home].name);
    const bool bay = edge.medium == Medium::bay && bays.contains(edge.home.index);
    corded.push_back(hole || conduit || bay ? 1 : 0);
  }
  return corded;
}

}  // namespace

double spare_m2(const Setting& setting, const std::vector<int>& runs) {
  double sum = 0;
  for (const SpareNeeds& spare : setting.spares) {
    const bool concerned = spare.along.empty()
                               ? runs.size() >= 2
                               : std::any_of(runs.begin(), runs.end(), [&](int run) {
                                   return spare.along[static_cast<std::size_t>(run)] != 0;
                                 });
    if (concerned) sum += spare.area_m2;
  }
  return sum;
}

std::vector<std::vector<Neighbour>> neighbours_of(const Tracks& tracks) {
  std::vector<std::vector<Neighbour>> at(tracks.nodes.size());
  for (std::size_t e = 0; e < tracks.edges.size(); ++e) {
    const TrackEdge& edge = tracks.edges[e];
    at[static_cast<std::size_t>(edge.a)].push_back({static_cast<int>(e), edge.b, true});
    at[static_cast<std::size_t>(edge.b)].push_back({static_cast<int>(e), edge.a, false});
  }
  return at;
}

Setting make_setting(const Tracks& tracks, const Ends& ends, const Room& room, const Job& job) {
  Setting setting{tracks, ends, room, job, {}, {}, {}, {}, corded_edges(tracks, room, job)};
  for (const SpareSpec& spare : job.spares) setting.spares.push_back(spare_needs(spare, ends, job));
  for (const Run& run : ends.runs) setting.runs.push_back(needs_of(tracks, run, job));
  setting.edges_at = neighbours_of(tracks);
  setting.is_terminal.assign(tracks.nodes.size(), 0);
  for (const Terminal& terminal : tracks.terminals)
    if (terminal.node >= 0) setting.is_terminal[static_cast<std::size_t>(terminal.node)] = 1;
  return setting;
}

bool is_open_to_ends_of(const Setting& setting, int run, const TrackEdge& edge) {
  const Run& of = setting.ends.runs[static_cast<std::size_t>(run)];
  return edge.only_end < 0 || edge.only_end == of.from || edge.only_end == of.to;
}

bool may_use(const Setting& setting, int run, int edge) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
  if ((e.closed_to & needs.service) != 0) return false;
  if (needs.diameter_m > e.largest_diameter_m + 1e-9) return false;
  if (!is_open_to_ends_of(setting, run, e)) return false;
  return needs.forbidden.empty() || needs.forbidden[static_cast<std::size_t>(edge)] == 0;
}

namespace {

/// The cheapest of `options` for a load. Only where no single one would do several lie side by
/// side: of the roomiest, so that cables need not change over where some have left; of what is
/// fixed there already, as few as will do.
SizeChoice cheapest_size(const Tracks& tracks, const std::vector<int>& options, double load_m2) {
  SizeChoice best;
  if (load_m2 <= 0) return best;
  for (const int index : options) {
    const EdgeOption& option = tracks.options[static_cast<std::size_t>(index)];
    if (option.capacity_m2 * (1 + 1e-9) < load_m2) continue;
    const double price = option.installed != 0 ? 0 : option.price;
    if (best.option < 0 || price < best.price) best = {index, 1, price};
  }
  if (best.option >= 0) return best;
  const bool installed = std::any_of(options.begin(), options.end(), [&](int index) {
    return tracks.options[static_cast<std::size_t>(index)].installed != 0;
  });
  double roomiest = 0;
  for (const int index : options) {
    const EdgeOption& option = tracks.options[static_cast<std::size_t>(index)];
    if (option.capacity_m2 <= 0) continue;
    const int count = static_cast<int>(std::ceil(load_m2 / option.capacity_m2 - 1e-9));
    const double price = option.price * std::max(0, count - std::popcount(option.installed));
    const double room = installed ? -count : option.capacity_m2;
    if (best.option >= 0 && std::pair(-room, price) >= std::pair(-roomiest, best.price)) continue;
    best = {index, count, price};
    roomiest = room;
  }
  return best;
}

}  // namespace

SizeChoice choose_size(const Tracks& tracks, const TrackEdge& edge, double load_m2) {
  return cheapest_size(tracks, edge.options, load_m2);
}

namespace {

/// How much of what is asked for an option has, the scarcer of width and depth; 1: all of it.
double share_of_clear(const Setting& setting, int option, const ClearNeed& need) {
  constexpr double kSlack_m = 1e-6;
  const int type = setting.tracks.options[static_cast<std::size_t>(option)].raceway;
  const RacewayType& raceway = setting.job.catalogue.raceways[static_cast<std::size_t>(type)];
  const auto share = [](double has, double asked) {
    return has >= asked - kSlack_m ? 1 : has / asked;
  };
  return std::min(share(raceway.inner_width_m, need.width_m),
                  share(raceway.inner_depth_m, need.depth_m));
}

}  // namespace

SizeChoice choose_size(const Setting& setting, int edge, double load_m2, const ClearNeeds& needs) {
  const auto need = needs.find(edge);
  return choose_size(setting, edge, load_m2, need == needs.end() ? ClearNeed{} : need->second);
}

SizeChoice choose_size(const Setting& setting, int edge, double load_m2, const ClearNeed& need) {
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  // Asking for more never gets less: where nothing is clear enough, what comes nearest.
  std::vector<int> clear;
  double most = 0;
  for (const int index : track.options) {
    const double share = share_of_clear(setting, index, need);
    if (share > most + 1e-9) clear.clear();
    if (share < most - 1e-9) continue;
    most = std::max(most, share);
    clear.push_back(index);
  }
  return cheapest_size(setting.tracks, clear, load_m2);
}

namespace {

bool lies_on_edge(const RunNeeds& needs, int edge) {
  return !needs.lying.empty() && needs.lying[static_cast<std::size_t>(edge)] != 0;
}

}  // namespace

double run_cost(const Setting& setting, int run, int edge) {
  const RunNeeds& needs = setting.runs[static_cast<std::size_t>(run)];
  if (needs.lies || lies_on_edge(needs, edge)) return 0;
  const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
  return e.length_m * (is_corded(setting, edge) ? needs.cable_rate : needs.rate) + e.per_run_cost;
}

bool is_corded(const Setting& setting, int edge) {
  return !setting.corded.empty() && setting.corded[static_cast<std::size_t>(edge)] != 0;
}

double moving_cost(const Setting& setting, const Ways& ways) {
  double sum = 0;
  for (std::size_t run = 0; run < ways.size(); ++run) {
    const RunNeeds& needs = setting.runs[run];
    if (needs.on_written.empty() || needs.moving_price <= 0) continue;
    for (const Step& step : ways[run])
      if (needs.on_written[static_cast<std::size_t>(step.edge)] == 0)
        sum +=
            needs.moving_price * setting.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
  }
  return sum;
}

namespace {

std::vector<int> lying_of(const Setting& setting, const std::vector<int>& runs) {
  std::vector<int> lying;
  for (const int run : runs)
    if (setting.runs[static_cast<std::size_t>(run)].lies) lying.push_back(run);
  return lying;
}

/// What the raceway on an edge costs beyond what is there for those that lie in it.
double raceway_price(const Setting& setting, int edge, const std::vector<int>& runs,
                     const ClearNeeds& needs) {
  const std::vector<int> lying = lying_of(setting, runs);
  if (lying.size() == runs.size()) return 0;
  const double all = choose_size(setting, edge, raceway_load_of(setting, runs), needs).price;
  if (lying.empty()) return all;
  const TrackEdge& track = setting.tracks.edges[static_cast<std::size_t>(edge)];
  return std::max(0.0, all - choose_size(setting.tracks, track, load_of(setting, lying)).price);
}

}  // namespace

double price_ways(const Setting& setting, const Ways& ways) {
  double total = 0;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) total += run_cost(setting, static_cast<int>(run), step.edge);
  std::set<int> opened;
  const ClearNeeds needs = clear_needs(setting, ways);
  for (const auto& [edge, runs] : runs_by_edge(ways)) {
    const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
    if (lying_of(setting, runs).size() < runs.size())
      opened.insert(e.charges.begin(), e.charges.end());
    total += raceway_price(setting, edge, runs, needs);
  }
  for (const int charge : opened)
    total += setting.tracks.charges[static_cast<std::size_t>(charge)].price;
  return total;
}

double overload_m2(const Setting& setting, const Ways& ways) {
  double over = 0;
  for (const auto& [edge, runs] : runs_by_edge(ways)) {
    const TrackEdge& e = setting.tracks.edges[static_cast<std::size_t>(edge)];
    if (e.capacity_m2 > 0)
      over += std::max(0.0, load_of(setting, runs) - e.capacity_m2 * (1 + 1e-9));
  }
  return over;
}

namespace {

void fill_charges(const Setting& setting, const std::map<int, std::vector<int>>& lying,
                  Plan& plan) {
  std::map<int, std::set<int>> sharers;
  for (const auto& [edge, runs] : lying)
    if (lying_of(setting, runs).size() < runs.size())  // else nothing is left to pay
      for (const int charge : setting.tracks.edges[static_cast<std::size_t>(edge)].charges)
        sharers[charge].insert(runs.begin(), runs.end());
  for (const auto& [charge, runs] : sharers)
    plan.charges.push_back({charge, {runs.begin(), runs.end()}});
}

void fill_raceways(const Setting& setting, const Ways& ways,
                   const std::map<int, std::vector<int>>& lying, Plan& plan) {
  const ClearNeeds needs = clear_needs(setting, ways);
  for (const auto& [edge, runs] : lying) {
    const SizeChoice size = choose_size(setting, edge, raceway_load_of(setting, runs), needs);
    if (size.option >= 0)
      plan.raceways.push_back({edge, size.option, runs, load_of(setting, runs), size.count});
  }
}

/// Consecutive edges of a run that the same set of runs lies on are one trunk.
void fill_trunks(const Setting& setting, const Ways& ways,
                 const std::map<int, std::vector<int>>& lying, Plan& plan) {
  std::set<int> done;
  for (const std::vector<Step>& way : ways) {
    Trunk trunk;
    const auto close = [&] {
      if (!trunk.edges.empty()) plan.trunks.push_back(trunk);
      trunk = {};
    };
    for (const Step& step : way) {
      const std::vector<int>& runs = lying.at(step.edge);
      if (runs.size() < 2 || !done.insert(step.edge).second) {
        close();
        continue;
      }
      if (trunk.runs != runs) close();
      trunk.runs = runs;
      trunk.edges.push_back(step.edge);
      trunk.length_m += setting.tracks.edges[static_cast<std::size_t>(step.edge)].length_m;
    }
    close();
  }
}

struct Sums {
  double cable_m = 0, cable = 0, pull_minutes = 0, bends = 0;
  double raceway_m = 0, sizes = 0;
};

Sums sum_runs(const Setting& setting, const Ways& ways) {
  Sums sums;
  for (std::size_t run = 0; run < ways.size(); ++run)
    for (const Step& step : ways[run]) {
      if (setting.runs[run].lies) break;
      if (lies_on_edge(setting.runs[run], step.edge)) continue;
      const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(step.edge)];
      sums.cable_m += edge.length_m;
      sums.cable += edge.length_m * setting.runs[run].cable_rate;
      if (!is_corded(setting, step.edge))
        sums.pull_minutes += edge.length_m * setting.job.prefer.minutes_per_run_m;
      sums.bends += edge.per_run_cost;
    }
  return sums;
}

/// The objective by what it pays for. Minutes of every kind are one term, and what shows is one.
void fill_terms(const Setting& setting, const Ways& ways, Plan& plan) {
  const Preferences& prefer = setting.job.prefer;
  Sums sums = sum_runs(setting, ways);
  const ClearNeeds needs = clear_needs(setting, ways);
  for (const PlannedRaceway& raceway : plan.raceways) {
    const TrackEdge& edge = setting.tracks.edges[static_cast<std::size_t>(raceway.edge)];
    const EdgeOption& option = setting.tracks.options[static_cast<std::size_t>(raceway.option)];
    const bool all_lie = lying_of(setting, raceway.runs).size() == raceway.runs.size();
    const int there = all_lie ? raceway.count : std::popcount(option.installed);
    sums.raceway_m += edge.length_m * std::max(0, raceway.count - there);
    sums.sizes += raceway_price(setting, raceway.edge, raceway.runs, needs);
  }
  double minutes = 0, visible = 0, holes = 0, supports = 0, fittings = 0, other = 0;
  int hole_count = 0, fitting_count = 0;
  for (const PlannedCharge& opened : plan.charges) {
    const Charge& charge = setting.tracks.charges[static_cast<std::size_t>(opened.charge)];
    minutes += charge.minutes;
    visible += charge.visible_m;
    const double rest = charge.price - charge.minutes * prefer.money_per_minute -
                        charge.visible_m * prefer.money_per_visible_m;
    hole_count += charge.kind == ChargeKind::hole ? 1 : 0;
    fitting_count += charge.kind == ChargeKind::fitting ? 1 : 0;
    switch (charge.kind) {
      case ChargeKind::hole:
        holes += rest;
        break;
      case ChargeKind::support:
        supports += rest;
        break;
      case ChargeKind::fitting:
        fittings += rest;
        break;
      default:
        other += rest;
    }
  }
  const double work = (minutes + sums.pull_minutes) * prefer.money_per_minute + sums.bends;
  const double all_minutes =
      prefer.money_per_minute > 0 ? work / prefer.money_per_minute : minutes + sums.pull_minutes;
  plan.terms = {{"cable", sums.cable_m, "m", sums.cable},
                {"holes", static_cast<double>(hole_count), "", holes},
                {"raceway", sums.raceway_m, "m", sums.sizes},
                {"fittings", static_cast<double>(fitting_count), "", fittings},
                {"supports", 0, "", supports},
                {"work", all_minutes, "min", work},
                {"visible", visible, "m", visible * prefer.money_per_visible_m}};
  plan.terms[4].amount = prefer.support_price > 0 ? supports / prefer.support_price : 0;
  if (std::abs(other) > 1e-12) plan.terms.push_back({"other", 0, "", other});
  plan.objective = 0;
  for (const Term& term : plan.terms) plan.objective += term.cost;
}

}  // namespace

void fill_plan(const Setting& setting, const Ways& ways, Plan& plan) {
  const std::map<int, std::vector<int>> lying = runs_by_edge(ways);
  fill_charges(setting, lying, plan);
  fill_raceways(setting, ways, lying, plan);
  fill_trunks(setting, ways, lying, plan);
  fill_terms(setting, ways, plan);
}

}  // namespace roomloom::route
