#include "drawings/draft.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace roomloom {
namespace {

constexpr double kAscent = 1.35, kDescent = 0.45;  // of a capital's height, accents and tails too
constexpr double kGap = 0.2;                       // left between texts, of a capital's height

// A label would rather go this many millimetres farther than cover such a line.
constexpr double kOverThin = 3, kOverWide = 20;
constexpr double kIntoSpared = 60;
constexpr double kOtherPoint = 0.5;  // than stand by another point of its line
constexpr double kFromEdge = 0.7;    // of a label's distance: where its leader begins
constexpr double kLeader = 0.07;     // width of a leader, of a capital's height
constexpr double kCircleWidth = 0.5;
constexpr double kLineRoom = 0.4;  // mm between text and lines

bool touches(const Box2& box, const Vec2& a, const Vec2& b) {
  if (std::max(a.x, b.x) < box.low.x || std::min(a.x, b.x) > box.high.x ||
      std::max(a.y, b.y) < box.low.y || std::min(a.y, b.y) > box.high.y) {
    return false;
  }
  const Vec2 way = b - a;
  const std::array<Vec2, 4> corners = {box.low, Vec2{box.high.x, box.low.y}, box.high,
                                       Vec2{box.low.x, box.high.y}};
  int left = 0;
  for (const Vec2& corner : corners) left += cross(way, corner - a) > 0 ? 1 : 0;
  return left != 0 && left != 4;
}

Box2 around(const Vec2& a, const Vec2& b) {
  return {{std::min(a.x, b.x), std::min(a.y, b.y)}, {std::max(a.x, b.x), std::max(a.y, b.y)}};
}

Vec2 nearest_on(const Box2& box, const Vec2& p) {
  return {std::clamp(p.x, box.low.x, box.high.x), std::clamp(p.y, box.low.y, box.high.y)};
}

}  // namespace

Draft::Squares::Squares(Vec2 size_mm) : columns_(48), rows_(48) {
  side_mm_ = std::max(size_mm.x, size_mm.y) / columns_;
  squares_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
}

template <typename Visit>
void Draft::Squares::visit(const Box2& box, Visit visit) const {
  const auto clamped = [](double at, int count) {
    return static_cast<int>(std::clamp(at, 0.0, static_cast<double>(count - 1)));
  };
  const int left = clamped(box.low.x / side_mm_, columns_);
  const int right = clamped(box.high.x / side_mm_, columns_);
  const int top = clamped(box.low.y / side_mm_, rows_);
  const int bottom = clamped(box.high.y / side_mm_, rows_);
  for (int y = top; y <= bottom; ++y)
    for (int x = left; x <= right; ++x)
      visit(static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) +
            static_cast<std::size_t>(x));
}

void Draft::Squares::add(const Box2& box, int index) {
  visit(box, [&](std::size_t square) { squares_[square].push_back(index); });
}

