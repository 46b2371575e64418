#include <cmath>

#include "base/vec.h"
#include "report/csv.h"
#include "report/report.h"

namespace roomloom {

std::string csv_cell(const std::string& text) {
  std::string safe = text;
  if (!safe.empty() && std::string("=+-@\t\r").find(safe.front()) != std::string::npos)
    safe.insert(0, 1, '\'');
  if (safe.find_first_of(",\"\r\n") == std::string::npos) return safe;
  std::string quoted = "\"";
  for (const char c : safe) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return quoted + "\"";
}

namespace {

constexpr double kFoot = 0.3048;

/// How a kind of column is told: the unit behind its title, what a number is multiplied by, and
/// with how many decimals.
struct Telling {
  std::string unit;
  double scale = 1;
  int decimals = 0;
};

Telling telling_of(ColumnKind kind, const TableStyle& style) {
  const bool feet = style.units == DisplayUnits::feet_and_inches;
  switch (kind) {
    case ColumnKind::length:
      return feet ? Telling{" (ft)", 1 / kFoot, 5} : Telling{" (m)", 1, 5};
    case ColumnKind::size:
      return feet ? Telling{" (in)", 12 / kFoot, 3} : Telling{" (mm)", 1000, 1};
    case ColumnKind::angle:
      return {" (deg)", 180 / kPi, 2};
    case ColumnKind::money:
      return {" (" + style.currency + ")", 1, 2};
    case ColumnKind::minutes:
      return {" (min)", 1, 1};
    case ColumnKind::number:
      return {"", 1, 3};
    case ColumnKind::text:
    case ColumnKind::count:
    case ColumnKind::tick:
      break;
  }
  return {};
}

}  // namespace

std::string column_title(const Column& column, const TableStyle& style) {
  return column.title + telling_of(column.kind, style).unit;
}

double told_number(double value, ColumnKind kind, const TableStyle& style) {
  const Telling telling = telling_of(kind, style);
  const double unit = std::pow(10, telling.decimals);
  const double told = std::round(value * telling.scale * unit) / unit;
  return told == 0 ? 0 : told;  // never "-0"
}

int told_decimals(ColumnKind kind, const TableStyle& style) {
  return telling_of(kind, style).decimals;
}

std::string told_cell(const Cell& cell, ColumnKind kind, const TableStyle& style) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<double>(&cell))
    return format_number(told_number(*number, kind, style), told_decimals(kind, style));
  return "";
}

std::string table_csv(const Table& table, const TableStyle& style) {
  std::string text;
  for (std::size_t i = 0; i < table.columns.size(); ++i)
    text += (i > 0 ? "," : "") + csv_cell(column_title(table.columns[i], style));
  text += "\r\n";
  for (const auto& row : table.rows) {
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
      const bool word = std::holds_alternative<std::string>(row[i]);
      const std::string cell = told_cell(row[i], table.columns[i].kind, style);
      text += (i > 0 ? "," : "") + (word ? csv_cell(cell) : cell);
    }
    text += "\r\n";
  }
  return text;
}

}  // namespace roomloom
