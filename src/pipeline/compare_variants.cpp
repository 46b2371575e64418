#include "pipeline/compare_variants.h"

#include <algorithm>

#include "pipeline/plan_rows.h"

namespace roomloom {
namespace {

std::string joined(const std::vector<std::string>& names, const char* between) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : between) + name;
  return text;
}

std::string no_way(const PlannedRoom& p) {
  std::vector<std::string> runs;
  for (const RunRow& row : p.takeoff.runs)
    if (!row.routed) runs.push_back(row.id);
  return runs.empty() ? std::string() : "no way for " + joined(runs, ", ");
}

std::vector<Cell> row_of(const std::string& name, const PlannedRoom& p, bool here) {
  const std::vector<Cell> figures = plan_row(name, p.plan, p.takeoff);
  const std::string blocked = no_way(p);
  std::string remark = here ? "the plan in this result" : "";
  if (!blocked.empty()) remark += (remark.empty() ? "" : "; ") + blocked;
  std::vector<Cell> row;
  row.reserve(figures.size() + 2);
  row.push_back(figures.front());
  row.emplace_back(static_cast<double>(p.takeoff.runs.size()));
  for (std::size_t i = 1; i < figures.size(); ++i) row.push_back(figures[i]);
  row.emplace_back(std::move(remark));
  return row;
}

std::vector<Cell> row_without_plan(const std::string& name, const Error& error,
                                   std::size_t columns) {
  std::vector<Cell> row;
  row.reserve(columns);
  row.emplace_back(name);
  while (row.size() + 1 < columns) row.emplace_back();
  row.emplace_back("cannot be planned: " + to_text(error));
  return row;
}

}  // namespace

Table variant_table(const PlannedRoom& p, const PlanOptions& options) {
  Table table{"variants",
              "Variants side by side",
              "Each is planned by itself, as hard as this plan. Money is the sum of its "
              "shopping list, whole spools and lengths, without work. Gap: no plan on these tracks "
              "is cheaper by more.",
              plan_columns({"variant", "Variant", ColumnKind::text}),
              {}};
  table.columns.insert(table.columns.begin() + 1, Column{"runs", "Runs", ColumnKind::count});
  table.columns.push_back({"remark", "Remark", ColumnKind::text});
  PlanOptions alone = options;
  alone.progress = {};
  const auto add = [&](const std::string& name, const JobInput& input) {
    if (input.variants == p.job.origin.chosen) return table.rows.push_back(row_of(name, p, true));
    const auto planned = plan_as(p.job_file, input, alone, &p);
    table.rows.push_back(planned ? row_of(name, *planned, false)
                                 : row_without_plan(name, planned.error(), table.columns.size()));
  };
  add("as written", {options.house, {}, true});
  for (const std::string& name : p.job.origin.variants) add(name, {options.house, {name}, false});
  const std::vector<std::string>& chosen = p.job.origin.chosen;
  if (chosen.size() > 1) add(joined(chosen, " + ") + ", wired now", {options.house, chosen, false});
  return table;
}

}  // namespace roomloom
