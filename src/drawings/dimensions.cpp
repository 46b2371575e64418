#include "drawings/dimensions.h"

#include <algorithm>
#include <cmath>

#include "drawings/words.h"

namespace roomloom {
namespace {

const TextStyle kFigure{1.8, false, false, {0.1, 0.1, 0.1}};

constexpr double kArrow_mm = 2.0, kFiguresAway_mm = 4.6;

void arrow(Draft& draft, const Vec2& tip, const Vec2& along) {
  constexpr double kLength = kArrow_mm, kHalf = 0.36;
  const Vec2 side{-along.y, along.x};
  draft.shape({tip, tip - kLength * along + kHalf * side, tip - kLength * along - kHalf * side},
              std::nullopt, shade(0.1));
}

void oblique_stroke(Draft& draft, const Vec2& at) {
  draft.path({at + Vec2{-0.9, 0.9}, at + Vec2{0.9, -0.9}}, {shade(0.1), 0.35, {}});
}

}  // namespace

Vec2 corner_to_measure_from(const std::vector<Vec2>& outline) {
  constexpr double kSame_m = 0.001;
  Vec2 low{1e30, 1e30};
  for (const Vec2& p : outline) low = {std::min(low.x, p.x), std::min(low.y, p.y)};
  Vec2 corner = low;
  double most = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2& at = outline[i];
    if (norm(at - low) < kSame_m) return low;
    Vec2 one = outline[(i + 1) % outline.size()] - at;
    Vec2 other = outline[(i + outline.size() - 1) % outline.size()] - at;
    if (std::abs(one.y) > std::abs(other.y)) std::swap(one, other);
    const bool square = std::abs(one.y) < kSame_m && std::abs(other.x) < kSame_m;
    const double sides = one.x + other.y;
    if (!square || one.x < 0 || other.y < 0 || sides <= most) continue;
    most = sides;
    corner = at;
  }
  return corner;
}

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

std::vector<double> moved_within(std::vector<double> placed, double gap, double low, double high) {
  for (std::size_t i = 0; i < placed.size(); ++i)
    placed[i] = std::max(placed[i], i == 0 ? low : placed[i - 1] + gap);
  for (std::size_t i = placed.size(); i-- > 0;)
    placed[i] = std::min(placed[i], i + 1 == placed.size() ? high : placed[i + 1] - gap);
  return placed;
}

namespace {

constexpr int kFirst = -3;  // rank of figures, which must stand at their lines
constexpr double kTakenAsOne_m = 0.003, kPitch = 1.95;  // of a capital's height

/// Where so many figures find no room along the line, they are read in the column.
void list_readings(Work& work, const std::vector<Reading>& readings, const std::string& name) {
  std::string text = name + ", in order:";
  for (const Reading& reading : readings)
    text += " " + unbroken(dimension(reading.metres, work.request.job.units)) + ";";
  text.back() = '.';
  work.rows.push_back({"Dimensions too close to be written", true, {}});
  work.rows.push_back({text, false, {}});
}

/// In order, those that are too near to each other once.
std::vector<Reading> told_apart(std::vector<Reading> readings) {
  std::sort(readings.begin(), readings.end(),
            [](const Reading& a, const Reading& b) { return a.metres < b.metres; });
  std::vector<Reading> kept;
  for (const Reading& reading : readings) {
    if (std::abs(reading.metres) < kTakenAsOne_m) continue;
    if (kept.empty() || reading.metres - kept.back().metres > kTakenAsOne_m)
      kept.push_back(reading);
  }
  return kept;
}

/// A dimension line on paper, level or upright.
struct DimensionLine {
  Work& work;
  bool upright;
  double at_mm, zero_mm, sign;  ///< sign: which way readings grow along it
  std::string name;

  double cap_mm() const { return work.draft.cap_mm(kFigure); }
  double pitch_mm() const { return kPitch * cap_mm(); }
  double along(const Vec2& p) const { return upright ? p.y : p.x; }
  /// `off` counts away from what is dimensioned.
  Vec2 point(double along_mm, double off_mm) const {
    return upright ? Vec2{at_mm - off_mm, along_mm} : Vec2{along_mm, at_mm + off_mm};
  }
  std::string words(const Reading& reading) const {
    return dimension(reading.metres, work.request.job.units);
  }

