#include "drawings/layout.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

constexpr double kWide = 0.5, kNarrow = 0.25;

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};
const TextStyle kHeading{2.2, true, false, {0.1, 0.1, 0.1}};

}  // namespace

Pen pen_of(LineKind kind, const Rgb& colour) {
  switch (kind) {
    case LineKind::wide:
      return {colour, kWide, {}};
    case LineKind::narrow:
      return {colour, kNarrow / 1.4, {}};
    case LineKind::dashed:  // ISO 128-2, line 02: dash 12 d, gap 3 d
      return {colour, kNarrow, {12 * kNarrow, 3 * kNarrow}};
    case LineKind::chain:  // line 04: 24 d, 3 d, dot, 3 d
      return {colour, kNarrow, {24 * kNarrow, 3 * kNarrow, 0.5 * kNarrow, 3 * kNarrow}};
    case LineKind::double_chain:  // line 05
      return {colour,
              kNarrow,
              {24 * kNarrow, 3 * kNarrow, 0.5 * kNarrow, 3 * kNarrow, 0.5 * kNarrow, 3 * kNarrow}};
  }
  return {};
}

Pen pen_of(Service service, double width_mm) {
  return {srgb(service_colour(service)), width_mm, service_dash(service)};
}

PaperLayout layout_of(Paper paper) {
  PaperLayout l;
  l.size_mm = paper == Paper::a3   ? Vec2{420, 297}
              : paper == Paper::a4 ? Vec2{297, 210}
                                   : Vec2{279.4, 215.9};
  const double column = paper == Paper::a3 ? 96 : 72;
  constexpr double kTitle = 40, kFoot = 13;
  l.border = {{20, 10}, l.size_mm - Vec2{10, 10}};
  const double split = l.border.high.x - column;
  l.title = {{split, l.border.high.y - kTitle}, l.border.high};
  l.column = {{split, l.border.low.y}, {l.border.high.x, l.title.low.y}};
  l.drawing = {l.border.low, {split, l.border.high.y - kFoot}};
  l.foot = {{l.border.low.x, l.drawing.high.y}, {split, l.border.high.y}};
  return l;
}

Work::Work(const DrawingRequest& r, const Lettering& letters, std::string title_, std::string stem_)
    : request(r),
      lettering(letters),
      layout(layout_of(r.paper)),
      draft(layout.size_mm, layout.drawing.grown(-2), letters),
      title(std::move(title_)),
      stem(std::move(stem_)) {}

void fit_view(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
              const Margins& margins) {
  const Box2& area = work.layout.drawing;
  const Vec2 room{area.width() - margins.left - margins.right,
                  area.height() - margins.top - margins.bottom};
  constexpr std::array<double, 9> kScales = {5, 10, 20, 25, 50, 100, 200, 500, 1000};
  work.view.frame = frame;
  for (const double scale : kScales) {
    work.view.scale = scale;
    if ((high.x - low.x) * 1000 / scale <= room.x && (high.y - low.y) * 1000 / scale <= room.y)
      break;
  }
  const double mm = 1000 / work.view.scale;
  const Vec2 middle = 0.5 * (low + high);
  const Vec2 paper{area.low.x + margins.left + room.x / 2, area.low.y + margins.top + room.y / 2};
  work.view.origin_mm = {paper.x - middle.x * mm, paper.y + middle.y * mm};
  work.scale_text = "1:" + format_number(work.view.scale, 0);
}

