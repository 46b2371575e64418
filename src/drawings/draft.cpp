#include "drawings/draft.h"

#include <algorithm>
#include <cmath>

#include "drawings/draft_squares.h"

namespace roomloom {
namespace {

constexpr double kLeader = 0.07;  // width of a leader, of a capital's height
constexpr double kCircleWidth = 0.5;

}  // namespace

Draft::Squares::Squares(Vec2 size_mm) : columns_(48), rows_(48) {
  side_mm_ = std::max(size_mm.x, size_mm.y) / columns_;
  squares_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
}

void Draft::Squares::add(const PaperBox& box, int index) {
  visit(box, [&](std::size_t square) { squares_[square].push_back(index); });
  seen_.resize(std::max(seen_.size(), static_cast<std::size_t>(index) + 1), 0);
}

Draft::Draft(Vec2 size_mm, PaperBox area, const Lettering& lettering, double enlarged)
    : area_(area),
      lettering_(&lettering),
      enlarged_(enlarged),
      near_texts_(size_mm),
      near_lines_(size_mm) {
  page.size_mm = size_mm;
}

Draft::Kind Draft::kind_of(const std::string& name) {
  const std::string word = name.substr(0, name.find(' '));
  if (word == "Trunk" || word == "Run") return Kind::line;
  if (word == "End") return Kind::end;
  if (word == "Hole") return Kind::hole;
  if (word == "Port") return Kind::port;
  return Kind::none;
}

void Draft::add_line(const Vec2& a, const Vec2& b, double width_mm, const std::string& name) {
  near_lines_.add(around(a, b).grown(width_mm / 2), static_cast<int>(lines_.size()));
  const Kind kind = kind_of(name);
  lines_.push_back({a, b, width_mm < 0.3 ? kOverThin : kOverWide, width_mm / 2, kind,
                    kind == Kind::none ? "" : name});
}

void Draft::add_lines(const std::vector<Vec2>& points, bool closed, double width_mm,
                      const std::string& name) {
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    add_line(points[i], points[i + 1], width_mm, name);
  if (closed && points.size() > 2) add_line(points.back(), points.front(), width_mm, name);
}

void Draft::path(std::vector<Vec2> points, const Pen& pen, const std::string& name) {
  add_lines(points, false, pen.width_mm, name);
  page.marks.emplace_back(PathMark{std::move(points), false, pen, std::nullopt, name});
}

void Draft::shape(std::vector<Vec2> ring, const std::optional<Pen>& pen,
                  const std::optional<Rgb>& fill, const std::string& name) {
  if (pen) add_lines(ring, true, pen->width_mm, name);
  page.marks.emplace_back(PathMark{std::move(ring), true, pen, fill, name});
}

void Draft::circle(Vec2 centre, double radius_mm, const std::optional<Pen>& pen,
                   const std::optional<Rgb>& fill, const std::string& name) {
  const double r = radius_mm * 0.7;
  add_line(centre - Vec2{r, r}, centre + Vec2{r, r}, kCircleWidth, name);
  add_line(centre - Vec2{r, -r}, centre + Vec2{r, -r}, kCircleWidth, name);
  page.marks.emplace_back(CircleMark{centre, radius_mm, pen, fill, name});
}

double Draft::text_width(const std::string& text, const TextStyle& style) const {
  return lettering_->width_mm(text, cap_mm(style), style.bold);
}

std::vector<std::string> Draft::lines_of(const std::string& text, const TextStyle& style,
                                         double width_mm) const {
  return roomloom::lines_of(*lettering_, text, cap_mm(style), style.bold, width_mm);
}

PaperBox Draft::text_box(const std::string& text, Vec2 at, const TextStyle& style) const {
  const double width = text_width(text, style);
  const double up = kAscent * cap_mm(style);
  const double down = kDescent * cap_mm(style);
  if (style.upright) return {{at.x - up, at.y - width}, {at.x + down, at.y}};
  return {{at.x, at.y - up}, {at.x + width, at.y + down}};
}

bool Draft::is_free(const PaperBox& box) const {
  return !near_texts_.any(box,
                          [&](int i) { return texts_[static_cast<std::size_t>(i)].overlaps(box); });
}

bool Draft::over_wide_line(const PaperBox& box) const {
  return near_lines_.any(box, [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    return line.weight >= kOverWide && touches(box, line.a, line.b);
  });
}

bool Draft::on_leader(const PaperBox& box) const {
  return std::any_of(leaders_.begin(), leaders_.end(),
                     [&](const Segment& leader) { return touches(box, leader.a, leader.b); });
}

bool Draft::over_text(const Segment& leader) const {
  // All at once: the squares that a long leader passes hold each several times.
  const PaperBox box = around(leader.a, leader.b);
  return std::any_of(texts_.begin(), texts_.end(), [&](const PaperBox& text) {
    return text.low.x <= box.high.x && box.low.x <= text.high.x && text.low.y <= box.high.y &&
           box.low.y <= text.high.y && touches(text, leader.a, leader.b);
  });
}

void Draft::put_leader(const Segment& leader, const TextStyle& style, const std::string& name) {
  leaders_.push_back(leader);
  path({leader.a, leader.b}, Pen{style.colour, kLeader * cap_mm(style), {}},
       name.empty() ? "Leader" : "Leader to " + name);
}

void Draft::put_text(const std::string& text, Vec2 at, const TextStyle& style,
                     const PaperBox& taken) {
  near_texts_.add(taken, static_cast<int>(texts_.size()));
  texts_.push_back(taken);
  page.marks.emplace_back(TextMark{text, at, cap_mm(style), style.bold, style.upright, style.colour,
                                   text_width(text, style), text_box(text, at, style)});
}

bool Draft::text(const std::string& text, Vec2 at, const TextStyle& style) {
  const PaperBox box = text_box(text, at, style);
  if (!is_free(box)) return false;
  put_text(text, at, style, box);
  return true;
}

void Draft::write(const std::string& words, Vec2 at, const TextStyle& style) {
  if (!words.empty() && !text(words, at, style)) label({words, at, style, 0.5, {}, ""});
}

bool Draft::led_text(const std::string& text, Vec2 at, const TextStyle& style, const Vec2& from,
                     const Vec2& to, const std::string& name) {
  const PaperBox box = text_box(text, at, style);
  if (!is_free(box) || on_leader(box) || over_text({from, to})) return false;
  put_text(text, at, style, box);
  put_leader({from, to}, style, name);
  return true;
}

}  // namespace roomloom
