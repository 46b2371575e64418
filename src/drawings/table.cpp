#include "drawings/table.h"

#include <algorithm>
#include <cmath>

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHead{1.8, true, false, {0.1, 0.1, 0.1}};
constexpr double kStep = 4.0, kBetweenCells = 3, kBetweenBlocks = 8, kEdge = 4;

std::vector<double> widths_of(const Draft& draft, const DrawnTable& table, std::size_t from) {
  std::vector<double> widths;
  for (std::size_t c = 0; c < table.heads.size(); ++c) {
    double width = draft.text_width(table.heads[c], kHead);
    for (std::size_t i = from; i < table.rows.size(); ++i)
      width = std::max(width, draft.text_width(table.rows[i][c], kBody));
    widths.push_back(width + kBetweenCells);
  }
  return widths;
}

}  // namespace

std::size_t draw_table(Draft& draft, const Box2& area, const DrawnTable& table, std::size_t from) {
  const std::vector<double> widths = widths_of(draft, table, from);
  double whole = 0;
  for (const double width : widths) whole += width;
  const auto lines =
      static_cast<std::size_t>(std::max(1.0, std::floor((area.height() - 8) / kStep)));
  const auto blocks = static_cast<std::size_t>(std::max(
      1.0, std::floor((area.width() - 2 * kEdge + kBetweenBlocks) / (whole + kBetweenBlocks))));
  std::size_t at = from;
  for (std::size_t b = 0; b < blocks && at < table.rows.size(); ++b) {
    const double left = area.low.x + kEdge + static_cast<double>(b) * (whole + kBetweenBlocks);
    double y = area.low.y + 5;
    const auto put = [&](const std::vector<std::string>& row, const TextStyle& style) {
      double x = left;
      for (std::size_t c = 0; c < row.size(); x += widths[c], ++c) {
        if (!row[c].empty()) draft.text(row[c], {x, y}, style);
      }
    };
    put(table.heads, kHead);
    draft.path({{left, y + 1.2}, {left + whole - kBetweenCells, y + 1.2}},
               pen_of(LineKind::narrow));
    for (std::size_t k = 0; k < lines && at < table.rows.size(); ++k, ++at) {
      y += kStep;
      put(table.rows[at], kBody);
    }
  }
  return at - from;
}

}  // namespace roomloom
