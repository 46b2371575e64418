#include "drawings/table.h"

#include <algorithm>
#include <numeric>

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHead{1.8, true, false, {0.1, 0.1, 0.1}};
constexpr double kStep = 2.2;  // of a capital's height
constexpr double kBetweenCells = 3, kBetweenBlocks = 8, kEdge = 4;

/// Of the columns; the widest are narrowed where all together are wider than there is room.
std::vector<double> widths_of(const Draft& draft, const DrawnTable& table, double room) {
  std::vector<double> widths;
  for (std::size_t c = 0; c < table.heads.size(); ++c) {
    double width = draft.text_width(table.heads[c], kHead);
    for (const auto& row : table.rows) width = std::max(width, draft.text_width(row[c], kBody));
    widths.push_back(width + kBetweenCells);
  }
  std::vector<double> ascending = widths;
  std::sort(ascending.begin(), ascending.end());
  double left = room;
  for (std::size_t i = 0; i < ascending.size(); ++i) {
    const double share = left / static_cast<double>(ascending.size() - i);
    if (ascending[i] > share) {
      for (double& width : widths) width = std::min(width, share);
      break;
    }
    left -= ascending[i];
  }
  return widths;
}

using Lines = std::vector<std::vector<std::string>>;  // of each cell

Lines lines_of(const Draft& draft, const std::vector<std::string>& row, const TextStyle& style,
               const std::vector<double>& widths) {
  Lines lines;
  for (std::size_t c = 0; c < row.size(); ++c)
    lines.push_back(draft.lines_of(row[c], style, widths[c] - kBetweenCells + 0.01));
  return lines;
}

std::size_t height_of(const Lines& lines) {
  std::size_t most = 1;
  for (const auto& cell : lines) most = std::max(most, cell.size());
  return most;
}

}  // namespace

double table_width(const Draft& draft, const DrawnTable& table) {
  const std::vector<double> widths = widths_of(draft, table, 1e9);
  return std::accumulate(widths.begin(), widths.end(), 2 * kEdge);
}

std::size_t draw_table(Draft& draft, const Box2& area, const DrawnTable& table, std::size_t from,
                       double spacing) {
  const double room = area.width() - 2 * kEdge;
  const double step = spacing * kStep * draft.cap_mm(kBody);
  const std::vector<double> widths = widths_of(draft, table, room);
  const double whole = std::accumulate(widths.begin(), widths.end(), 0.0);
  std::size_t at = from;
  for (double left = area.low.x + kEdge;
       at < table.rows.size() &&
       (at == from || left + whole <= area.high.x - kEdge + kBetweenCells);
       left += whole + kBetweenBlocks) {
    double y = area.low.y + 5;
    const auto put = [&](const Lines& cells, const TextStyle& style) {
      double x = left;
      for (std::size_t c = 0; c < cells.size(); x += widths[c], ++c) {
        for (std::size_t k = 0; k < cells[c].size(); ++k) {
          const double width = draft.text_width(cells[c][k], style);
          const bool right = c < table.right.size() && table.right[c];
          draft.write(cells[c][k],
                      {x + (right ? widths[c] - kBetweenCells - width : 0),
                       y + step * static_cast<double>(k)},
                      style);
        }
      }
      y += step * static_cast<double>(height_of(cells));
    };
    put(lines_of(draft, table.heads, kHead, widths), kHead);
    const double rule = y - step + 1.2;
    draft.path({{left, rule}, {left + whole - kBetweenCells, rule}}, pen_of(LineKind::narrow));
    for (bool first = true; at < table.rows.size(); ++at, first = false) {
      const Lines cells = lines_of(draft, table.rows[at], kBody, widths);
      // One row at least is written, however high it is.
      if (!first && y + step * static_cast<double>(height_of(cells) - 1) > area.high.y - 2) break;
      put(cells, kBody);
    }
  }
  return at - from;
}

}  // namespace roomloom
