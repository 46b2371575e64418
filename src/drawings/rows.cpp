#include <algorithm>

#include "drawings/layout.h"
#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHeading{2.2, true, false, {0.1, 0.1, 0.1}};

constexpr double kIndent = 4, kSwatch = 16;

/// The base line's distance from the one above, of a capital's height; other text is at 2.2.
double step_of(const Row& row, bool first) {
  if (row.heading && row.goes_on) return 2.7;
  return row.heading && !first ? 4.2 : 2.2;
}

/// A row as lines that do not run out of a column; further ones stand in a little.
std::vector<Row> lines_of(const Draft& draft, const Row& row, double width_mm) {
  const TextStyle& style = row.heading ? kHeading : kBody;
  const std::string in = "  ";
  const double width = width_mm - 7 - (row.swatch || row.indented ? kSwatch : 0);
  std::vector<Row> lines;
  for (const std::string& line :
       draft.lines_of(with_sizes_whole(row.text), style, width - draft.text_width(in, style))) {
    const bool further = row.goes_on || !lines.empty();
    lines.push_back({with_plain_spaces(further ? in + line : line), row.heading,
                     further ? std::nullopt : row.swatch, row.swatch || row.indented, further,
                     row.sample});
  }
  return lines;
}

/// How many rows from there on must stand in one column: a heading with what it heads.
std::size_t block_at(const std::vector<Row>& rows, std::size_t from) {
  std::size_t end = from + 1;
  while (end < rows.size() && rows[end - 1].heading) ++end;
  return end - from;
}

/// A column while it is filled from above.
class Column {
 public:
  /// `spacing`: of lines, of the usual.
  Column(Draft& draft, const PaperBox& box, double spacing)
      : draft_(draft), box_(box), unit_(spacing * draft.cap_mm(kBody)), y_(top()) {}

  /// What lines need from here on.
  double height(const std::vector<Row>& lines) const {
    double sum = 0;
    for (const Row& line : lines) sum += step_of(line, y_ + sum == top()) * unit_;
    return sum;
  }
  bool is_empty() const { return y_ == top(); }
  bool has_room(double height_mm) const { return y_ + height_mm <= box_.high.y - 2; }
  /// Could a column of a further page hold them, beside the title block?
  bool another_could_hold(double height_mm) const {
    constexpr double kTaken_mm = 80;
    return draft_.page.size_mm.y - kTaken_mm > height_mm;
  }
  double width() const { return box_.width(); }

  /// @return how many of the lines found room
  std::size_t write(const std::vector<Row>& lines) {
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const Row& line = lines[i];
      const double step = step_of(line, is_empty()) * unit_;
      if (!has_room(step)) return i;
      const double x = box_.low.x + kIndent + (line.indented ? kSwatch : 0);
      if (!draft_.text(line.text, {x, y_ + step}, line.heading ? kHeading : kBody)) return i;
      y_ += step;
      const double middle = y_ - draft_.cap_mm(kBody) / 2;
      if (line.swatch) draw_swatch(line, {box_.low.x + kIndent, middle}, {x - 3, middle});
    }
    return lines.size();
  }

 private:
  double top() const { return box_.low.y + 3; }
  void draw_swatch(const Row& row, const Vec2& from, const Vec2& to) {
    std::vector<Vec2> path = {from, to};
    if (!row.sample.empty()) path = row.sample;
    for (Vec2& p : path)
      if (!row.sample.empty()) p = p + 0.5 * (from + to);
    draft_.path(path, *row.swatch, "Sample");
  }

  Draft& draft_;
  PaperBox box_;
  double unit_, y_;
};

/// What of a row finds no room on the lines that were written.
Row rest_of(const Row& row, const std::vector<Row>& lines, std::size_t from) {
  Row rest = row;
  rest.text.clear();
  for (std::size_t i = from; i < lines.size(); ++i)
    rest.text += (rest.text.empty() ? "" : " ") + lines[i].text.substr(lines[i].goes_on ? 2 : 0);
  rest.goes_on = rest.goes_on || from > 0;
  rest.indented = row.indented || row.swatch;
  if (from > 0) rest.swatch.reset();
  return rest;
}