std::vector<int> Draft::Squares::near(const Box2& box) const {
  std::vector<int> found;
  visit(box, [&](std::size_t square) {
    found.insert(found.end(), squares_[square].begin(), squares_[square].end());
  });
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

Draft::Draft(Vec2 size_mm, Box2 area, const Lettering& lettering)
    : area_(area), lettering_(lettering), near_texts_(size_mm), near_lines_(size_mm) {
  page.size_mm = size_mm;
}

void Draft::add_line(const Vec2& a, const Vec2& b, double width_mm) {
  near_lines_.add(around(a, b), static_cast<int>(lines_.size()));
  lines_.push_back({a, b, width_mm < 0.3 ? kOverThin : kOverWide});
}

void Draft::add_lines(const std::vector<Vec2>& points, bool closed, double width_mm) {
  for (std::size_t i = 0; i + 1 < points.size(); ++i) add_line(points[i], points[i + 1], width_mm);
  if (closed && points.size() > 2) add_line(points.back(), points.front(), width_mm);
}

void Draft::path(std::vector<Vec2> points, const Pen& pen, const std::string& name) {
  add_lines(points, false, pen.width_mm);
  page.marks.emplace_back(PathMark{std::move(points), false, pen, std::nullopt, name});
}

void Draft::shape(std::vector<Vec2> ring, const std::optional<Pen>& pen,
                  const std::optional<Rgb>& fill, const std::string& name) {
  if (pen) add_lines(ring, true, pen->width_mm);
  page.marks.emplace_back(PathMark{std::move(ring), true, pen, fill, name});
}

void Draft::circle(Vec2 centre, double radius_mm, const std::optional<Pen>& pen,
                   const std::optional<Rgb>& fill, const std::string& name) {
  const double r = radius_mm * 0.7;
  add_line(centre - Vec2{r, r}, centre + Vec2{r, r}, kCircleWidth);
  add_line(centre - Vec2{r, -r}, centre + Vec2{r, -r}, kCircleWidth);
  page.marks.emplace_back(CircleMark{centre, radius_mm, pen, fill, name});
}

double Draft::text_width(const std::string& text, const TextStyle& style) const {
  return lettering_.width_mm(text, style.cap_mm, style.bold);
}

std::vector<std::string> Draft::lines_of(const std::string& text, const TextStyle& style,
                                         double width_mm) const {
  return roomloom::lines_of(lettering_, text, style.cap_mm, style.bold, width_mm);
}

Box2 Draft::text_box(const std::string& text, Vec2 at, const TextStyle& style) const {
  const double width = text_width(text, style);
  const double up = kAscent * style.cap_mm;
  const double down = kDescent * style.cap_mm;
  if (style.upright) return {{at.x - up, at.y - width}, {at.x + down, at.y}};
  return {{at.x, at.y - up}, {at.x + width, at.y + down}};
}

bool Draft::is_free(const Box2& box) const {
  const std::vector<int> near = near_texts_.near(box);
  return std::none_of(near.begin(), near.end(),
                      [&](int i) { return texts_[static_cast<std::size_t>(i)].overlaps(box); });
}

bool Draft::over_wide_line(const Box2& box) const {
  const std::vector<int> near = near_lines_.near(box);
  return std::any_of(near.begin(), near.end(), [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    return line.weight >= kOverWide && touches(box, line.a, line.b);
  });
}

void Draft::put_text(const std::string& text, Vec2 at, const TextStyle& style, double width) {
  const Box2 box = text_box(text, at, style);
  near_texts_.add(box, static_cast<int>(texts_.size()));
  texts_.push_back(box);
  page.marks.emplace_back(
      TextMark{text, at, style.cap_mm, style.bold, style.upright, style.colour, width, box});
}

bool Draft::text(const std::string& text, Vec2 at, const TextStyle& style) {
  if (!is_free(text_box(text, at, style))) return false;
  put_text(text, at, style, text_width(text, style));
  return true;
}

void Draft::write(const std::string& words, Vec2 at, const TextStyle& style) {
  if (!words.empty() && !text(words, at, style)) label({words, at, style, 0.5, {}, ""});
}

double Draft::cost(const Box2& box, const Vec2& from, const Vec2& to) const {
  double sum = 0;
  const Box2 wide = box.grown(kLineRoom);
  for (const int i : near_lines_.near(wide)) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    sum += touches(wide, line.a, line.b) ? line.weight : 0;
  }
  for (const Box2& spared : spared_) sum += spared.overlaps(box) ? kIntoSpared : 0;
  for (const int i : near_texts_.near(around(from, to)))
    sum += touches(texts_[static_cast<std::size_t>(i)], from, to) ? 8 : 0;
  return sum;
}

bool Draft::allowed(const Label& label, const Box2& box) const {
  if (!area_.contains(box) || !is_free(box.grown(kGap * label.style.cap_mm))) return false;
  return std::none_of(kept_.begin(), kept_.end(),
                      [&](const Box2& kept) { return kept.overlaps(box); });
}

std::optional<Draft::Segment> Draft::leader_to(const Label& label, const Box2& box) const {
  const Vec2 end = nearest_on(box, label.point);
  const double away = norm(end - label.point);
  if (away <= label.clear_mm + 1.2) return std::nullopt;
  // From the edge of what it points to, on which another name may lie.
  return Segment{label.point + kFromEdge * label.clear_mm / away * (end - label.point), end};
}

bool Draft::on_leader(const Box2& box) const {
  return std::any_of(leaders_.begin(), leaders_.end(),
                     [&](const Segment& leader) { return touches(box, leader.a, leader.b); });
}

bool Draft::over_text(const Segment& leader) const {
  const std::vector<int> near = near_texts_.near(around(leader.a, leader.b));
  return std::any_of(near.begin(), near.end(), [&](int i) {
    return touches(texts_[static_cast<std::size_t>(i)], leader.a, leader.b);
  });
}

bool Draft::clear_of_leaders(const Label& label, const Box2& box) const {
  if (on_leader(box)) return false;
  const auto leader = leader_to(label, box);
  return !leader || !over_text(*leader);
}

void Draft::put_leader(const Segment& leader, const TextStyle& style) {
  leaders_.push_back(leader);
  path({leader.a, leader.b}, Pen{style.colour, kLeader * style.cap_mm, {}}, "Leader");
}

bool Draft::led_text(const std::string& text, Vec2 at, const TextStyle& style, const Vec2& from,
                     const Vec2& to) {
  const Box2 box = text_box(text, at, style);
  if (!is_free(box) || on_leader(box) || over_text({from, to})) return false;
  put_text(text, at, style, text_width(text, style));
  put_leader({from, to}, style);
  return true;
}

