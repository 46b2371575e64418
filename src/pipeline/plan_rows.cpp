#include "pipeline/plan_rows.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

double amount_of(const Plan& plan, const std::string& name) {
  for (const Term& term : plan.terms)
    if (term.name == name) return term.amount;
  return 0;
}

/// What is bought for the plan, at the catalogue's prices: cable as laid out, holes, raceway,
/// fittings and supports; no work, no weight of what shows.
double money_of(const Job& job, const Plan& plan, const Takeoff& takeoff) {
  double money = 0;
  for (const Term& term : plan.terms)
    if (term.name != "cable" && term.name != "work" && term.name != "visible") money += term.cost;
  for (const RunRow& run : takeoff.runs)
    for (const CableType& cable : job.catalogue.cables)
      if (cable.id == run.cable && run.routed && !run.lies())
        money += cable.price_per_m * run.cut_m;
  return money;
}

}  // namespace

std::vector<Column> plan_columns(const Column& name) {
  return {name,
          {"cable_m", "Cable to cut", ColumnKind::length},
          {"holes", "Holes", ColumnKind::count},
          {"raceway_m", "Raceway", ColumnKind::length},
          {"visible_m", "Visible, weighted", ColumnKind::length},
          {"minutes", "Minutes", ColumnKind::minutes},
          {"money", "Money", ColumnKind::money},
          {"longest_m", "Longest run", ColumnKind::length},
          {"gap_percent", "Gap, %", ColumnKind::number}};
}

std::vector<Cell> plan_row(const std::string& name, const Job& job, const Plan& plan,
                           const Takeoff& takeoff) {
  double longest = 0;
  for (const RunRow& run : takeoff.runs) longest = std::max(longest, run.cut_m);
  const double gap = plan.bound > 0 ? 100 * (plan.objective - plan.bound) / plan.bound : 0;
  return {name,
          takeoff.cut_m,
          amount_of(plan, "holes"),
          amount_of(plan, "raceway"),
          amount_of(plan, "visible"),
          amount_of(plan, "work"),
          money_of(job, plan, takeoff),
          longest,
          std::max(0.0, std::round(100 * gap) / 100)};
}

}  // namespace roomloom
