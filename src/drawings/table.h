#pragma once

#include <string>
#include <vector>

#include "drawings/layout.h"

namespace roomloom {

/// Heads, and rows of as many cells.
struct DrawnTable {
  std::vector<std::string> heads;
  std::vector<std::vector<std::string>> rows;
  std::vector<bool> right = {};  ///< columns whose cells stand to the right, as figures do
};

/// Writes rows from `from` on into an area, in as many blocks side by side as find room.
/// @return  how many rows were written, at least one if there is any
/// `spacing`: of lines, of the usual.
std::size_t draw_table(Draft& draft, const PaperBox& area, const DrawnTable& table,
                       std::size_t from, double spacing);

/// Without the columns in which no row has anything.
DrawnTable without_empty_columns(const DrawnTable& table);

/// Of one block with every cell on one line, edges of the area included, mm.
double table_width(const Draft& draft, const DrawnTable& table);

}  // namespace roomloom
