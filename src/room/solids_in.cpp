#include <algorithm>
#include <cmath>

#include "room/ceilings.h"

namespace roomloom {
namespace {

using Loop = std::vector<Vec3>;
constexpr double kThin = 5e-4;  // half the width that an upright face gets in plan

// The part of a polygon where axis >= at (or <= at).
Loop cut_at(const Loop& loop, int axis, double at, bool keep_above) {
  Loop result;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec3 &a = loop[i], &b = loop[(i + 1) % loop.size()];
    const double da = keep_above ? a[axis] - at : at - a[axis];
    const double db = keep_above ? b[axis] - at : at - b[axis];
    if (da >= 0) result.push_back(a);
    if ((da < 0) != (db < 0)) result.push_back(a + (da / (da - db)) * (b - a));
  }
  return result;
}

Loop between(const Loop& loop, int axis, double low, double high) {
  return cut_at(cut_at(loop, axis, low, true), axis, high, false);
}

std::vector<Loop> triangles_in(const Scene& scene, const Part& part, const Frame& frame) {
  std::vector<Loop> loops;
  for (std::uint32_t i = 0; i < part.triangle_count; ++i) {
    Loop loop;
    for (const std::uint32_t p : scene.triangles[part.first_triangle + i])
      loop.push_back(frame.to_local(scene.points[p]));
    loops.push_back(std::move(loop));
  }
  return loops;
}

Box3 box_of(const std::vector<Loop>& loops) {
  Box3 box;
  for (const Loop& loop : loops)
    for (const Vec3& p : loop) box.add(p);
  return box;
}

bool alike(const Box3& a, const Box3& b, int axis) {
  for (int other = 0; other < 3; ++other) {
    if (other == axis) continue;
    if (std::abs(a.low[other] - b.low[other]) > 0.01) return false;
    if (std::abs(a.high[other] - b.high[other]) > 0.01) return false;
  }
  return true;
}

double volume(const Box3& box) {
  const Vec3 s = box.size();
  return (s.x + 0.01) * (s.y + 0.01) * (s.z + 0.01);
}

// Where to slice: at corners, and often enough between them for what runs aslant.
std::vector<double> cuts_along(const std::vector<Loop>& loops, int axis) {
  constexpr double kStep = 0.15, kSame = 0.005;
  constexpr std::size_t kMost = 80, kHalf = kMost / 2;
  std::vector<double> corners;
  for (const Loop& loop : loops)
    for (const Vec3& p : loop) corners.push_back(p[axis]);
  std::sort(corners.begin(), corners.end());
  const double low = corners.front(), high = corners.back();
  std::vector<double> distinct{low};
  for (const double c : corners)
    if (c > distinct.back() + kSame) distinct.push_back(c);
  if (distinct.size() > kHalf) distinct = {low, high};
  distinct.back() = high;
  const double step = std::max(kStep, (high - low) / static_cast<double>(kHalf));
  std::vector<double> cuts{low};
  for (std::size_t i = 0; i + 1 < distinct.size(); ++i) {
    const double from = distinct[i], to = distinct[i + 1];
    const int count = std::max(1, static_cast<int>(std::ceil((to - from) / step)));
    for (int k = 1; k <= count; ++k) cuts.push_back(from + (to - from) * k / count);
  }
  return cuts;
}

std::vector<Box3> slices(const std::vector<Loop>& loops, int axis) {
  constexpr double kTouch = 1e-4;  // more than a format's single precision leaves of a flat face
  const std::vector<double> cuts = cuts_along(loops, axis);
  std::vector<Box3> boxes;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i) {
    const double low = cuts[i], high = cuts[i + 1];
    Box3 box;
    for (const Loop& loop : loops) {
      Box3 piece;
      for (const Vec3& p : between(loop, axis, low, high)) piece.add(p);
      // What only touches the cut belongs to the slice on its other side.
      if (!piece.empty() && piece.size()[axis] > kTouch) box.add(piece);
    }
    if (box.empty() || high - low < 1e-9) continue;
    box.low[axis] = low;
    box.high[axis] = high;
    if (!boxes.empty() && alike(boxes.back(), box, axis) &&
        std::abs(boxes.back().high[axis] - low) < 1e-9) {
      boxes.back().add(box);
    } else {
      boxes.push_back(box);
    }
  }
  return boxes;
}

// An upright face seen from above is a line: it is given a millimetre of width.
Ring thin_ring(const Ring& ring) {
  Vec2 a = ring[0], b = ring[0];
  for (const Vec2& p : ring)
    for (const Vec2& q : ring)
      if (norm(p - q) > norm(a - b)) {
        a = p;
        b = q;
      }
  const double length = norm(b - a);
  const Vec2 along = length > 1e-9 ? (kThin / length) * (b - a) : Vec2{kThin, 0};
  const Vec2 across{-along.y, along.x};
  return {a - along - across, b + along - across, b + along + across, a - along + across};
}

}  // namespace

std::vector<Box3> boxes_in(const Scene& scene, const Part& part, const Frame& frame) {
  const std::vector<Loop> loops = triangles_in(scene, part, frame);
  const Box3 whole = box_of(loops);
  if (whole.empty()) return {};
  std::vector<Box3> best{whole};
  for (const int axis : {0, 1}) {
    const std::vector<Box3> boxes = slices(loops, axis);
    double here = 0, least = 0;
    for (const Box3& box : boxes) here += volume(box);
    for (const Box3& box : best) least += volume(box);
    if (here < 0.85 * least) best = boxes;
  }
  return best;
}

Box3 box_within(const Scene& scene, const Part& part, const Frame& frame, const Box3& limits) {
  Box3 box;
  for (Loop loop : triangles_in(scene, part, frame)) {
    for (int axis = 0; axis < 3; ++axis)
      loop = between(loop, axis, limits.low[axis], limits.high[axis]);
    for (const Vec3& p : loop) box.add(p);
  }
  return box;
}

Region footprint_on(const Scene& scene, const Part& part, const Frame& frame, double below_m,
                    double above_m) {
  Region pieces;
  std::vector<Vec2> points;
  const bool many = part.triangle_count > 3000;
  for (const Loop& loop : triangles_in(scene, part, frame)) {
    Ring ring;
    for (const Vec3& p : between(loop, 2, -below_m, above_m)) ring.push_back({p.x, p.y});
    if (ring.size() < 3) continue;
    if (many) {
      points.insert(points.end(), ring.begin(), ring.end());
      continue;
    }
    const Ring hull = convex_hull(ring);
    const bool upright = hull.size() < 3 || std::abs(signed_area(hull)) < 1e-5;
    pieces.push_back(upright ? thin_ring(ring) : hull);
  }
  if (many && points.size() >= 3) return {convex_hull(std::move(points))};
  if (pieces.empty()) return {};
  // A cut through a box shows its sides only; what runs round a room keeps its middle open.
  constexpr double kLargestFilled = 6.0;
  Region filled;
  Region holes;
  const Region rings = closed(united(pieces), 0.03);
  for (const Ring& ring : rings) {
    if (signed_area(ring) > 0) filled.push_back(ring);
    if (signed_area(ring) < -kLargestFilled) holes.push_back({ring.rbegin(), ring.rend()});
  }
  Region print = united(filled);
  if (!holes.empty()) print = without(print, holes);
  // What stands by itself in the middle stays.
  for (const Ring& ring : rings)
    if (signed_area(ring) > 0 && contains(holes, ring.front())) print = united(print, {ring});
  const Region exact = grown(print, -kThin);  // what the lines' width added
  return simplified(exact.empty() ? print : exact, 0.001);
}

}  // namespace roomloom
