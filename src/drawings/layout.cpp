#include "drawings/layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "drawings/words.h"
#include "types/palette.h"

namespace roomloom {
namespace {

// Chains are thinner, so that outlines a few millimetres long show what they are made of; dots are
// as long as a printer needs.
constexpr double kWide = 0.5, kNarrow = 0.25, kChain = 0.18, kDot = 0.25;

const TextStyle kBody{1.8, false, false, {0.1, 0.1, 0.1}};

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

namespace {

constexpr double kTitle_mm = 46, kFoot_mm = 13;

double column_width(Paper paper) { return paper == Paper::a3 ? 96 : 72; }

/// What is the same wherever the columns are.
PaperLayout framed(Paper paper) {
  PaperLayout l;
  l.size_mm = paper == Paper::a3   ? Vec2{420, 297}
              : paper == Paper::a4 ? Vec2{297, 210}
                                   : Vec2{279.4, 215.9};
  l.border = {{20, 10}, l.size_mm - Vec2{10, 10}};
  l.title = {{l.border.high.x - column_width(paper), l.border.high.y - kTitle_mm}, l.border.high};
  return l;
}

}  // namespace

PaperLayout layout_of(Paper paper) {
  PaperLayout l = framed(paper);
  const double split = l.title.low.x;
  l.columns = {{{split, l.border.low.y}, {l.border.high.x, l.title.low.y}}};
  l.drawing = {l.border.low, {split, l.border.high.y - kFoot_mm}};
  l.foot = {{l.border.low.x, l.drawing.high.y}, {split, l.border.high.y}};
  return l;
}

namespace {

/// The drawing as high as the paper; what else stands below it is at the column's foot.
PaperLayout tall_layout(Paper paper) {
  PaperLayout l = layout_of(paper);
  PaperBox& column = l.columns.front();
  l.drawing.high.y = l.border.high.y;
  column.high.y -= 2.5 * kFoot_mm;  // one thing below the other
  l.foot = {{column.low.x, column.high.y}, {column.high.x, l.title.low.y}};
  return l;
}

}  // namespace

PaperLayout layout_of(Paper paper, double band_mm) {
  PaperLayout l = framed(paper);
  const double top = l.border.high.y - std::max(band_mm, kTitle_mm);
  l.drawing = {l.border.low, {l.border.high.x, top - kFoot_mm}};
  l.foot = {{l.border.low.x, l.drawing.high.y}, {l.border.high.x, top}};
  const double room = l.title.low.x - l.border.low.x;
  const int count = static_cast<int>(room / column_width(paper));
  const double width = room / count;
  for (int i = 0; i < count; ++i) {
    const double left = l.border.low.x + width * i;
    l.columns.push_back({{left, top}, {left + width, l.border.high.y}});
  }
  l.columns.push_back({{l.title.low.x, top}, {l.border.high.x, l.title.low.y}});
  return l;
}

Work::Work(const DrawingRequest& r, const Hand& hand_, std::string title_, std::string stem_)
    : request(r),
      hand(hand_),
      layout(layout_of(r.paper)),
      draft(layout.size_mm, layout.drawing.grown(-2), hand_.lettering, hand_.enlarged),
      title(std::move(title_)),
      stem(std::move(stem_)) {}

Margins dimensioned(const Work& work) {
  const bool metric = work.request.job.units == DisplayUnits::metric;
  const double figures = work.draft.text_width(metric ? "12345" : "12 ft 11 13/16 in", kBody);
  constexpr double kToFigures = 12;  // the dimension line, and from there to its figures
  return {kToFigures + figures, Margins{}.right, Margins{}.top, kToFigures + figures};
}

namespace {

/// Usual scales, the largest first.
const std::vector<double>& scales_of(DisplayUnits units) {
  // ISO 5455, and what else builders' scale rules have (common practice, no source).
  static const std::vector<double> kMetric = {5, 10, 20, 25, 30, 40, 50, 75, 100, 200, 500, 1000};
  // 2, 1, 3/4 ... 1/16 in to the foot, then 20, 40, 80 ft to the inch (common practice, no source).
  static const std::vector<double> kFeet = {6, 12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 480, 960};
  return units == DisplayUnits::metric ? kMetric : kFeet;
}

/// Puts low..high, in the frame's plane, into the middle of what the margins leave.
void lay_view(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
              const Margins& margins, double scale) {
  const PaperBox area = work.draft.area();
  const double mm = 1000 / scale;
  const Vec2 middle = 0.5 * (low + high);
  const Vec2 paper{(area.low.x + margins.left + area.high.x - margins.right) / 2,
                   (area.low.y + margins.top + area.high.y - margins.bottom) / 2};
  work.view = {frame, {paper.x - middle.x * mm, paper.y + middle.y * mm}, scale};
  work.scale_text = "1:" + format_number(scale, 0);
  work.origin = low;
}

}  // namespace

void fit_view(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
              const Margins& margins) {
  const PaperBox area = work.draft.area();
  const Vec2 room{area.width() - margins.left - margins.right,
                  area.height() - margins.top - margins.bottom};
  double fitting = 0;
  for (const double scale : scales_of(work.request.job.units)) {
    // A band may leave just as much as this scale needs.
    constexpr double kEqual_mm = 1e-6;
    fitting = scale;
    if ((high.x - low.x) * 1000 / scale <= room.x + kEqual_mm &&
        (high.y - low.y) * 1000 / scale <= room.y + kEqual_mm)
      break;
  }
  lay_view(work, frame, low, high, margins, fitting);
}

void fit_sheet(Work& work, const Frame& frame, const Vec2& low, const Vec2& high,
               const Margins& margins) {
  const auto lay = [&](const PaperLayout& layout) {
    work.layout = layout;
    work.draft =
        Draft(layout.size_mm, layout.drawing.grown(-2), work.hand.lettering, work.hand.enlarged);
    fit_view(work, frame, low, high, margins);
  };
  const Paper paper = work.request.paper;
  std::vector<PaperLayout> layouts = {layout_of(paper), tall_layout(paper)};
  layouts.insert(work.hand.band_first ? layouts.begin() : layouts.end(),
                 layout_of(paper, kTitle_mm));
  std::vector<double> fitting;
  for (const PaperLayout& layout : layouts) {
    lay(layout);
    fitting.push_back(work.view.scale);
  }
  const std::vector<double>& scales = scales_of(work.request.job.units);
  auto scale =
      std::find(scales.begin(), scales.end(), *std::min_element(fitting.begin(), fitting.end()));
  for (int i = 0; i < work.hand.smaller && scale + 1 != scales.end(); ++i) ++scale;
  const auto first =
      std::find_if(fitting.begin(), fitting.end(), [&](double one) { return one <= *scale; });
  const PaperLayout& best = layouts[static_cast<std::size_t>(first - fitting.begin())];
  const auto lay_at_scale = [&](const PaperLayout& layout) {
    lay(layout);
    if (*scale > work.view.scale) lay_view(work, frame, low, high, margins, *scale);
  };
  lay_at_scale(best);
  if (best.columns.size() == 1) return;
  const double left =
      work.draft.area().height() - margins.top - margins.bottom - work.view.mm(high.y - low.y);
  lay_at_scale(layout_of(paper, kTitle_mm + work.hand.band_share * left));
}

int flaws_of(const std::vector<Page>& pages) {
  return std::accumulate(pages.begin(), pages.end(), 0, [](int sum, const Page& page) {
    return sum + page.unnamed + page.crossed + page.covering + page.broken +
           static_cast<int>(page.left_out.size());
  });
}

namespace {

double leaders_mm(const std::vector<Page>& pages) {
  double sum = 0;
  for (const Page& page : pages)
    for (const Mark& mark : page.marks)
      if (const auto* path = std::get_if<PathMark>(&mark);
          path != nullptr && path->name.rfind("Leader", 0) == 0)
        sum += norm(path->points.back() - path->points.front());
  return sum;
}

/// Does the larger lettering cost nothing: page, scale, name beside what it names, nearness?
bool as_good(const std::vector<Page>& larger, const std::vector<Page>& smaller) {
  constexpr double kFarther = 2, kFarther_mm = 60;  // letters are 1.4 times as high
  const bool same_scale =
      smaller.empty() || larger.empty() || larger.front().scale == smaller.front().scale;
  return larger.size() <= smaller.size() && flaws_of(larger) == 0 && same_scale &&
         leaders_mm(larger) <= kFarther * leaders_mm(smaller) + kFarther_mm;
}

}  // namespace

void append_legible(std::vector<Page>& pages, const Lettering& lettering,
                    const std::function<std::vector<Page>(const Hand&)>& draw) {
  constexpr double kLarger = 2.5 / 1.8;
  // ISO 3098-1 has 1.9 of the letters' height at least from line to line where they may bear
  // accents (from memory); usual here is 2.2, and headings are larger.
  constexpr double kTight = 2.0 / 2.2;
  // What may save a further page: a higher band, closer lines, a band instead of a column, and at
  // last a smaller scale.
  std::vector<Hand> hands = {{lettering},
                             {lettering, 1, 1, 1, false},
                             {lettering, 1, 0.5, kTight, false},
                             {lettering, 1, 1, kTight, false},
                             {lettering, 1, 1, kTight, true}};
  for (const int smaller : {1, 2}) {
    hands.push_back({lettering, 1, 1, 1, false, smaller});
    hands.push_back({lettering, 1, 1, kTight, false, smaller});
    hands.push_back({lettering, 1, 1, kTight, true, smaller});
  }
  const Hand* hand = &hands.front();
  std::vector<Page> best = draw(*hand);
  for (std::size_t i = 1; i < hands.size() && best.size() > 1; ++i) {
    // Where names find no room already, a smaller scale only takes time.
    if (hands[i].smaller > 0 && flaws_of(best) > 0) break;
    std::vector<Page> other = draw(hands[i]);
    if (other.size() >= best.size() || flaws_of(other) > flaws_of(best)) continue;
    best = std::move(other);
    hand = &hands[i];
  }
  if (flaws_of(best) == 0) {  // else the larger has them too
    std::vector<Page> larger = draw({lettering, kLarger, hand->band_share, hand->line_spacing,
                                     hand->band_first, hand->smaller});
    if (as_good(larger, best)) best = std::move(larger);
  }
  for (Page& page : best) pages.push_back(std::move(page));
}

namespace {

/// Distances from the foot's upper edge, mm.
constexpr double kFigures = 4.0, kBar = 5.2, kUnderBar = 10.6;
constexpr double kLongestBar = 60, kLeastStep = 8;

std::string bar_figure(double value) {
  return format_number(value, value == std::floor(value) ? 0 : 1);
}

bool is_stacked(const PaperBox& foot) { return foot.height() > 20; }

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

/// "Dimensions in feet and inches; 1/4 in on paper is 1 ft"
std::string unit_words(const Work& work) {
  if (work.request.job.units == DisplayUnits::metric)
    return work.dimensioned ? "Dimensions in millimetres" : "";
  const double foot_on_paper_m = 0.3048 / work.view.scale;
  return (work.dimensioned ? "Dimensions in feet and inches; " : "") +
         dimension(foot_on_paper_m, DisplayUnits::feet_and_inches) + " on paper is 1 ft";
}

Vec3 facing(const Ends& ends) { return {-std::sin(ends.facing_rad), std::cos(ends.facing_rad), 0}; }

/// The largest wall of the room that one who looks that way has square before them; empty if none.
std::string wall_ahead(const Room& room, const Vec3& way) {
  constexpr double kSquare = 0.98;
  std::string name;
  double most_m2 = 0;
  for (const Sheet& sheet : room.sheets) {
    if (sheet.role != SheetRole::wall || sheet.front_air != room.main_air) continue;
    const double area_m2 = std::abs(signed_area(sheet.region.outline));
    if (dot(sheet.frame.n, way) > -kSquare || area_m2 <= most_m2) continue;
    most_m2 = area_m2;
    name = plain_text(sheet.name, 28);
  }
  return name;
}

/// Which way the listener looks, as an arrow, or in words where the arrow would point at us; where
/// nobody listens, which way the model's y axis goes, by the wall there: paper shows no axes.
void draw_front_mark(Work& work, double bar_end) {
  const Vec3 front = facing(work.request.ends);
  const Vec2 way{dot(front, work.view.frame.u), -dot(front, work.view.frame.v)};
  const PaperBox& foot = work.layout.foot;
  const bool stacked = is_stacked(foot);
  const Vec2 centre{
      stacked ? foot.low.x + 12 : std::max(bar_end + 24, foot.low.x + 0.62 * foot.width()),
      foot.low.y + (stacked ? foot.height() / 2 : 0) + 6.5};
  const bool known = work.request.ends.listener.has_value();
  const std::string wall = known ? "the front" : wall_ahead(work.request.room, front);
  const auto say = [&](const std::string& words, double from_centre) {
    const Vec2 at = centre + Vec2{from_centre, 0.9};
    const double room = foot.high.x - at.x - 2;
    work.draft.write(
        fitting(work.hand.lettering, words, work.draft.cap_mm(kBody), kBody.bold, room), at, kBody);
  };
  if (norm(way) < 0.7) {
    const std::string where =
        dot(front, work.view.frame.n) < 0 ? " is before you" : " is behind you";
    say((wall.empty() ? "the model's +y side" : wall) + where, stacked ? -6.0 : -12.0);
    return;
  }
  const Vec2 along = (1 / norm(way)) * way;
  const Vec2 side{-along.y, along.x};
  work.draft.circle(centre, 4.2, pen_of(LineKind::narrow), std::nullopt);
  work.draft.path({centre - 3.6 * along, centre + 1.0 * along}, {{}, 0.35, {}});
  work.draft.shape(
      {centre + 4.0 * along, centre + 0.8 * along + 1.5 * side, centre + 0.8 * along - 1.5 * side},
      std::nullopt, shade(0));
  say(wall.empty() ? "this way +y in the model" : "this way to " + wall, 6.5);
}

}  // namespace

void draw_foot(Work& work) {
  draw_front_mark(work, draw_scale_bar(work));
  const PaperBox& foot = work.layout.foot;
  double y = foot.low.y + kUnderBar;
  for (const std::string& line :
       work.draft.lines_of(unit_words(work), kBody, foot.width() - (is_stacked(foot) ? 8 : 0))) {
    work.draft.write(line, {foot.low.x + 6, y}, kBody);
    y += 2 * work.draft.cap_mm(kBody);
  }
}

}  // namespace roomloom
