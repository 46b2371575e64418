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

std::vector<Cell> plan_row(const std::string& name, const Plan& plan, const Takeoff& takeoff) {
  double longest = 0, minutes = 0;
  for (const RunRow& run : takeoff.runs) longest = std::max(longest, run.cut_m);
  for (const WorkStep& step : takeoff.steps) minutes += step.minutes;
  const double gap = plan.bound > 0 ? 100 * (plan.objective - plan.bound) / plan.bound : 0;
  return {name,
          takeoff.cut_m,
          amount_of(plan, "holes"),
          amount_of(plan, "raceway"),
          amount_of(plan, "visible"),
          minutes,
          takeoff.to_buy,
          longest,
          std::max(0.0, std::round(100 * gap) / 100)};
}

}  // namespace roomloom
