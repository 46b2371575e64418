#include <algorithm>
#include <map>
#include <set>

#include "page/parts.h"

namespace roomloom::page {
namespace {

bool holds_runs(const Column& column) {
  return column.kind == ColumnKind::text && column.key.find("run") != std::string::npos;
}

const Table* pull_table(const Takeoff& takeoff) {
  for (const char* word : {"pull_order", "ladder", "pull"}) {
    for (const Table& table : takeoff.tables) {
      const bool is_it = table.id.find(word) != std::string::npos;
      if (is_it && std::any_of(table.columns.begin(), table.columns.end(), holds_runs))
        return &table;
    }
  }
  return nullptr;
}

std::vector<int> runs_in(const std::string& text, const std::map<std::string, int>& numbers) {
  std::vector<int> runs;
  for (std::size_t from = 0; from <= text.size();) {
    std::size_t to = text.find(", ", from);
    if (to == std::string::npos) to = text.size();
    const auto found = numbers.find(text.substr(from, to - from));
    if (found != numbers.end()) runs.push_back(found->second);
    from = to + 2;
  }
  return runs;
}

PullStep step_of(const Table& table, const std::vector<Cell>& row,
                 const std::map<std::string, int>& numbers) {
  PullStep step;
  for (std::size_t i = 0; i < row.size() && i < table.columns.size(); ++i) {
    const auto* text = std::get_if<std::string>(&row[i]);
    if (text == nullptr || text->empty()) continue;
    if (holds_runs(table.columns[i])) {
      for (const int run : runs_in(*text, numbers)) step.runs.push_back(run);
    }
    step.text += (step.text.empty() ? "" : " · ") + *text;
  }
  return step;
}

std::vector<PullStep> longest_first(const PageRequest& r) {
  std::vector<const RunRow*> rows;
  for (const RunRow& row : r.takeoff.runs)
    if (row.routed && !row.lies()) rows.push_back(&row);
  std::stable_sort(rows.begin(), rows.end(),
                   [](const RunRow* a, const RunRow* b) { return a->cut_m > b->cut_m; });
  std::vector<PullStep> steps;
  for (const RunRow* row : rows)
    steps.push_back({"Run " + row->id + ", " + format_length(row->cut_m, r.job.units, 2) +
                         ", from " + row->from + " to " + row->to,
                     {row->run}});
  return steps;
}

}  // namespace

std::vector<PullStep> pull_steps(const PageRequest& r) {
  const Table* table = pull_table(r.takeoff);
  if (table == nullptr) return longest_first(r);
  std::map<std::string, int> numbers;
  for (std::size_t i = 0; i < r.ends.runs.size(); ++i)
    numbers.emplace(r.ends.runs[i].id, static_cast<int>(i));
  std::vector<PullStep> steps;
  for (const std::vector<Cell>& row : table->rows) {
    PullStep step = step_of(*table, row, numbers);
    if (!step.runs.empty()) steps.push_back(std::move(step));
  }
  return steps.empty() ? longest_first(r) : steps;
}

}  // namespace roomloom::page
