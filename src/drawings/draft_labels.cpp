#include <algorithm>
#include <cmath>
#include <tuple>

#include "drawings/draft.h"
#include "drawings/draft_squares.h"
#include "geometry/polygon.h"

namespace roomloom {
namespace {

// Left between texts, of a capital's height: one above the other, and side by side, where two would
// be read as one.
constexpr double kGap = 0.2, kGapBeside = 0.6;
// A label would rather go this many millimetres farther.
constexpr double kIntoSpared = 60;
constexpr double kOverText = 8;      // where its leader is hidden by what it passes
constexpr double kOverLeader = 20;   // than have its leader cross another
constexpr double kPastLine = 4;      // than have its leader pass a wide line
constexpr double kAlongLine = 25;    // than have it lie on one, whose end it would seem to name
constexpr double kOtherPoint = 0.5;  // than stand by another point of its line
constexpr double kNearer = 0.2;      // mm by which another thing is nearer
constexpr double kOverRun = 1000;    // than cover a run where any gap is left
constexpr double kLineRoom = 0.4;    // mm between text and lines
constexpr double kRingRoom = 0.3;    // mm between a number and its ring
constexpr double kRing = 0.1;        // width of a ring, of a capital's height

// How often a label may fail before it goes first, and before it is a number.
constexpr int kGoesFirst = 1, kIsNumber = 2;
// From such a round on all that fail are numbers; rounds that may bring nothing; the last one.
constexpr int kNumbersFrom = 3, kPatience = 3, kLastRound = 9;
// So many labels are not tried again as texts, and gaps between so many texts are looked for less
// closely: that would take minutes.
constexpr std::size_t kMany = 250;

Vec2 nearest_on(const PaperBox& box, const Vec2& p) {
  return {std::clamp(p.x, box.low.x, box.high.x), std::clamp(p.y, box.low.y, box.high.y)};
}

template <typename Segment>
bool cross_each_other(const Segment& one, const Segment& other) {
  const auto apart = [](const Segment& line, const Segment& ends) {
    const Vec2 way = line.b - line.a;
    return (cross(way, ends.a - line.a) > 0) != (cross(way, ends.b - line.a) > 0);
  };
  return apart(one, other) && apart(other, one);
}

}  // namespace

Draft::Ground Draft::ground() const {
  return {page.marks, texts_, lines_, leaders_, near_texts_, near_lines_};
}

void Draft::restore(const Ground& ground) {
  page.marks = ground.marks;
  texts_ = ground.texts;
  lines_ = ground.lines;
  leaders_ = ground.leaders;
  near_texts_ = ground.near_texts;
  near_lines_ = ground.near_lines;
}

double Draft::cost(const PaperBox& box, const Segment& leader, double limit) const {
  double sum = 0;
  for (const PaperBox& spared : spared_) sum += spared.overlaps(box) ? kIntoSpared : 0;
  const PaperBox wide = box.grown(kLineRoom);
  near_lines_.any(wide, [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    sum += touches(wide.grown(line.half_mm), line.a, line.b) ? line.weight : 0;
    return sum >= limit;
  });
  for (std::size_t i = 0; i < leaders_.size() && sum < limit; ++i)
    sum += cross_each_other(leader, leaders_[i]) ? kOverLeader : 0;
  return sum + (sum < limit && over_text(leader) ? kOverText : 0);
}

bool Draft::allowed(const Label& label, const PaperBox& box) const {
  const Vec2 gap{kGapBeside * cap_mm(label.style), kGap * cap_mm(label.style)};
  if (!area_.contains(box) || (label.within && !label.within->contains(box)) ||
      !is_free({box.low - gap, box.high + gap}))
    return false;
  return std::none_of(kept_.begin(), kept_.end(),
                      [&](const PaperBox& kept) { return kept.overlaps(box); });
}

Vec2 Draft::half_of(const Wish& wish) const {
  const TextStyle& style = wish.label.style;
  if (wish.number == 0)
    return {text_width(wish.label.text, style) / 2, (kAscent + kDescent) * cap_mm(style) / 2};
  const double width = text_width(std::to_string(wish.number), style);
  const double radius = std::hypot(width, cap_mm(style)) / 2 + kRingRoom;
  return {radius, radius};
}

std::optional<Draft::Segment> Draft::leader_to(const Wish& wish, const PaperBox& box) const {
  const Label& label = wish.label;
  Vec2 end = nearest_on(box, label.point);
  if (wish.number > 0) {
    const Vec2 way = label.point - box.centre();
    if (norm(way) <= box.width() / 2) return std::nullopt;  // upon it
    end = box.centre() + box.width() / 2 / norm(way) * way;
  }
  const double away = norm(end - label.point);
  if (away <= label.edge_mm) return std::nullopt;
  if (away <= label.clear_mm + 1.2 && !nearer_to_another(label, box, away)) return std::nullopt;
  const Vec2 edge = label.point + label.edge_mm / away * (end - label.point);
  // Where circles overlap the edge of the one may lie in the other.
  return Segment{nearer_to_another(label, {edge, edge}, label.edge_mm) ? label.point : edge, end};
}

bool Draft::nearer_to_another(const Label& label, const PaperBox& box, double away_mm) const {
  const Kind kind = kind_of(label.name);
  if (kind == Kind::none || away_mm <= kNearer) return false;
  const PaperBox about = box.grown(away_mm - kNearer);
  return near_lines_.any(about, [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    if (line.kind != kind || line.name == label.name) return false;
    const Vec2 middle = 0.5 * (line.a + line.b);
    return kind == Kind::line ? touches(about, line.a, line.b) : about.contains({middle, middle});
  });
}

int Draft::lines_passed(const Segment& leader) const {
  constexpr int kPoint = 3;  // a point that it passes would seem to be what it comes from
  int passed = 0;
  near_lines_.any(around(leader.a, leader.b), [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    const bool passes = line.weight >= kOverWide &&
                        cross_each_other(leader, Segment{line.a, line.b}) &&
                        segment_distance(leader.a, line.a, line.b) > line.half_mm;
    if (passes) passed += line.kind == Kind::none || line.kind == Kind::line ? 1 : kPoint;
    return false;
  });
  return passed;
}

bool Draft::lies_on_line(const Segment& leader) const {
  constexpr double kShort_mm = 2, kAlong = 0.1;  // sine of the angle between them
  const Vec2 way = leader.b - leader.a;
  if (norm(way) < kShort_mm) return false;
  const Vec2 middle = 0.5 * (leader.a + leader.b);
  return near_lines_.any(around(leader.a, leader.b), [&](int i) {
    const Line& line = lines_[static_cast<std::size_t>(i)];
    const Vec2 along = line.b - line.a;
    return line.weight >= kOverWide && norm(along) > 0 &&
           std::abs(cross(way, along)) < kAlong * norm(way) * norm(along) &&
           segment_distance(middle, line.a, line.b) < line.half_mm + kLineRoom;
  });
}

bool Draft::clear_of_leaders(const Wish& wish, const PaperBox& box) const {
  if (on_leader(box)) return false;
  const auto leader = leader_to(wish, box);
  return !leader || !over_text(*leader);
}

void Draft::put_label(Wish& wish, const Wish& stand, const PaperBox& box) {
  const Label& label = wish.label;
  wish.box = box;
  wish.leader = leader_to(stand, box);
  if (wish.leader) put_leader(*wish.leader, label.style, label.name);
  if (wish.number > 0) {
    const std::string number = std::to_string(wish.number);
    circle(box.centre(), box.width() / 2, Pen{label.style.colour, kRing * cap_mm(label.style), {}},
           shade(1), "Number " + number);
    put_text(number,
             box.centre() + Vec2{-text_width(number, label.style) / 2, cap_mm(label.style) / 2},
             label.style, box);
    // Figures have neither accents nor tails, which the ring would touch.
    TextMark& mark = std::get<TextMark>(page.marks.back());
    mark.box.low.y = mark.at.y - mark.cap_mm;
    mark.box.high.y = mark.at.y;
    return;
  }
  page.marks.emplace_back(
      PathMark{{box.low, {box.high.x, box.low.y}, box.high, {box.low.x, box.high.y}},
               true,
               std::nullopt,
               Rgb{1, 1, 1},
               ""});
  put_text(label.text, {box.low.x, box.low.y + kAscent * cap_mm(label.style)}, label.style, box);
}

std::optional<std::pair<PaperBox, double>> Draft::best_place(const Wish& wish,
                                                             const Vec2& half) const {
  const Label& label = wish.label;
  const double start =
      norm(label.prefer) > 0 ? std::atan2(-label.prefer.y, label.prefer.x) : kPi / 4;
  const double most = std::min(std::max(area_.width(), area_.height()), label.reach_mm);
  constexpr int kDirections = 36;
  std::optional<std::pair<PaperBox, double>> best;
  double away = std::max(0.5, label.clear_mm);
  // Nothing farther than the best so far can be better.
  for (; away < most && (!best || away <= best->second); away = away * 1.35 + 0.4) {
    for (int i = 0; i < kDirections; ++i) {
      const int step = (i + 1) / 2 * (i % 2 == 0 ? 1 : -1);
      const double turn = start + 2 * kPi * step / kDirections;
      const Vec2 side{std::cos(turn), -std::sin(turn)};
      const Vec2 middle = label.point + away * side + Vec2{side.x * half.x, side.y * half.y};
      const PaperBox box{middle - half, middle + half};
      if (!allowed(label, box)) continue;
      const double way = away + 0.3 * std::abs(step);
      const double limit = (best ? best->second : 1e30) - way;
      double sum = way + cost(box, {label.point, nearest_on(box, label.point)}, limit);
      if (best && sum >= best->second) continue;
      if (const auto leader = leader_to(wish, box))
        sum += kPastLine * lines_passed(*leader) + (lies_on_line(*leader) ? kAlongLine : 0);
      if (best && sum >= best->second) continue;
      if (clear_of_leaders(wish, box)) best = {box, sum};
    }
  }
  return best;
}

bool Draft::place_upon(Wish& wish, const Vec2& half) {
  const Label& label = wish.label;
  const PaperBox upon{label.point - half, label.point + half};
  if (label.clear_mm > 0 || !allowed(label, upon) || !clear_of_leaders(wish, upon) ||
      cost(upon, {label.point, label.point}, kOverWide) >= kOverWide)
    return false;
  put_label(wish, wish, upon);
  return true;
}

bool Draft::place(Wish& wish) {
  const Label& label = wish.label;
  const Vec2 half = half_of(wish);
  if (place_upon(wish, half)) return true;
  std::vector<Wish> stands = {wish};
  for (const Vec2& point : label.also) {
    stands.push_back(wish);
    stands.back().label.point = point;
  }
  std::optional<std::pair<PaperBox, double>> best;
  const Wish* stand = nullptr;
  for (const Wish& one : stands) {
    auto found = best_place(one, half);
    if (!found || found->second > label.reach_mm) continue;
    if (&one != &stands.front()) found->second += kOtherPoint;
    if (best && found->second >= best->second) continue;
    best = found;
    stand = &one;
  }
  if (best) {
    put_label(wish, *stand, best->first);
    return true;
  }
  if (label.reach_mm < std::max(area_.width(), area_.height())) return true;  // stands elsewhere
  for (const Wish& one : stands) {
    if (const auto gap = nearest_gap(one, half)) {
      put_label(wish, one, *gap);
      return true;
    }
  }
  return false;
}

std::optional<PaperBox> Draft::nearest_gap(const Wish& wish, const Vec2& half) const {
  std::optional<PaperBox> best;
  double least = 1e30;
  const double step = (texts_.size() > kMany ? 6 : 1.5) * half.y;
  for (double y = area_.low.y + half.y; y + half.y <= area_.high.y; y += step) {
    for (double x = area_.low.x + half.x; x + half.x <= area_.high.x; x += step) {
      double away = norm(Vec2{x, y} - wish.label.point);
      const PaperBox box{Vec2{x, y} - half, Vec2{x, y} + half};
      if (away >= least || !allowed(wish.label, box) || !clear_of_leaders(wish, box)) continue;
      if (over_wide_line(box)) away += kOverRun;
      if (away >= least) continue;
      least = away;
      best = box;
    }
  }
  return best;
}

Draft::Score Draft::place_all(std::vector<Wish>& wishes, int given_up) {
  std::stable_sort(wishes.begin(), wishes.end(), [](const Wish& a, const Wish& b) {
    return std::tuple(-a.failed, -a.flawed, a.label.rank) <
           std::tuple(-b.failed, -b.flawed, b.label.rank);
  });
  number(wishes);
  Score score;
  for (Wish& wish : wishes) {
    wish.leader.reset();
    wish.box = {};
    wish.placed = wish.failed < given_up && place(wish);
    score.unplaced += wish.placed ? 0 : 1;
    score.numbered += wish.placed && wish.number > 0 ? 1 : 0;
  }
  for (Wish& wish : wishes) {
    if (!is_flawed(wish)) continue;
    ++wish.flawed;
    ++score.flawed;
  }
  return score;
}

bool Draft::covers_line(const Wish& wish) const {
  return wish.placed && wish.number == 0 && wish.box.width() > 0 && over_wide_line(wish.box);
}

bool Draft::is_flawed(const Wish& wish) const {
  if (covers_line(wish)) return true;
  return wish.placed && wish.leader &&
         std::any_of(leaders_.begin(), leaders_.end(),
                     [&](const Segment& other) { return cross_each_other(*wish.leader, other); });
}

Elsewhere Draft::finish(Crowded crowded) {
  const int given_up = crowded == Crowded::numbered ? kIsNumber + 1 : kIsNumber;
  std::vector<Wish> wishes;
  for (Label& label : labels_) wishes.push_back({std::move(label)});
  labels_.clear();
  const Ground before = ground();
  std::optional<Ground> best;
  std::vector<Wish> best_wishes;
  Score best_score;
  int best_round = 0;
  const bool many = wishes.size() > kMany;
  const int last_round = many ? 1 : kLastRound;
  const int numbers_from = many ? 0 : kNumbersFrom;
  for (int round = 0; round <= last_round && round <= best_round + kPatience; ++round) {
    restore(before);
    const Score score = place_all(wishes, given_up);
    if (!best || score < best_score) best_round = round;
    if (best_round == round || score == best_score) {
      best = ground();
      best_wishes = wishes;
      best_score = score;
    }
    if (score.unplaced == 0 && (score.flawed == 0 || many)) break;
    for (Wish& wish : wishes)
      if (!wish.placed)
        wish.failed = std::max(wish.failed + 1, round >= numbers_from ? kIsNumber : kGoesFirst);
  }
  restore(*best);
  return elsewhere(std::move(best_wishes));
}

Elsewhere Draft::elsewhere(std::vector<Wish> wishes) const {
  Elsewhere elsewhere;
  for (Wish& wish : wishes) {
    elsewhere.covering += covers_line(wish) ? 1 : 0;
    if (wish.placed && wish.box.width() == 0 && !wish.label.name.empty())
      elsewhere.left_out.push_back(wish.label.name);
    if (!wish.placed)
      elsewhere.unplaced.push_back(std::move(wish.label));
    else if (wish.number > 0)
      elsewhere.numbered.push_back({wish.number, std::move(wish.label)});
  }
  for (std::size_t i = 0; i < leaders_.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      elsewhere.crossed += cross_each_other(leaders_[i], leaders_[k]) ? 1 : 0;
  std::sort(elsewhere.numbered.begin(), elsewhere.numbered.end(),
            [](const auto& a, const auto& b) { return a.number < b.number; });
  return elsewhere;
}

void Draft::number(std::vector<Wish>& wishes) {
  std::vector<Wish*> numbered;
  for (Wish& wish : wishes)
    if (wish.failed == kIsNumber) numbered.push_back(&wish);
  std::stable_sort(numbered.begin(), numbered.end(), [](const Wish* a, const Wish* b) {
    return a->label.point.x != b->label.point.x ? a->label.point.x < b->label.point.x
                                                : a->label.point.y < b->label.point.y;
  });
  for (Wish& wish : wishes) wish.number = 0;
  for (std::size_t i = 0; i < numbered.size(); ++i) numbered[i]->number = static_cast<int>(i) + 1;
}

}  // namespace roomloom
