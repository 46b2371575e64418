#include <algorithm>

#include "drawings/layout.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHeading{2.2, true, false, {0.1, 0.1, 0.1}};

constexpr double kIndent = 4, kSwatch = 16;

/// The base line's distance from the one above, of a capital's height.
double step_of(const Row& row, bool first) {
  if (row.heading && row.goes_on) return 2.7;
  return row.heading && !first ? 4.2 : 2.2;
}

/// How many rows from there on must stand in one column: a row with its further lines, a heading
/// with what it heads.
std::size_t block_at(const std::vector<Row>& rows, std::size_t from) {
  std::size_t end = from + 1;
  for (bool heading = rows[from].heading; end < rows.size(); ++end) {
    if (!rows[end].goes_on && !heading) break;
    heading = heading && (rows[end].goes_on || rows[end].heading);
  }
  return end - from;
}

/// Draws rows downwards; returns the first that found no room.
std::size_t draw_rows(Draft& draft, const Box2& column, const std::vector<Row>& rows,
                      std::size_t from) {
  const double cap = draft.cap_mm(kBody);
  const double top = column.low.y + 3;
  double y = top;
  for (std::size_t i = from; i < rows.size();) {
    const std::size_t end = i + block_at(rows, i);
    double block = 0;
    for (std::size_t k = i; k < end; ++k) block += step_of(rows[k], y + block == top) * cap;
    // A block that no column holds is broken.
    const bool whole = y + block <= column.high.y - 2;
    if (!whole && (y > top || column.height() > block + 5)) return i;
    for (; i < end; ++i) {
      const Row& row = rows[i];
      const double step = step_of(row, y == top) * cap;
      if (y + step > column.high.y - 2) return i;
      y += step;
      const double x = column.low.x + kIndent + (row.indented ? kSwatch : 0);
      if (row.swatch)
        draft.path({{column.low.x + kIndent, y - cap / 2}, {x - 3, y - cap / 2}}, *row.swatch);
      draft.write(row.text, {x, y}, row.heading ? kHeading : kBody);
    }
  }
  return rows.size();
}

std::size_t draw_rows(Draft& draft, const std::vector<Box2>& columns, const std::vector<Row>& rows,
                      std::size_t from) {
  for (const Box2& column : columns) from = draw_rows(draft, column, rows, from);
  return from;
}

/// Rows as wide as the columns, so that nothing runs out of them.
std::vector<Row> fitted(const Draft& draft, const std::vector<Row>& rows, double width_mm) {
  std::vector<Row> out;
  for (const Row& row : rows) {
    const TextStyle& style = row.heading ? kHeading : kBody;
    const double width = width_mm - 7 - (row.swatch ? kSwatch : 0);
    // Further lines stand in a little.
    const std::string in = "  ";
    bool first = true;
    for (const std::string& line :
         draft.lines_of(row.text, style, width - draft.text_width(in, style))) {
      out.push_back({with_plain_spaces(first ? line : in + line), row.heading,
                     first ? row.swatch : std::nullopt, row.swatch.has_value(), !first});
      first = false;
    }
  }
  return out;
}

std::vector<Vec2> ring_of(const Box2& b) {
  return {b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}};
}

void draw_border(Draft& draft, const PaperLayout& l) {
  draft.shape(ring_of(l.border), Pen{{}, 0.7, {}}, std::nullopt);
  const Box2& first = l.columns.front();
  if (l.columns.size() == 1)
    draft.path({first.low, {first.low.x, l.border.high.y}}, pen_of(LineKind::narrow));
  else
    draft.path({first.low, {l.border.high.x, first.low.y}}, pen_of(LineKind::narrow));
}

/// A page of rows only, in columns.
struct RowsPage {
  PaperLayout layout;
  std::vector<Box2> columns;
};
RowsPage rows_page(Paper paper) {
  RowsPage page{layout_of(paper), {}};
  const PaperLayout& l = page.layout;
  const double width = l.columns.front().width();
  for (double x = l.border.low.x; x + width <= l.border.high.x + 1; x += width) {
    const double bottom = x + width > l.title.low.x + 1 ? l.title.low.y : l.border.high.y;
    page.columns.push_back({{x, l.border.low.y}, {x + width, bottom}});
  }
  return page;
}

std::vector<Page> further_pages(const Work& work, const std::vector<Row>& rows, std::size_t from) {
  const RowsPage on = rows_page(work.request.paper);
  std::vector<Page> pages;
  while (from < rows.size()) {
    Draft draft(on.layout.size_mm, on.layout.drawing, work.hand.lettering);
    draft.page.title = work.title + ", continued";
    draft.page.stem = work.stem + "-continued";
    draw_border(draft, on.layout);
    from = draw_rows(draft, on.columns, rows, from);
    pages.push_back(std::move(draft.page));
  }
  return pages;
}

/// The rows at the sheet's lettering, or at the smallest where they find no room at that.
/// @return pages with those that find no room even so
std::vector<Page> write_rows(Work& work) {
  double narrowest = rows_page(work.request.paper).columns.front().width();
  for (const Box2& column : work.layout.columns) narrowest = std::min(narrowest, column.width());
  for (const double enlarged : {work.hand.enlarged, 1.0}) {
    Draft attempt(work.layout.size_mm, work.layout.drawing, work.hand.lettering, enlarged);
    const std::vector<Row> rows = fitted(attempt, work.rows, narrowest);
    const std::size_t drawn = draw_rows(attempt, work.layout.columns, rows, 0);
    if (drawn < rows.size() && enlarged > 1) continue;
    std::vector<Mark>& marks = work.draft.page.marks;
    marks.insert(marks.end(), attempt.page.marks.begin(), attempt.page.marks.end());
    return further_pages(work, rows, drawn);
  }
  return {};
}

/// ", at 2000 across, 400 up": where dimensions are read from the lower left corner.
std::string place_words(const Work& work, const Vec2& point) {
  if (!work.origin) return "";
  const double m = work.view.scale / 1000;
  const Vec2 from = point - work.view.at(*work.origin);
  const DisplayUnits units = work.request.job.units;
  return ", at " + unbroken(dimension(from.x * m, units)) + " across, " +
         unbroken(dimension(-from.y * m, units)) + " up";
}

/// What labels tell that have no room beside what they name.
void list_elsewhere(Work& work, const Elsewhere& elsewhere) {
  if (!elsewhere.numbered.empty()) work.rows.push_back({"Numbers in circles", true, {}});
  for (const auto& [number, label] : elsewhere.numbered)
    work.rows.push_back(
        {std::to_string(number) + ": " + label.text + place_words(work, label.point), false, {}});
  if (!elsewhere.unplaced.empty()) work.rows.push_back({"Also here", true, {}});
  for (const Label& label : elsewhere.unplaced)
    work.rows.push_back({label.text + place_words(work, label.point), false, {}});
}

}  // namespace

std::vector<Page> finished(Work& work) {
  draw_border(work.draft, work.layout);
  const Elsewhere elsewhere = work.draft.finish();
  list_elsewhere(work, elsewhere);
  work.draft.page.title = work.title;
  work.draft.page.stem = work.stem;
  work.draft.page.unnamed = static_cast<int>(elsewhere.numbered.size() + elsewhere.unplaced.size());
  work.draft.page.crossed = elsewhere.crossed;
  work.draft.page.covering = elsewhere.covering;
  std::vector<Page> pages = write_rows(work);
  // The scale belongs into the title block, which comes last: keep it with the page.
  work.draft.page.scale = work.scale_text;
  pages.insert(pages.begin(), std::move(work.draft.page));
  return pages;
}

}  // namespace roomloom