namespace {

void draw_scale_bar(Work& work) {
  const bool metric = work.request.job.units == DisplayUnits::metric;
  const double unit_m = metric ? 1 : 0.3048;
  int count = metric ? 2 : 5;
  if (work.view.scale < 20) count = 1;
  const double step = work.view.mm(unit_m);
  if (step < 8) count = static_cast<int>(30 / step) + 1;
  const Vec2 start{work.layout.foot.low.x + 6, work.layout.foot.low.y + 8};
  const Pen thin = pen_of(LineKind::narrow);
  for (int i = 0; i < 2 * count; ++i) {
    const Vec2 a = start + Vec2{step / 2 * i, 0};
    work.draft.shape({a, a + Vec2{step / 2, 0}, a + Vec2{step / 2, 1.6}, a + Vec2{0, 1.6}}, thin,
                     i % 2 == 0 ? shade(0) : shade(1));
  }
  for (int i = 0; i <= count; ++i) {
    const std::string text = std::to_string(i) + (i == count ? (metric ? " m" : " ft") : "");
    const double width = work.draft.text_width(std::to_string(i), kBody);
    work.draft.text(text, start + Vec2{step * i - width / 2, -1.2}, kBody);
  }
}

Vec3 facing(const Ends& ends) { return {-std::sin(ends.facing_rad), std::cos(ends.facing_rad), 0}; }

/// Which way the listener looks, as an arrow, or in words where the arrow would point at us.
void draw_front_mark(Work& work) {
  const Vec3 front = facing(work.request.ends);
  const Vec2 way{dot(front, work.view.frame.u), -dot(front, work.view.frame.v)};
  const Vec2 centre{work.layout.foot.low.x + 0.62 * work.layout.foot.width(),
                    work.layout.foot.low.y + 6.5};
  const std::string known = work.request.ends.listener ? "this way to the front" : "room's y axis";
  if (norm(way) < 0.7) {
    const bool facing_it = dot(front, work.view.frame.n) < 0;
    work.draft.text(facing_it ? "the front is before you" : "the front is behind you",
                    centre + Vec2{-12, 0.9}, kBody);
    return;
  }
  const Vec2 along = (1 / norm(way)) * way;
  const Vec2 side{-along.y, along.x};
  work.draft.circle(centre, 4.2, pen_of(LineKind::narrow), std::nullopt);
  work.draft.path({centre - 3.6 * along, centre + 1.0 * along}, {{}, 0.35, {}});
  work.draft.shape(
      {centre + 4.0 * along, centre + 0.8 * along + 1.5 * side, centre + 0.8 * along - 1.5 * side},
      std::nullopt, shade(0));
  work.draft.text(known, centre + Vec2{6.5, 0.9}, kBody);
}

/// Draws rows downwards; returns how many found room.
std::size_t draw_rows(Draft& draft, const Box2& column, const std::vector<Row>& rows,
                      std::size_t from) {
  constexpr double kIndent = 4, kSwatch = 16;
  double y = column.low.y + 3;
  std::size_t i = from;
  for (; i < rows.size(); ++i) {
    const Row& row = rows[i];
    const TextStyle& style = row.heading ? kHeading : kBody;
    const double step = row.heading ? (y > column.low.y + 4 ? 7.5 : 4) : 3.9;
    if (y + step > column.high.y - 2) break;
    y += step;
    const double x = column.low.x + kIndent + (row.swatch || row.goes_on ? kSwatch : 0);
    if (row.swatch) draft.path({{column.low.x + kIndent, y - 0.9}, {x - 3, y - 0.9}}, *row.swatch);
    draft.text(row.text, {x, y}, style);
  }
  return i;
}

/// Rows as wide as the column, so that nothing runs out of it.
std::vector<Row> fitted(const Draft& draft, const std::vector<Row>& rows, double width_mm) {
  std::vector<Row> out;
  for (const Row& row : rows) {
    const TextStyle& style = row.heading ? kHeading : kBody;
    const double width = width_mm - 7 - (row.swatch ? 16 : 0);
    std::string line;
    bool first = true;
    const auto flush = [&] {
      out.push_back(
          {line, row.heading, first ? row.swatch : std::nullopt, !first && row.swatch.has_value()});
      line = "  ";
      first = false;
    };
    for (const std::string& word : wrapped(row.text, 1)) {
      const std::string longer = line + (line.empty() || line == "  " ? "" : " ") + word;
      if (!line.empty() && line != "  " && draft.text_width(longer, style) > width) {
        flush();
        line += word;
      } else {
        line = longer;
      }
    }
    flush();
  }
  return out;
}

void draw_border(Draft& draft, const PaperLayout& l) {
  const auto ring = [](const Box2& b) {
    return std::vector<Vec2>{b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}};
  };
  draft.shape(ring(l.border), Pen{{}, 0.7, {}}, std::nullopt);
  draft.path({{l.column.low.x, l.border.low.y}, {l.column.low.x, l.border.high.y}},
             pen_of(LineKind::narrow));
}

/// Pages of rows only, in columns.
std::vector<Page> further_pages(const Work& work, const std::vector<Row>& rows, std::size_t from) {
  std::vector<Page> pages;
  while (from < rows.size()) {
    Draft draft(work.layout.size_mm, work.layout.drawing, work.lettering);
    draft.page.title = work.title + ", continued";
    draft.page.stem = work.stem + "-continued";
    draw_border(draft, work.layout);
    const double width = work.layout.column.width();
    for (double x = work.layout.drawing.low.x; x + width <= work.layout.column.high.x + 1;
         x += width) {
      const double bottom = x + width > work.layout.column.low.x ? work.layout.column.high.y
                                                                 : work.layout.border.high.y;
      from = draw_rows(draft, {{x, work.layout.border.low.y}, {x + width, bottom}}, rows, from);
    }
    pages.push_back(std::move(draft.page));
  }
  return pages;
}

}  // namespace

