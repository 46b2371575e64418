#include "drawings/table.h"

#include <algorithm>
#include <numeric>

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHead{1.8, true, false, {0.1, 0.1, 0.1}};
constexpr double kStep = 2.2;  // of a capital's height
constexpr double kBetweenCells = 3, kBetweenBlocks = 8, kEdge = 4;

/// Of the longest piece that is not broken over lines.
double word_width(const Draft& draft, const std::string& cell, const TextStyle& style) {
  double widest = 0;
  for (std::size_t from = 0; from <= cell.size();) {
    const std::size_t to = std::min(cell.find(' ', from), cell.size());
    widest = std::max(widest, draft.text_width(cell.substr(from, to - from), style));
    from = to + 1;
  }
  return widest;
}

/// Of the columns; the widest are narrowed where all together are wider than there is room, but
/// none below its longest word as long as all of these have room.
std::vector<double> widths_of(const Draft& draft, const DrawnTable& table, double room) {
  std::vector<double> widths, least;
  for (std::size_t c = 0; c < table.heads.size(); ++c) {
    double width = draft.text_width(table.heads[c], kHead);
    double word = word_width(draft, table.heads[c], kHead);
    for (const auto& row : table.rows) {
      width = std::max(width, draft.text_width(row[c], kBody));
      word = std::max(word, word_width(draft, row[c], kBody));
    }
    widths.push_back(width + kBetweenCells);
    least.push_back(word + kBetweenCells);
  }
  const double words = std::accumulate(least.begin(), least.end(), 0.0);
  if (words > room) least.assign(least.size(), 0);
  // One limit to all that exceed it: found by halves.
  const auto limited = [&](double limit) {
    std::vector<double> all = widths;
    for (std::size_t c = 0; c < all.size(); ++c)
      all[c] = std::max(least[c], std::min(all[c], limit));
    return all;
  };
  const auto sum = [](const std::vector<double>& all) {
    return std::accumulate(all.begin(), all.end(), 0.0);
  };
  if (sum(widths) <= room) return widths;
  double low = 0, high = room;
  for (int i = 0; i < 40; ++i)
    (sum(limited((low + high) / 2)) <= room ? low : high) = (low + high) / 2;
  return limited(low);
}

/// Words that had to be broken.
int broken_words(const Draft& draft, const DrawnTable& table, const std::vector<double>& widths) {
  int count = 0;
  for (const auto& row : table.rows)
    for (std::size_t c = 0; c < row.size(); ++c)
      count += word_width(draft, row[c], kBody) > widths[c] - kBetweenCells + 0.02 ? 1 : 0;
  return count;
}

using Lines = std::vector<std::vector<std::string>>;  // of each cell

Lines lines_of(const Draft& draft, const std::vector<std::string>& row, const TextStyle& style,
               const std::vector<double>& widths) {
  Lines lines;
  for (std::size_t c = 0; c < row.size(); ++c)
    lines.push_back(draft.lines_of(row[c], style, widths[c] - kBetweenCells + 0.02));
  return lines;
}

std::size_t height_of(const Lines& lines) {
  std::size_t most = 1;
  for (const auto& cell : lines) most = std::max(most, cell.size());
  return most;
}

}  // namespace

DrawnTable without_empty_columns(const DrawnTable& table) {
  DrawnTable kept;
  kept.rows.resize(table.rows.size());
  for (std::size_t c = 0; c < table.heads.size(); ++c) {
    if (std::all_of(table.rows.begin(), table.rows.end(),
                    [&](const auto& row) { return row[c].empty(); }))
      continue;
    kept.heads.push_back(table.heads[c]);
    kept.right.push_back(c < table.right.size() && table.right[c]);
    for (std::size_t i = 0; i < table.rows.size(); ++i) kept.rows[i].push_back(table.rows[i][c]);
  }
  return kept;
}

double table_width(const Draft& draft, const DrawnTable& table) {
  const std::vector<double> widths = widths_of(draft, table, 1e9);
  return std::accumulate(widths.begin(), widths.end(), 2 * kEdge);
}

std::size_t draw_table(Draft& draft, const PaperBox& area, const DrawnTable& table,
                       std::size_t from, double spacing) {
  const double room = area.width() - 2 * kEdge;
  const double step = spacing * kStep * draft.cap_mm(kBody);
  const std::vector<double> widths = widths_of(draft, table, room);
  const double whole = std::accumulate(widths.begin(), widths.end(), 0.0);
  draft.page.broken += broken_words(draft, table, widths);
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
