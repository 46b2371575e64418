#include "drawings/layout.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

// Chains are thinner, so that outlines a few millimetres long show what they are made of; dots are
// as long as a printer needs.
constexpr double kWide = 0.5, kNarrow = 0.25, kChain = 0.18, kDot = 0.25;

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
      return {colour, kChain, {24 * kChain, 3 * kChain, kDot, 3 * kChain}};
    case LineKind::double_chain:  // line 05
      return {colour, kChain, {24 * kChain, 3 * kChain, kDot, 3 * kChain, kDot, 3 * kChain}};
  }
  return {};
}

Pen pen_of(Service service, double width_mm) {
  return {visible(srgb(service_colour(service))), width_mm, service_dash(service)};
}

PaperLayout layout_of(Paper paper) {
  PaperLayout l;
  l.size_mm = paper == Paper::a3   ? Vec2{420, 297}
              : paper == Paper::a4 ? Vec2{297, 210}
                                   : Vec2{279.4, 215.9};
  const double column = paper == Paper::a3 ? 96 : 72;
  constexpr double kTitle = 46, kFoot = 13;
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
  Margins wide = margins;
  if (work.request.job.units == DisplayUnits::feet_and_inches) {
    constexpr double kLongFigures = 5;  // "12 ft 11 13/16 in"
    wide.left += kLongFigures;
    wide.bottom += kLongFigures;
  }
  const Vec2 room{area.width() - wide.left - wide.right, area.height() - wide.top - wide.bottom};
  // ISO 5455, and what else a builder's scale rule has (common practice, no source).
  static const std::vector<double> kMetric = {5, 10, 20, 25, 50, 75, 100, 200, 500, 1000};
  // 2, 1, 3/4 ... 1/16 in to the foot, then 20, 40, 80 ft to the inch (common practice, no source).
  static const std::vector<double> kFeet = {6, 12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 480, 960};
  work.view.frame = frame;
  for (const double scale : work.request.job.units == DisplayUnits::metric ? kMetric : kFeet) {
    work.view.scale = scale;
    if ((high.x - low.x) * 1000 / scale <= room.x && (high.y - low.y) * 1000 / scale <= room.y)
      break;
  }
  const double mm = 1000 / work.view.scale;
  const Vec2 middle = 0.5 * (low + high);
  const Vec2 paper{area.low.x + wide.left + room.x / 2, area.low.y + wide.top + room.y / 2};
  work.view.origin_mm = {paper.x - middle.x * mm, paper.y + middle.y * mm};
  work.scale_text = "1:" + format_number(work.view.scale, 0);
}

namespace {

/// Distances from the foot's upper edge, mm.
constexpr double kFigures = 4.0, kBar = 5.2, kUnderBar = 10.6;
constexpr double kLongestBar = 60, kLeastStep = 8;

std::string bar_figure(double value) {
  return format_number(value, value == std::floor(value) ? 0 : 1);
}

/// @return how far it reaches to the right
double draw_scale_bar(Work& work) {
  const bool metric = work.request.job.units == DisplayUnits::metric;
  constexpr std::array<double, 11> kSteps = {0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200};
  double unit = 0;
  double step = 0;
  for (const double candidate : kSteps) {
    if (!metric && candidate < 1) continue;
    unit = candidate;
    step = work.view.mm(unit * (metric ? 1 : 0.3048));
    if (step >= kLeastStep) break;
  }
  const int count = std::clamp(static_cast<int>(kLongestBar / step), 1, 5);
  const Vec2 start = work.layout.foot.low + Vec2{6, kBar};
  const Pen thin = pen_of(LineKind::narrow);
  for (int i = 0; i < 2 * count; ++i) {
    const Vec2 a = start + Vec2{step / 2 * i, 0};
    work.draft.shape({a, a + Vec2{step / 2, 0}, a + Vec2{step / 2, 1.6}, a + Vec2{0, 1.6}}, thin,
                     i % 2 == 0 ? shade(0) : shade(1), "Scale bar");
  }
  for (int i = 0; i <= count; ++i) {
    const std::string figure = bar_figure(unit * i);
    const double width = work.draft.text_width(figure, kBody);
    work.draft.write(figure + (i == count ? (metric ? " m" : " ft") : ""),
                     {start.x + step * i - width / 2, work.layout.foot.low.y + kFigures}, kBody);
  }
  return start.x + step * count;
}

/// "Dimensions in feet and inches, 1/4 in on paper is 1 ft"
std::string unit_words(const Work& work) {
  if (work.request.job.units == DisplayUnits::metric) return "Dimensions in millimetres";
  std::string text = "Dimensions in feet and inches";
  const double foot_on_paper_m = 0.3048 / work.view.scale;
  return text + "; " + dimension(foot_on_paper_m, DisplayUnits::feet_and_inches) +
         " on paper is 1 ft";
}

Vec3 facing(const Ends& ends) { return {-std::sin(ends.facing_rad), std::cos(ends.facing_rad), 0}; }

/// Which way the listener looks, as an arrow, or in words where the arrow would point at us; where
/// nobody listens, which way the model's y axis goes.
void draw_front_mark(Work& work, double bar_end) {
  const Vec3 front = facing(work.request.ends);
  const Vec2 way{dot(front, work.view.frame.u), -dot(front, work.view.frame.v)};
  const Vec2 centre{
      std::max(bar_end + 24, work.layout.foot.low.x + 0.62 * work.layout.foot.width()),
      work.layout.foot.low.y + 6.5};
  const bool known = work.request.ends.listener.has_value();
  if (norm(way) < 0.7) {
    const std::string where =
        dot(front, work.view.frame.n) < 0 ? " is before you" : " is behind you";
    work.draft.write((known ? "the front" : "the model's +y side") + where, centre + Vec2{-12, 0.9},
                     kBody);
    return;
  }
  const Vec2 along = (1 / norm(way)) * way;
  const Vec2 side{-along.y, along.x};
  work.draft.circle(centre, 4.2, pen_of(LineKind::narrow), std::nullopt);
  work.draft.path({centre - 3.6 * along, centre + 1.0 * along}, {{}, 0.35, {}});
  work.draft.shape(
      {centre + 4.0 * along, centre + 0.8 * along + 1.5 * side, centre + 0.8 * along - 1.5 * side},
      std::nullopt, shade(0));
  work.draft.write(known ? "this way to the front" : "this way +y in the model",
                   centre + Vec2{6.5, 0.9}, kBody);
}

constexpr double kIndent = 4, kSwatch = 16;

/// Draws rows downwards; returns how many found room.
std::size_t draw_rows(Draft& draft, const Box2& column, const std::vector<Row>& rows,
                      std::size_t from) {
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
    draft.write(row.text, {x, y}, style);
  }
  return i;
}

/// Rows as wide as the column, so that nothing runs out of it.
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
      out.push_back({first ? line : in + line, row.heading, first ? row.swatch : std::nullopt,
                     !first && row.swatch.has_value()});
      first = false;
    }
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
  draw_front_mark(work, draw_scale_bar(work));
  work.draft.write(unit_words(work), work.layout.foot.low + Vec2{6, kUnderBar}, kBody);
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

}  // namespace roomloom