void draw_foot(Work& work) {
  draw_scale_bar(work);
  draw_front_mark(work);
  const std::string unit = work.request.job.units == DisplayUnits::metric
                               ? "Dimensions in millimetres"
                               : "Dimensions in feet and inches";
  const double width = work.draft.text_width(unit, kBody);
  work.draft.text(unit, {work.layout.foot.high.x - width - 4, work.layout.foot.low.y + 7.4}, kBody);
}

std::vector<Page> finished(Work& work) {
  draw_border(work.draft, work.layout);
  const std::vector<Label> left_over = work.draft.finish();
  if (!left_over.empty()) work.rows.push_back({"Also here", true, {}});
  for (const Label& label : left_over) work.rows.push_back({label.text, false, {}});
  const std::vector<Row> rows = fitted(work.draft, work.rows, work.layout.column.width());
  const std::size_t drawn = draw_rows(work.draft, work.layout.column, rows, 0);
  work.draft.page.title = work.title;
  work.draft.page.stem = work.stem;
  std::vector<Page> pages = further_pages(work, rows, drawn);
  // The scale belongs into the title block, which comes last: keep it with the page.
  work.draft.page.scale = work.scale_text;
  pages.insert(pages.begin(), std::move(work.draft.page));
  return pages;
}

namespace {

struct Cell {
  double x, y, width, height;  ///< shares of the block's width; rows of its height
  const char* field;
  std::string value;
  double cap_mm;
};

void draw_title_block(Page& page, const DrawingRequest& r, const Lettering& lettering,
                      const std::string& number) {
  const PaperLayout l = layout_of(r.paper);
  const char* paper = r.paper == Paper::a3 ? "A3" : r.paper == Paper::a4 ? "A4" : "Letter";
  const std::array<Cell, 9> cells = {
      {{0, 0, 1, 1, "Title", plain_text(r.job.name, 42), 2.5},
       {0, 1, 1, 1, "Document type", plain_text(page.title, 48), 2.5},
       {0, 2, 0.25, 1, "Scale", page.scale.empty() ? "none" : page.scale, 2.5},
       {0.25, 2, 0.25, 1, "Sheet", number, 2.5},
       {0.5, 2, 0.2, 1, "Size", paper, 2.5},
       {0.7, 2, 0.3, 1, "Language", "en", 2.5},
       {0, 3, 0.36, 1, "Drawn by", plain_text(r.program, 20), 1.8},
       {0.36, 3, 0.28, 1, "Date of issue", "", 1.8},
       {0.64, 3, 0.36, 1, "Approved by", "", 1.8}}};
  Draft draft(l.size_mm, l.title, lettering);
  const double row = l.title.height() / 4;
  for (const Cell& cell : cells) {
    const Vec2 low{l.title.low.x + cell.x * l.title.width(), l.title.low.y + cell.y * row};
    const Vec2 high = low + Vec2{cell.width * l.title.width(), cell.height * row};
    draft.shape({low, {high.x, low.y}, high, {low.x, high.y}}, pen_of(LineKind::narrow),
                std::nullopt);
    draft.text(cell.field, low + Vec2{1.5, 2.9}, {1.5, false, false, shade(0.35)});
    TextStyle style{cell.cap_mm, cell.y < 2, false, shade(0.05)};
    while (draft.text_width(cell.value, style) > high.x - low.x - 3 && style.cap_mm > 0.8)
      style.cap_mm *= 0.95;
    if (!cell.value.empty()) draft.text(cell.value, low + Vec2{1.5, row - 2.2}, style);
  }
  for (Mark& mark : draft.page.marks) page.marks.push_back(std::move(mark));
}

}  // namespace

void add_title_blocks(std::vector<Page>& pages, const DrawingRequest& request,
                      const Lettering& lettering) {
  for (std::size_t i = 0; i < pages.size(); ++i) {
    const std::string number = std::to_string(i + 1);
    draw_title_block(pages[i], request, lettering, number + "/" + std::to_string(pages.size()));
    pages[i].stem = "sheet-" + number + "-" + pages[i].stem;
  }
}

}  // namespace roomloom