/// Fills a column. @return the rows that found no room
std::vector<Row> draw_rows(Column column, const Draft& draft, const std::vector<Row>& rows) {
  for (std::size_t i = 0; i < rows.size();) {
    const std::size_t end = i + block_at(rows, i);
    std::vector<std::vector<Row>> lines;
    std::vector<Row> all;
    for (std::size_t k = i; k < end; ++k) {
      lines.push_back(lines_of(draft, rows[k], column.width()));
      all.insert(all.end(), lines.back().begin(), lines.back().end());
    }
    // A block that no column holds is broken.
    const double height = column.height(all);
    if (!column.has_room(height) && (!column.is_empty() || column.another_could_hold(height)))
      return {rows.begin() + static_cast<std::ptrdiff_t>(i), rows.end()};
    for (const std::vector<Row>& own : lines) {
      const std::size_t written = column.write(own);
      if (written < own.size()) {
        std::vector<Row> left = {rest_of(rows[i], own, written)};
        left.insert(left.end(), rows.begin() + static_cast<std::ptrdiff_t>(i) + 1, rows.end());
        return left;
      }
      ++i;
    }
  }
  return {};
}

/// Fills columns one after the other. @return the rows that found no room
std::vector<Row> draw_rows(Draft& draft, const std::vector<PaperBox>& columns,
                           std::vector<Row> rows, double spacing) {
  for (const PaperBox& column : columns)
    rows = draw_rows(Column(draft, column, spacing), draft, rows);
  return rows;
}

std::vector<Vec2> ring_of(const PaperBox& b) {
  return {b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}};
}

void draw_border(Draft& draft, const PaperLayout& l) {
  draft.shape(ring_of(l.border), Pen{{}, 0.7, {}}, std::nullopt);
  const PaperBox& first = l.columns.front();
  if (l.columns.size() == 1)
    draft.path({first.low, {first.low.x, l.border.high.y}}, pen_of(LineKind::narrow));
  else
    draft.path({first.low, {l.border.high.x, first.low.y}}, pen_of(LineKind::narrow));
}

/// A page of rows only, in columns.
struct RowsPage {
  PaperLayout layout;
  std::vector<PaperBox> columns;
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

std::vector<Page> further_pages(const Work& work, std::vector<Row> rows) {
  const RowsPage on = rows_page(work.request.paper);
  std::vector<Page> pages;
  while (!rows.empty()) {
    Draft draft(on.layout.size_mm, on.layout.drawing, work.hand.lettering);
    draft.page.title = work.title + ", continued";
    draft.page.stem = work.stem + "-continued";
    draw_border(draft, on.layout);
    rows = draw_rows(draft, on.columns, std::move(rows), 1);
    pages.push_back(std::move(draft.page));
  }
  return pages;
}

/// The rows at the sheet's lettering, or at the smallest where they find no room at that.
/// @return pages with those that find no room even so
std::vector<Page> write_rows(Work& work) {
  for (const double enlarged : {work.hand.enlarged, 1.0}) {
    Draft attempt(work.layout.size_mm, work.layout.drawing, work.hand.lettering, enlarged);
    std::vector<Row> left =
        draw_rows(attempt, work.layout.columns, work.rows, work.hand.line_spacing);
    if (!left.empty() && enlarged > 1) continue;
    std::vector<Mark>& marks = work.draft.page.marks;
    marks.insert(marks.end(), attempt.page.marks.begin(), attempt.page.marks.end());
    return further_pages(work, std::move(left));
  }
  return {};
}

/// ", at 2000 across, 400 up": where dimensions are read from the lower left corner.
std::string place_words(const Work& work, const Vec2& point) {
  if (!work.origin) return "";
  const double m = work.view.scale / 1000;
  const Vec2 from = point - work.view.at(*work.origin);
  const DisplayUnits units = work.request.job.units;
  // Where the foot of the sheet names no unit.
  const char* unit = work.dimensioned || units != DisplayUnits::metric ? "" : " mm";
  return ", at " + unbroken(dimension(from.x * m, units) + unit) + " across, " +
         unbroken(dimension(-from.y * m, units) + unit) + " up";
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
  work.draft.page.left_out = elsewhere.left_out;
  std::vector<Page> pages = write_rows(work);
  // The scale belongs into the title block, which comes last: keep it with the page.
  work.draft.page.scale = work.scale_text;
  pages.insert(pages.begin(), std::move(work.draft.page));
  return pages;
}

}  // namespace roomloom
