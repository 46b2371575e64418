#include <variant>

#include "report/plan_parts.h"
#include "report/report.h"

namespace roomloom {
namespace {

const char* to_text(ColumnKind kind) {
  switch (kind) {
    case ColumnKind::text:
      return "text";
    case ColumnKind::count:
      return "count";
    case ColumnKind::length:
      return "length";
    case ColumnKind::size:
      return "size";
    case ColumnKind::angle:
      return "angle";
    case ColumnKind::money:
      return "money";
    case ColumnKind::minutes:
      return "minutes";
    case ColumnKind::number:
      return "number";
    case ColumnKind::tick:
      break;
  }
  return "tick";
}

Json cell_json(const Cell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<double>(&cell)) return *number;
  return nullptr;
}

/// The rows of a list of what is left, as a job's "stock" holds them.
Json stock_items(const Table& left) {
  Json items = Json::array();
  for (const auto& row : left.rows) {
    Json item = Json::object();
    for (std::size_t i = 0; i < left.columns.size(); ++i) {
      const std::string& key = left.columns[i].key;
      if (key == "cable" || key == "raceway" || (key == "colour" && cell_json(row[i]) != ""))
        item[key] = cell_json(row[i]);
      if (key == "left_m") item["length"] = cell_json(row[i]);
      if (key == "count") item["count"] = static_cast<int>(std::get<double>(row[i]));
    }
    items.push_back(std::move(item));
  }
  return items;
}

}  // namespace

Json tables_json(const std::vector<Table>& tables) {
  Json all = Json::array();
  for (const Table& table : tables) {
    Json columns = Json::array();
    for (const Column& column : table.columns)
      columns.push_back(
          {{"key", column.key}, {"title", column.title}, {"kind", to_text(column.kind)}});
    Json rows = Json::array();
    for (const auto& row : table.rows) {
      Json cells = Json::array();
      for (const Cell& cell : row) cells.push_back(cell_json(cell));
      rows.push_back(std::move(cells));
    }
    all.push_back({{"id", table.id},
                   {"title", table.title},
                   {"note", table.note},
                   {"columns", std::move(columns)},
                   {"rows", std::move(rows)}});
  }
  return all;
}

std::string stock_json(const Table& spools, const Table& raceway) {
  const Json root = {
      {"stock", {{"spools", stock_items(spools)}, {"raceways", stock_items(raceway)}}}};
  return root.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace roomloom
