#include "takeoff/raceway_tips.h"

#include <algorithm>
#include <cmath>

#include "takeoff/cells.h"

namespace roomloom {
namespace {

constexpr double kInLine = 1e-3;      // sine of an angle that still counts as straight
constexpr double kTouches_m = 0.012;  // stretches of unlike depth lie apart by less than this

/// Nearest first, by `cost` up to `most`, as far as both sides have one.
template <typename Cost>
std::vector<TipPair> nearest_pairs(std::vector<Tip> left, std::vector<Tip> right, double most,
                                   const Cost& cost) {
  std::vector<TipPair> pairs;
  while (!left.empty() && !right.empty()) {
    std::size_t best_i = 0, best_j = 0;
    for (std::size_t i = 0; i < left.size(); ++i)
      for (std::size_t j = 0; j < right.size(); ++j)
        if (cost(left[i], right[j]) < cost(left[best_i], right[best_j]) - 1e-9) {
          best_i = i;
          best_j = j;
        }
    if (cost(left[best_i], right[best_j]) > most) break;
    pairs.emplace_back(left[best_i], right[best_j]);
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(best_i));
    right.erase(right.begin() + static_cast<std::ptrdiff_t>(best_j));
  }
  return pairs;
}

}  // namespace

RacewayTips::RacewayTips(const std::vector<Straight>& straights, const Catalogue& catalogue)
    : straights_(straights), catalogue_(catalogue) {
  for (const Straight& straight : straights) stays_.push_back(stays_in(straight));
}

const std::vector<RunStay>& RacewayTips::stays(int straight) const {
  return element(stays_, straight);
}

bool RacewayTips::in_line(const Vec3& a, const Vec3& b) { return norm(cross(a, b)) < kInLine; }

const Straight& RacewayTips::straight(const Tip& tip) const {
  return element(straights_, tip.straight);
}

Vec3 RacewayTips::point(const Tip& tip) const {
  return tip.at_start ? straight(tip).from : straight(tip).to;
}

Vec3 RacewayTips::inward(const Tip& tip) const {
  const Straight& s = straight(tip);
  return normalized(tip.at_start ? s.to - s.from : s.from - s.to);
}

const RacewayType& RacewayTips::type(const Tip& tip) const {
  return element(catalogue_.raceways, straight(tip).raceway);
}

int RacewayTips::box(const Tip& tip) const {
  return tip.at_start ? straight(tip).from_box : straight(tip).to_box;
}

std::vector<int> RacewayTips::runs_at(const Tip& tip) const {
  const double at = tip.at_start ? 0 : distance(straight(tip).from, straight(tip).to);
  std::vector<int> runs;
  for (const RunStay& stay : stays(tip.straight))
    if (std::abs((tip.at_start ? stay.from_m : stay.to_m) - at) <= kSamePoint_m)
      runs.push_back(stay.run);
  return runs;
}

bool RacewayTips::along_edge(const Tip& tip, const Tip& other) const {
  const Vec3 edge = cross(straight(tip).normal, straight(other).normal);
  return norm(edge) > kInLine && in_line(inward(tip), normalized(edge));
}

double RacewayTips::half(const Tip& tip, bool one_sheet) const {
  return 0.5 * (one_sheet ? type(tip).width_m : type(tip).depth_m);
}

double RacewayTips::reach(const Tip& a, const Tip& b) const {
  return kTouches_m + 0.5 * (type(a).depth_m + type(b).depth_m);
}

/// How far two tips lie apart across their direction.
double RacewayTips::aside(const Tip& a, const Tip& b) const {
  const Vec3 between = point(b) - point(a), along = inward(a);
  return norm(between - dot(between, along) * along);
}

/// Of one size, on one sheet, pointing the same way and touching.
bool RacewayTips::side_by_side(const Tip& a, const Tip& b) const {
  return straight(a).sheet == straight(b).sheet && straight(a).raceway == straight(b).raceway &&
         norm(inward(a) - inward(b)) < kInLine &&
         distance(point(a), point(b)) < type(a).width_m + kInLine;
}

std::vector<std::vector<Tip>> RacewayTips::groups() const {
  std::vector<Tip> left;
  for (std::size_t i = 0; i < straights_.size(); ++i)
    for (const bool start : {true, false})
      if (const Tip tip{static_cast<int>(i), start}; box(tip) < 0) left.push_back(tip);
  std::vector<std::vector<Tip>> all;
  while (!left.empty()) {
    std::vector<Tip> group{left.front()};
    left.erase(left.begin());
    const auto take = [&](const auto& belongs) {
      for (std::size_t j = 0; j < left.size();) {
        const bool other_end = std::any_of(group.begin(), group.end(), [&](const Tip& tip) {
          return tip.straight == left[j].straight;
        });
        if (other_end || !belongs(left[j])) {
          ++j;
          continue;
        }
        group.push_back(left[j]);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(j));
      }
    };
    const Tip first = group.front();
    take([&](const Tip& tip) { return distance(point(first), point(tip)) <= reach(first, tip); });
    for (std::size_t before = 0; before != group.size();) {
      before = group.size();
      take([&](const Tip& tip) {
        return std::any_of(group.begin(), group.end(),
                           [&](const Tip& other) { return side_by_side(tip, other); });
      });
    }
    all.push_back(std::move(group));
  }
  return all;
}

