#include "geometry/triangulate.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace roomloom {
namespace {

constexpr double kFlat = 1e-12;  ///< square metres: below this three corners lie on a line

using Loop = CornerLoop;

/// Twice the area of a triangle, positive when counter-clockwise.
double turn(const Vec2& a, const Vec2& b, const Vec2& c) { return cross(b - a, c - a); }

/// Does a -> target point into the loop at its corner a, between `before` and `after`?
/// Source: J. O'Rourke, Computational Geometry in C, 2nd ed., section 1.6 (from memory).
bool in_cone(const Vec2& before, const Vec2& a, const Vec2& after, const Vec2& target) {
  if (turn(a, after, before) >= -kFlat)
    return turn(a, target, before) > kFlat && turn(target, a, after) > kFlat;
  return !(turn(a, target, after) >= -kFlat && turn(target, a, before) >= -kFlat);
}

bool between(const Vec2& a, const Vec2& b, const Vec2& p) {
  return std::abs(turn(a, b, p)) <= kFlat && dot(p - a, b - a) > 0 && dot(p - b, a - b) > 0;
}

/// Do the open segments meet, or does an end of one lie inside the other?
bool touch(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  if (between(a, b, c) || between(a, b, d) || between(c, d, a) || between(c, d, b)) return true;
  const bool c_left = turn(a, b, c) > kFlat, c_right = turn(a, b, c) < -kFlat;
  const bool d_left = turn(a, b, d) > kFlat, d_right = turn(a, b, d) < -kFlat;
  const bool a_left = turn(c, d, a) > kFlat, a_right = turn(c, d, a) < -kFlat;
  const bool b_left = turn(c, d, b) > kFlat, b_right = turn(c, d, b) < -kFlat;
  return ((c_left && d_right) || (c_right && d_left)) &&
         ((a_left && b_right) || (a_right && b_left));
}

/// Joins holes to the outline by doubled bridges, so that one loop remains.
class Bridges {
 public:
  Bridges(const std::vector<Vec2>& points, std::vector<Loop> loops)
      : points_(points), loops_(std::move(loops)) {}

  Loop joined() {
    while (loops_.size() > 1) join_one();
    return loops_.front();
  }

 private:
  /// The hole that reaches farthest to the right sees the outline: nothing stands between.
  /// Source: D. Eberly, Triangulation by Ear Clipping, section 4 (from memory).
  void join_one() {
    std::size_t hole = 1, tip = 0;
    for (std::size_t k = 1; k < loops_.size(); ++k)
      for (std::size_t j = 0; j < loops_[k].size(); ++j)
        if (points_[loops_[k][j]].x > points_[loops_[hole][tip]].x) hole = k, tip = j;
    splice(nearest_in_sight(loops_[hole][tip]), hole, tip);
  }

  /// The outline's corner nearest to a point that a bridge can reach without touching anything.
  std::size_t nearest_in_sight(std::uint32_t target) const {
    std::vector<std::pair<double, std::size_t>> by_distance;
    for (std::size_t i = 0; i < loops_[0].size(); ++i)
      by_distance.emplace_back(norm(points_[loops_[0][i]] - points_[target]), i);
    std::sort(by_distance.begin(), by_distance.end());
    for (const auto& [length, i] : by_distance)
      if (usable(i, target)) return i;
    return by_distance.front().second;  // only where loops touch, which the builders refuse
  }

  void splice(std::size_t from, std::size_t hole, std::size_t tip) {
    Loop& outer = loops_[0];
    const Loop& ring = loops_[hole];
    Loop inserted;
    for (std::size_t i = 0; i <= ring.size(); ++i)
      inserted.push_back(ring[(tip + i) % ring.size()]);
    inserted.push_back(outer[from]);
    outer.insert(outer.begin() + static_cast<std::ptrdiff_t>(from) + 1, inserted.begin(),
                 inserted.end());
    loops_.erase(loops_.begin() + static_cast<std::ptrdiff_t>(hole));
  }