  /// From the reading before it to its own arrow, with its extension line.
  void draw_step(double before_mm, const Reading& reading) const {
    const double here = along(reading.from);
    work.draft.path({reading.from, point(here, 1.2)}, {shade(0.6), 0.13, {}});
    work.draft.path({point(before_mm, 0), point(here, 0)}, pen_of(LineKind::narrow, shade(0.35)),
                    name.empty() ? "" : name + " " + words(reading));
    const double way = here < before_mm ? -1 : 1;
    if (std::abs(here - before_mm) > kArrow_mm + 0.7)
      arrow(work.draft, point(here, 0), upright ? Vec2{0, way} : Vec2{way, 0});
    else
      oblique_stroke(work.draft, point(here, 0));  // no room for an arrow
  }

  /// @return how wide it is
  double write_figure(const Reading& reading, double figure_mm) const {
    if (std::abs(figure_mm - along(reading.from)) > 0.3)
      work.draft.path({point(along(reading.from), 1.2), point(figure_mm, 4)},
                      {shade(0.6), 0.13, {}});
    TextStyle style = kFigure;
    style.upright = !upright;
    const double width = work.draft.text_width(words(reading), style);
    const double half = cap_mm() / 2;
    const Vec2 base = upright ? Vec2{at_mm - kFiguresAway_mm - width, figure_mm + half}
                              : Vec2{figure_mm + half, at_mm + kFiguresAway_mm + width};
    if (!work.draft.text(words(reading), base, style))
      work.draft.label({words(reading), point(figure_mm, 4), kFigure, 1, {}, "", 1e9, kFirst});
    return width;
  }

  /// Where along it the figures stand; nothing if there are too many.
  std::vector<double> places(const std::vector<Reading>& readings) const {
    const PaperBox area = work.layout.drawing.grown(-pitch_mm() / 2);
    Vec2 ends = upright ? Vec2{area.low.y, area.high.y} : Vec2{area.low.x, area.high.x};
    // Beyond what is read stand the figures of the other direction.
    const double first = readings.front().metres < 0 ? along(readings.front().from) : zero_mm;
    if (sign > 0)
      ends.x = std::max(ends.x, first - pitch_mm() / 2);
    else
      ends.y = std::min(ends.y, first + pitch_mm() / 2);
    if (pitch_mm() * static_cast<double>(readings.size()) > ends.y - ends.x) return {};
    std::vector<double> wanted;
    for (const Reading& reading : readings) wanted.push_back(sign * along(reading.from));
    std::vector<double> placed = moved_within(moved_apart(wanted, pitch_mm()), pitch_mm(),
                                              std::min(sign * ends.x, sign * ends.y),
                                              std::max(sign * ends.x, sign * ends.y));
    for (double& place : placed) place *= sign;
    return placed;
  }
};

}  // namespace

void running_dimensions(Work& work, bool upright, double line_mm, const Vec2& origin,
                        std::vector<Reading> readings, const std::string& name) {
  const std::vector<Reading> kept = told_apart(std::move(readings));
  if (kept.empty()) return;
  DimensionLine line{work, upright, line_mm, upright ? origin.y : origin.x, 1, name};
  // Upright lines are read upwards, against the paper's y.
  if ((line.along(kept.back().from) < line.zero_mm) == (kept.back().metres > 0)) line.sign = -1;
  work.draft.circle(line.point(line.zero_mm, 0), 0.7, pen_of(LineKind::narrow, shade(0.35)),
                    shade(1));
  const std::vector<double> places = line.places(kept);
  if (places.empty()) list_readings(work, kept, name);
  double widest = 0;
  const auto draw_from_zero = [&](auto first, auto last) {
    double before = line.zero_mm;
    for (; first != last; ++first) {
      line.draw_step(before, *first);
      before = line.along(first->from);
    }
  };
  const auto beyond = std::find_if(kept.begin(), kept.end(),
                                   [](const Reading& reading) { return reading.metres > 0; });
  draw_from_zero(beyond, kept.end());
  draw_from_zero(std::make_reverse_iterator(beyond), kept.rend());
  for (std::size_t i = 0; i < places.size(); ++i)
    widest = std::max(widest, line.write_figure(kept[i], places[i]));
  if (places.empty()) widest = line.write_figure(kept.back(), line.along(kept.back().from));
  const Vec2 far = line.point(line.along(kept.back().from), kFiguresAway_mm + widest);
  const Vec2 near =
      line.point(kept.front().metres < 0 ? line.along(kept.front().from) : line.zero_mm, -1.2);
  work.draft.spare({{std::min(far.x, near.x), std::min(far.y, near.y)},
                    {std::max(far.x, near.x), std::max(far.y, near.y)}});
}