std::vector<Arm> RacewayTips::arms_of(const std::vector<Tip>& group) const {
  std::vector<Arm> arms;
  for (const Tip& tip : group) {
    const auto same = std::find_if(arms.begin(), arms.end(), [&](const Arm& arm) {
      return arm.sheet == straight(tip).sheet && norm(arm.inward - inward(tip)) < kInLine;
    });
    if (same != arms.end())
      same->tips.push_back(tip);
    else
      arms.push_back({straight(tip).sheet, inward(tip), {tip}});
  }
  return arms;
}

int RacewayTips::passed_by(const Tip& tip) const {
  const Vec3 at = point(tip);
  for (std::size_t i = 0; i < straights_.size(); ++i) {
    if (static_cast<int>(i) == tip.straight) continue;
    const Tip other{static_cast<int>(i), true};
    const Vec3 along = straights_[i].to - straights_[i].from;
    const double t = dot(at - straights_[i].from, along) / dot(along, along);
    if (t <= 0 || t >= 1 || in_line(inward(tip), normalized(along))) continue;
    if (std::min(t, 1 - t) * norm(along) <= half(tip, true)) continue;  // they meet at its end
    const double apart = kTouches_m + 0.25 * (type(tip).depth_m + type(other).depth_m);
    if (distance(at, straights_[i].from + t * along) <= apart) return static_cast<int>(i);
  }
  return -1;
}

double RacewayTips::to_crossing(const Tip& a, const Tip& b) const {
  const Vec3 outward = -inward(a), other = inward(b), between = point(b) - point(a);
  const double lean = dot(outward, other), square = 1 - lean * lean;
  if (square < 0.01) return 0;
  return (dot(between, outward) - lean * dot(between, other)) / square;
}

std::vector<TipPair> RacewayTips::pairs_in_line(const Arm& a, const Arm& b) const {
  if (dot(a.inward, b.inward) > 0) return {};
  return nearest_pairs(a.tips, b.tips, 1, [&](const Tip& one, const Tip& other) {
    return aside(one, other) / (half(one, true) + half(other, true) + kTouches_m);
  });
}

std::vector<TipPair> RacewayTips::pairs_in_corner(const Arm& a, const Arm& b) const {
  const auto sorted = [&](std::vector<Tip> tips, const Vec3& way) {
    std::stable_sort(tips.begin(), tips.end(), [&](const Tip& one, const Tip& other) {
      return dot(point(one), way) < dot(point(other), way) - 1e-6;
    });
    return tips;
  };
  std::vector<Tip> left = sorted(a.tips, b.inward), right = sorted(b.tips, a.inward);
  for (std::vector<Tip>* tips : {&left, &right})
    tips->erase(tips->begin(),
                tips->end() - static_cast<std::ptrdiff_t>(std::min(a.tips.size(), b.tips.size())));
  std::vector<TipPair> pairs;
  for (std::size_t i = 0; i < left.size(); ++i) pairs.emplace_back(left[i], right[i]);
  return pairs;
}

Vec3 RacewayTips::middle_of(const std::vector<Arm>& arms) const {
  Vec3 sum;
  double count = 0;
  for (const Arm& arm : arms) {
    if (arm.tips.size() == 1) return point(arm.tips.front());
    for (const Tip& tip : arm.tips) sum = sum + point(tip);
    count += static_cast<double>(arm.tips.size());
  }
  return (1 / count) * sum;
}

std::vector<std::size_t> RacewayTips::through_arms(const std::vector<Arm>& arms,
                                                   const std::vector<Tip>& leads) const {
  std::vector<std::size_t> through;
  double widest = 0;
  std::size_t largest = 0;
  for (std::size_t i = 0; i < arms.size(); ++i) {
    if (straight(leads[i]).raceway > straight(leads[largest]).raceway) largest = i;
    for (std::size_t j = i + 1; j < arms.size(); ++j) {
      const double width = type(leads[i]).width_m + type(leads[j]).width_m;
      if (!in_line(arms[i].inward, arms[j].inward) || dot(arms[i].inward, arms[j].inward) > 0 ||
          width <= widest + 1e-9)
        continue;
      widest = width;
      through = {i, j};
    }
  }
  return through.empty() ? std::vector<std::size_t>{largest} : through;
}

}  // namespace roomloom
