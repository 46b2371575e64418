#include "drawings/dimensions.h"

#include <algorithm>
#include <cmath>

#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kFigure{1.8, false, false, {0.1, 0.1, 0.1}};

void arrow(Draft& draft, const Vec2& tip, const Vec2& along) {
  constexpr double kLength = 2.0, kHalf = 0.36;
  const Vec2 side{-along.y, along.x};
  draft.shape({tip, tip - kLength * along + kHalf * side, tip - kLength * along - kHalf * side},
              std::nullopt, shade(0.1));
}

void oblique_stroke(Draft& draft, const Vec2& at) {
  draft.path({at + Vec2{-0.9, 0.9}, at + Vec2{0.9, -0.9}}, {shade(0.1), 0.35, {}});
}

}  // namespace

std::vector<double> moved_apart(const std::vector<double>& wanted, double gap) {
  // Least squares under order: pool neighbours that violate it into blocks at their mean.
  struct Block {
    double sum;
    int count;
  };
  std::vector<Block> blocks;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    blocks.push_back({wanted[i] - gap * static_cast<double>(i), 1});
    while (blocks.size() > 1) {
      const Block last = blocks.back();
      Block& before = blocks[blocks.size() - 2];
      if (before.sum / before.count <= last.sum / last.count) break;
      before.sum += last.sum;
      before.count += last.count;
      blocks.pop_back();
    }
  }
  std::vector<double> placed;
  for (const Block& block : blocks) {
    for (int k = 0; k < block.count; ++k)
      placed.push_back(block.sum / block.count + gap * static_cast<double>(placed.size()));
  }
  return placed;
}

void running_dimensions(Work& work, bool upright, double line_mm, const Vec2& origin,
                        std::vector<Reading> readings, const std::string& name) {
  std::sort(readings.begin(), readings.end(),
            [](const Reading& a, const Reading& b) { return a.metres < b.metres; });
  std::vector<Reading> kept;
  for (const Reading& reading : readings) {
    if (reading.metres < 0.003) continue;
    if (kept.empty() || reading.metres - kept.back().metres > 0.003) kept.push_back(reading);
  }
  if (kept.empty()) return;
  Draft& draft = work.draft;
  const Pen thin = pen_of(LineKind::narrow, shade(0.35));
  const auto point = [&](double along, double off) {
    return upright ? Vec2{line_mm + off, along} : Vec2{along, line_mm + off};
  };
  const auto along_of = [&](const Vec2& p) { return upright ? p.y : p.x; };
  const double sign = along_of(kept.back().from) > along_of(origin) ? 1 : -1;
  const Vec2 zero = point(along_of(origin), 0);
  draft.circle(zero, 0.7, thin, shade(1));
  std::vector<double> wanted;
  for (const Reading& reading : kept) wanted.push_back(sign * along_of(reading.from));
  constexpr double kPitch = 3.5;
  const std::vector<double> placed = moved_apart(wanted, kPitch);
  const double away = upright ? -1 : 1;  // figures stand on the far side of the drawing
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const double at = sign * wanted[i];
    const double figure = sign * placed[i];
    const Vec2 mark = point(at, 0);
    const Vec2 start = kept[i].from;
    draft.path({start, point(at, away * 1.2)}, {shade(0.6), 0.13, {}});
    draft.path({i == 0 ? zero : point(sign * wanted[i - 1], 0), mark}, thin,
               name.empty() ? "" : name + " " + dimension(kept[i].metres, work.request.job.units));
    arrow(draft, mark, upright ? Vec2{0, sign} : Vec2{sign, 0});
    if (std::abs(figure - at) > 0.3)
      draft.path({point(at, away * 1.2), point(figure, away * 4)}, {shade(0.6), 0.13, {}});
    const std::string text = dimension(kept[i].metres, work.request.job.units);
    TextStyle style = kFigure;
    style.upright = !upright;
    const double width = draft.text_width(text, style);
    const Vec2 base = upright ? Vec2{line_mm - 4.6 - width, figure + 0.9}
                              : Vec2{figure + 0.9, line_mm + 4.6 + width};
    if (!draft.text(text, base, style))
      draft.label({text, point(figure, away * 4), kFigure, 1, {}, name});
  }
}

void dimension_between(Work& work, const Vec2& a, const Vec2& b, double metres,
                       const std::string& name) {
  Draft& draft = work.draft;
  draft.path({a, b}, pen_of(LineKind::narrow, shade(0.25)), name);
  oblique_stroke(draft, a);
  oblique_stroke(draft, b);
  TextStyle style = kFigure;
  const std::string text = dimension(metres, work.request.job.units);
  style.upright = std::abs(b.x - a.x) < std::abs(b.y - a.y);
  const double width = draft.text_width(text, style);
  const Vec2 middle = 0.5 * (a + b);
  const double length = norm(b - a);
  if (length > width + 1.5) {
    const Vec2 base = style.upright ? Vec2{middle.x - 0.8, middle.y + width / 2}
                                    : Vec2{middle.x - width / 2, middle.y - 0.8};
    if (draft.text(text, base, style)) return;
  }
  style.upright = false;
  draft.label({text, middle, style, 1.2, {}, ""});
}

}  // namespace roomloom