FaceReadings readings_of(const Work& work, const std::vector<Vec2>& outline) {
  FaceReadings face;
  for (const Vec2& p : outline) {
    face.low = {std::min(face.low.x, p.x), std::min(face.low.y, p.y)};
    face.high = {std::max(face.high.x, p.x), std::max(face.high.y, p.y)};
  }
  face.corner = corner_to_measure_from(outline);
  for (const Vec2& p : {Vec2{face.high.x, face.low.y}, face.low})
    add_reading(work, face, p, false, true);
  for (const Vec2& p : {Vec2{face.low.x, face.high.y}, face.low})
    add_reading(work, face, p, true, false);
  return face;
}

void add_reading(const Work& work, FaceReadings& face, const Vec2& p, bool level, bool plumb) {
  if (plumb) face.across.push_back({p.x - face.corner.x, work.view.at(p)});
  if (level) face.up.push_back({p.y - face.corner.y, work.view.at(p)});
}

void draw_readings(Work& work, const FaceReadings& face, const std::string& across,
                   const std::string& up) {
  constexpr double kAway_mm = 6, kPast_mm = 1.2;
  const Vec2 low = work.view.at(face.low);
  const Vec2 corner = work.view.at(face.corner);
  const Pen thin{shade(0.6), 0.13, {}};
  if (norm(corner - low) > 0.1) {
    work.draft.path({corner, {corner.x, low.y + kAway_mm + kPast_mm}}, thin);
    work.draft.path({corner, {low.x - kAway_mm - kPast_mm, corner.y}}, thin);
  }
  work.origin = face.corner;
  running_dimensions(work, false, low.y + kAway_mm, corner, face.across, across);
  running_dimensions(work, true, low.x - kAway_mm, corner, face.up, up);
}

const char* corner_words(const FaceReadings& face) {
  return norm(face.corner - face.low) < kTakenAsOne_m
             ? "the lower left corner"
             : "the corner that the small circles mark, negative beyond it";
}

void read_lines(const Work& work, const std::vector<const Stretch*>& stretches,
                FaceReadings& face) {
  constexpr double kLeast_m = 0.3, kStraight_m = 0.001, kNearby_m = 0.02;
  const auto add = [](std::vector<Reading>& readings, const Reading& fresh) {
    if (std::none_of(readings.begin(), readings.end(), [&](const Reading& reading) {
          return std::abs(reading.metres - fresh.metres) < kNearby_m;
        }))
      readings.push_back(fresh);
  };
  for (const Stretch* stretch : stretches) {
    for (std::size_t i = 0; i + 1 < stretch->line.size(); ++i) {
      const Vec2 a = work.view.frame.to_plane(stretch->line[i]);
      const Vec2 b = work.view.frame.to_plane(stretch->line[i + 1]);
      if (norm(b - a) < kLeast_m) continue;
      if (std::abs(a.x - b.x) < kStraight_m)
        add(face.across, {a.x - face.corner.x, work.view.at({a.x, std::min(a.y, b.y)})});
      if (std::abs(a.y - b.y) < kStraight_m)
        add(face.up, {a.y - face.corner.y, work.view.at({std::min(a.x, b.x), a.y})});
    }
  }
}

void dimension_between(Work& work, const Vec2& a, const Vec2& b, double metres,
                       const std::string& name, bool with_figure) {
  Draft& draft = work.draft;
  draft.path({a, b}, pen_of(LineKind::narrow, shade(0.25)), name);
  oblique_stroke(draft, a);
  oblique_stroke(draft, b);
  if (!with_figure) return;
  TextStyle style = kFigure;
  const std::string text = dimension(metres, work.request.job.units);
  style.upright = std::abs(b.x - a.x) < std::abs(b.y - a.y);
  const double width = draft.text_width(text, style);
  const Vec2 middle = 0.5 * (a + b);
  const double length = norm(b - a);
  if (length > width + 1.5) {
    // On the one side of its line, or on the other where an outline or a run lies there.
    for (const double off : {-0.8, 0.8 + draft.cap_mm(style)}) {
      const Vec2 base = style.upright ? Vec2{middle.x + off, middle.y + width / 2}
                                      : Vec2{middle.x - width / 2, middle.y + off};
      if (!draft.over_wide_line(draft.text_box(text, base, style)) && draft.text(text, base, style))
        return;
    }
  }
  style.upright = false;
  constexpr double kReach_mm = 9;
  draft.label({text, middle, style, 1.2, {}, name, kReach_mm, kFirst});
}

}  // namespace roomloom
