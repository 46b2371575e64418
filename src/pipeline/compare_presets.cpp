#include "pipeline/compare_presets.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/units.h"
#include "job/job.h"
#include "pipeline/plan_rows.h"
#include "shape/shape.h"
#include "takeoff/takeoff.h"
#include "tracks/tracks.h"

namespace roomloom {
namespace {

/// A plan under other preferences, for the same ends in the same room.
struct Variant {
  Job job;
  Tracks tracks;
  Plan plan;
  Takeoff takeoff;
};

Variant plan_variant(const PlannedRoom& p, const Preferences& prefer, const RouteOptions& effort) {
  Variant variant{p.job, {}, {}, {}};
  variant.job.prefer = prefer;
  variant.tracks = build_tracks(p.scene, p.room, p.ends, variant.job);
  variant.plan = route_runs(variant.tracks, p.ends, p.room, variant.job, effort);
  const CableShapes shapes =
      shape_cables(variant.plan, variant.tracks, p.ends, p.room, variant.job);
  variant.takeoff =
      take_off(shapes, variant.plan, variant.tracks, p.ends, p.room, variant.job, &p.scene);
  return variant;
}

struct Weight {
  const char* name;
  double Preferences::*member;
};

constexpr Weight kWeights[] = {
    {"price of cable", &Preferences::cable_weight},
    {"price of a minute", &Preferences::money_per_minute},
    {"price of a visible metre", &Preferences::money_per_visible_m},
    {"price of a hole", &Preferences::hole_price},
    {"price of a support", &Preferences::support_price},
    {"minutes for a hole", &Preferences::minutes_per_hole},
    {"minutes for a metre of raceway", &Preferences::minutes_per_raceway_m},
    {"minutes for a fitting", &Preferences::minutes_per_fitting},
    {"minutes for a bend", &Preferences::minutes_per_bend},
    {"minutes for a ladder move", &Preferences::minutes_per_ladder_move},
    {"minutes for a metre in a void", &Preferences::minutes_per_void_m},
};

/// Below this share of the objective a saving is not told: another plan of the same worth.
constexpr double kWorthTelling = 0.005;

/// The same graph, so that steps of one mean the same on the other.
bool same_graph(const Tracks& x, const Tracks& y) {
  if (x.edges.size() != y.edges.size() || x.nodes.size() != y.nodes.size()) return false;
  for (std::size_t e = 0; e < x.edges.size(); ++e)
    if (x.edges[e].a != y.edges[e].a || x.edges[e].b != y.edges[e].b) return false;
  return true;
}

int moved_runs(const Plan& x, const Plan& y) {
  int count = 0;
  for (std::size_t run = 0; run < x.runs.size() && run < y.runs.size(); ++run)
    if (x.runs[run].steps != y.runs[run].steps) ++count;
  return count;
}

/// What the best plan for other preferences saves against the plan at hand, priced likewise.
void add_change(const PlannedRoom& p, const Weight& weight, double factor, Table& table) {
  Job job = p.job;
  if (job.prefer.*weight.member == 0) return;
  job.prefer.*weight.member *= factor;
  const Tracks tracks = build_tracks(p.scene, p.room, p.ends, job);
  if (!same_graph(tracks, p.tracks)) return;
  RouteOptions effort;
  effort.effort = RouteEffort::quick;
  const Plan plan = route_runs(tracks, p.ends, p.room, job, effort);
  const double before = price_plan(tracks, p.ends, p.room, job, p.plan);
  const double saved = before - plan.objective;
  if (saved <= kWorthTelling * before) return;
  table.rows.push_back({std::string(weight.name), std::round(1000 * (factor - 1)) / 10, saved,
                        static_cast<double>(moved_runs(p.plan, plan))});
}

}  // namespace

Table preset_table(const PlannedRoom& p, const RouteOptions& effort) {
  Table table{
      "presets",
      "Plans side by side",
      "Money is the sum of the shopping list, whole spools and lengths, without work. Minutes are "
      "those of the ladder sheet. Gap: no plan on these tracks is cheaper by more, weighed as its "
      "preset weighs.",
      plan_columns({"preset", "Preset", ColumnKind::text}),
      {}};
  table.rows.push_back(plan_row("this plan", p.plan, p.takeoff));
  const std::pair<const char*, Preset> presets[] = {{"balanced", Preset::balanced},
                                                    {"least cable", Preset::least_cable},
                                                    {"least seen", Preset::least_seen},
                                                    {"least work", Preset::least_work}};
  for (const auto& [name, preset] : presets) {
    Preferences prefer = p.job.prefer;
    apply_preset(prefer, preset);
    const Variant variant = plan_variant(p, prefer, effort);
    table.rows.push_back(plan_row(name, variant.plan, variant.takeoff));
  }
  return table;
}

Table sensitivity_table(const PlannedRoom& p) {
  Table table{"sensitivity",
              "What would change the plan",
              "",
              {{"price", "Price or minutes", ColumnKind::text},
               {"change_percent", "Changed by, %", ColumnKind::number},
               {"saved", "Another plan then saves", ColumnKind::money},
               {"runs_moved", "Runs it moves", ColumnKind::count}},
              {}};
  for (const Weight& weight : kWeights)
    for (const double factor : {0.8, 1.25}) add_change(p, weight, factor, table);
  table.note = table.rows.empty()
                   ? "No price or minute a fifth less or a quarter more would change the plan."
                   : "Each price or minute was tried a fifth less and a quarter more; those not "
                     "listed would not change the plan.";
  return table;
}

}  // namespace roomloom