void Draft::put_label(const Label& label, const Box2& box) {
  if (const auto leader = leader_to(label, box)) put_leader(*leader, label.style);
  page.marks.emplace_back(
      PathMark{{box.low, {box.high.x, box.low.y}, box.high, {box.low.x, box.high.y}},
               true,
               std::nullopt,
               Rgb{1, 1, 1},
               ""});
  put_text(label.text, {box.low.x, box.low.y + kAscent * label.style.cap_mm}, label.style,
           text_width(label.text, label.style));
}

std::optional<std::pair<Box2, double>> Draft::best_place(const Label& label, const Vec2& half,
                                                         Leaders leaders) const {
  const double start =
      norm(label.prefer) > 0 ? std::atan2(-label.prefer.y, label.prefer.x) : kPi / 4;
  const double most = std::min(std::max(area_.width(), area_.height()), label.reach_mm);
  constexpr int kDirections = 16;
  std::optional<std::pair<Box2, double>> best;
  double away = std::max(0.5, label.clear_mm);
  // Nothing farther than the best so far can be better.
  for (; away < most && (!best || away <= best->second); away = away * 1.35 + 0.4) {
    for (int i = 0; i < kDirections; ++i) {
      const int step = (i + 1) / 2 * (i % 2 == 0 ? 1 : -1);
      const double turn = start + 2 * kPi * step / kDirections;
      const Vec2 side{std::cos(turn), -std::sin(turn)};
      const Vec2 middle = label.point + away * side + Vec2{side.x * half.x, side.y * half.y};
      const Box2 box{middle - half, middle + half};
      if (!allowed(label, box)) continue;
      const double sum =
          away + 0.3 * std::abs(step) + cost(box, label.point, nearest_on(box, label.point));
      if (best && sum >= best->second) continue;
      if (leaders == Leaders::clear && !clear_of_leaders(label, box)) continue;
      best = {box, sum};
    }
  }
  return best;
}

bool Draft::place_upon(const Label& label, const Vec2& half) {
  const Box2 upon{label.point - half, label.point + half};
  if (label.clear_mm > 0 || !allowed(label, upon) || !clear_of_leaders(label, upon) ||
      cost(upon, label.point, label.point) >= kOverWide)
    return false;
  put_label(label, upon);
  return true;
}

bool Draft::place(const Label& label) {
  const double width = text_width(label.text, label.style);
  const Vec2 half{width / 2, (kAscent + kDescent) * label.style.cap_mm / 2};
  if (place_upon(label, half)) return true;
  const bool may_stay_away = label.reach_mm < std::max(area_.width(), area_.height());
  std::vector<Label> stands = {label};
  for (const Vec2& point : label.also) {
    stands.push_back(label);
    stands.back().point = point;
  }
  for (const Leaders leaders : {Leaders::clear, Leaders::anyhow}) {
    std::optional<std::pair<Box2, double>> best;
    const Label* stand = nullptr;
    for (const Label& one : stands) {
      auto found = best_place(one, half, leaders);
      if (!found || found->second > label.reach_mm) continue;
      if (&one != &stands.front()) found->second += kOtherPoint;
      if (best && found->second >= best->second) continue;
      best = found;
      stand = &one;
    }
    if (best) {
      put_label(*stand, best->first);
      return true;
    }
    if (may_stay_away) continue;
    if (leaders == Leaders::clear && !nearest_gap(label, half, Leaders::anyhow)) return false;
    if (const auto gap = nearest_gap(label, half, leaders)) {
      put_label(label, *gap);
      return true;
    }
  }
  return may_stay_away;  // it stands elsewhere
}

std::optional<Box2> Draft::nearest_gap(const Label& label, const Vec2& half,
                                       Leaders leaders) const {
  std::optional<Box2> best;
  double least = 1e30;
  for (double y = area_.low.y + half.y; y + half.y <= area_.high.y; y += half.y) {
    for (double x = area_.low.x + half.x; x + half.x <= area_.high.x; x += half.y) {
      const double away = norm(Vec2{x, y} - label.point);
      const Box2 box{Vec2{x, y} - half, Vec2{x, y} + half};
      if (away >= least || !allowed(label, box)) continue;
      if (leaders == Leaders::clear && !clear_of_leaders(label, box)) continue;
      least = away;
      best = box;
    }
  }
  return best;
}

std::vector<Label> Draft::finish() {
  std::stable_sort(labels_.begin(), labels_.end(),
                   [](const Label& a, const Label& b) { return a.rank < b.rank; });
  std::vector<Label> left_over;
  for (const Label& label : labels_) {
    if (!place(label)) left_over.push_back(label);
  }
  labels_.clear();
  return left_over;
}

}  // namespace roomloom
