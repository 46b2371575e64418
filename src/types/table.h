#pragma once

#include <string>
#include <variant>
#include <vector>

namespace roomloom {

/// What a column holds, so that each writer (CSV, JSON, workbook, page) can print and align it.
/// `length` is told in metres or feet, `size` (a diameter, a thickness) in millimetres or inches.
enum class ColumnKind { text, count, length, size, angle, money, minutes, number, tick };

struct Column {
  std::string key;    ///< snake_case, unique in its table: the name in plan.json
  std::string title;  ///< what a reader sees, without the unit
  ColumnKind kind = ColumnKind::text;
};

/// Lengths in metres, angles in radians, money in the job's currency.
using Cell = std::variant<std::monostate, std::string, double>;

/// One list of the result. Every list is one of these, so that CSV, plan.json, the workbook and the
/// page say the same.
struct Table {
  std::string id;     ///< snake_case; its CSV is "<id>.csv"
  std::string title;  ///< "Hole schedule"
  std::string
      note;  ///< what the reader must know of it (invented prices, upper bounds); may be empty
  std::vector<Column> columns;
  std::vector<std::vector<Cell>> rows;  ///< each as long as columns
};

}  // namespace roomloom