  bool usable(std::size_t from, std::uint32_t target) const {
    const Loop& outer = loops_[0];
    const std::size_t n = outer.size();
    const Vec2 a = points_[outer[from]], b = points_[target];
    if (!in_cone(points_[outer[(from + n - 1) % n]], a, points_[outer[(from + 1) % n]], b))
      return false;
    for (const Loop& loop : loops_)
      for (std::size_t i = 0; i < loop.size(); ++i)
        if (touch(a, b, points_[loop[i]], points_[loop[(i + 1) % loop.size()]])) return false;
    return true;
  }

  const std::vector<Vec2>& points_;
  std::vector<Loop> loops_;
};

bool in_triangle(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& p) {
  return turn(a, b, p) >= -kFlat && turn(b, c, p) >= -kFlat && turn(c, a, p) >= -kFlat;
}

/// How good an ear the corner i is: its shape in (0, 1], or 0 where it must not be cut.
double ear_quality(const std::vector<Vec2>& points, const Loop& loop, std::size_t i) {
  const std::size_t n = loop.size();
  const auto at = [&](std::size_t k) { return points[loop[k % n]]; };
  const Vec2 a = at(i + n - 1), b = at(i), c = at(i + 1);
  const double doubled_area = turn(a, b, c);
  if (doubled_area <= kFlat) return 0;
  if (n > 3 && (!in_cone(at(i + n - 2), a, b, c) || !in_cone(b, c, at(i + 2), a))) return 0;
  for (std::size_t k = 0; k < n; ++k) {
    const Vec2 p = at(k);
    if (p == a || p == b || p == c) continue;
    if (in_triangle(a, b, c, p)) return 0;
  }
  const double longest = std::max({norm(a - b), norm(b - c), norm(c - a)});
  return doubled_area / (longest * longest);
}

/// Clips the best ear known, again and again. A corner that was no ear may become one when
/// others are gone, so all are looked at afresh when none is left.
class EarClipper {
 public:
  EarClipper(const std::vector<Vec2>& points, Loop loop) : points_(points), loop_(std::move(loop)) {
    judge_all();
  }

  std::vector<std::array<std::uint32_t, 3>> triangles() {
    std::vector<std::array<std::uint32_t, 3>> result;
    while (loop_.size() >= 3) {
      const std::size_t n = loop_.size(), i = best();
      result.push_back({loop_[(i + n - 1) % n], loop_[i], loop_[(i + 1) % n]});
      clip(i);
    }
    return result;
  }

 private:
  void judge_all() {
    quality_.resize(loop_.size());
    for (std::size_t i = 0; i < loop_.size(); ++i) quality_[i] = ear_quality(points_, loop_, i);
  }

  std::size_t best() {
    const auto found = std::max_element(quality_.begin(), quality_.end());
    if (*found > 0) return static_cast<std::size_t>(found - quality_.begin());
    judge_all();
    return static_cast<std::size_t>(std::max_element(quality_.begin(), quality_.end()) -
                                    quality_.begin());
  }

  void clip(std::size_t i) {
    loop_.erase(loop_.begin() + static_cast<std::ptrdiff_t>(i));
    quality_.erase(quality_.begin() + static_cast<std::ptrdiff_t>(i));
    const std::size_t n = loop_.size();
    if (n < 3) return;
    // The two neighbours of the gap, and the corners beside them, whose cones have changed.
    for (const std::size_t k : {i + n - 2, i + n - 1, i, i + 1})
      quality_[k % n] = ear_quality(points_, loop_, k % n);
  }

  const std::vector<Vec2>& points_;
  Loop loop_;
  std::vector<double> quality_;
};

}  // namespace

std::vector<std::array<std::uint32_t, 3>> triangulate(const std::vector<Vec2>& points,
                                                      std::vector<CornerLoop> loops) {
  return EarClipper(points, Bridges(points, std::move(loops)).joined()).triangles();
}

}  // namespace roomloom
