#include "shape/lane_line.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "geometry/arc.h"

namespace roomloom {
namespace {

constexpr double kMeets = 1e-5;         // metres: offsets that meet, to what the solver leaves
constexpr double kShortest = 1e-5;      // metres: edges of less are no edges
constexpr double kFarthestMeeting = 2;  // times how far apart two lanes are: a turn of 30 degrees
constexpr double kLeastSlope = 0.1;     // sine of a lane's way to a face: less is beside it

// The ends of an edge as it lies, and whether the cable steps aside at them.
struct Laid {
  Vec3 from, to;
  double step_from_m = 0, step_to_m = 0;  // length of the slant, 0 = none
  double lead_from_m = 0, lead_to_m = 0;  // straight on before it, out of a hole
};

class LaneLine {
 public:
  LaneLine(const LanePath& run, const std::vector<Vec3>& offsets) : run_(run), offsets_(offsets) {
    const std::vector<Vec3>& points = run.path.points;
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
      ways_.push_back(normalized(points[i + 1] - points[i]));
    laid_.resize(ways_.size());
  }

  TrackPath line() {
    const std::size_t last = ways_.size() - 1;
    join_tip(0, true);
    for (std::size_t i = 1; i <= last; ++i) join(i);
    join_tip(last, false);
    mend_turned_over();
    TrackPath path;
    path.points.push_back(laid_.front().from);
    for (std::size_t i = 0; i <= last; ++i) add_edge(path, i);
    return path;
  }

 private:
  const Vec3& point(std::size_t i) const { return run_.path.points[i]; }

  // A slant long enough for two bends of the cable's radius.
  double slant_m(double step_m) const {
    return 1.3 * std::sqrt(run_.bend_radius_m * step_m) + step_m;
  }

  double off_lane(std::size_t edge, const Vec3& p) const {
    const Vec3 off = p - point(edge) - offsets_[edge];
    return norm(off - dot(off, ways_[edge]) * ways_[edge]);
  }

  void join_tip(std::size_t edge, bool start) {
    const Vec3& tip = point(start ? edge : edge + 1);
    (start ? laid_[edge].from : laid_[edge].to) = tip;
    // Where it lies alone it leads to its tip aslant, all the way.
    if (run_.loose[edge] || (!run_.shared[edge] && ways_.size() > 1)) return;
    const double step = off_lane(edge, tip);
    if (step > kMeets) (start ? laid_[edge].step_from_m : laid_[edge].step_to_m) = slant_m(step);
  }

  // Edges i - 1 and i at point i.
  void join(std::size_t i) {
    const std::size_t before = i - 1;
    Vec3 at = point(i);
    if (run_.loose[before] && run_.loose[i]) return set(i, at);
    if (run_.loose[before] || run_.loose[i])
      return set(i, at + offsets_[run_.loose[before] ? i : before]);
    const Vec3 turn = cross(ways_[before], ways_[i]);
    const bool corner = norm(turn) > kStraightRad;
    const bool steps_after = gives_way(i, before);
    const std::size_t keeps = steps_after ? before : i;
    at += offsets_[keeps];
    if (corner && !run_.rigid[keeps]) {
      // Along the one that keeps its lane, to the plane square to both at the other's.
      const std::size_t other = steps_after ? i : before;
      const Vec3 apart = offsets_[other] - offsets_[keeps];
      const double slide =
          dot(cross(apart, ways_[other]), turn) / dot(cross(ways_[keeps], ways_[other]), turn);
      // Lines that hardly turn meet far away or never: what is left is stepped over.
      const double most = kFarthestMeeting * norm(apart);
      at += std::clamp(slide, -most, most) * ways_[keeps];
      at += in_front(at - point(i), keeps, other) * ways_[keeps];
    }
    set(i, at);
    const double step = off_lane(steps_after ? i : before, at);
    if (step <= kMeets) return;
    const double angle = std::min(angle_between(ways_[before], ways_[i]), 0.6 * kPi);
    const double slant = slant_m(step) + run_.bend_radius_m * std::tan(angle / 2);
    (steps_after ? laid_[i].step_from_m : laid_[before].step_to_m) = slant;
    // No cable bends in a hole: the slant begins behind it.
    if (corner || !run_.rigid[keeps]) return;
    (steps_after ? laid_[i].lead_from_m : laid_[before].lead_to_m) =
        0.7 * run_.bend_radius_m * step / slant;
  }

  // How far along the lane of `keeps` until it lies before the faces that `other` lies on: where
  // walls meet at another angle than a right one, the place across from its lane may be behind.
  double in_front(const Vec3& offset, std::size_t keeps, std::size_t other) const {
    double along = 0;
    for (const LaneLimits::Interval& limit : run_.limits[other].intervals) {
      const double slope = dot(ways_[keeps], limit.axis);
      if (!limit.face || std::fabs(slope) < kLeastSlope) continue;
      const double sunk = limit.low - dot(offset, limit.axis) - along * slope;
      if (sunk > 0) along += sunk / slope;
    }
    return along;
  }

  void set(std::size_t i, const Vec3& at) { laid_[i - 1].to = laid_[i].from = at; }

  // Is `a` the one of the two that steps aside?
  bool gives_way(std::size_t a, std::size_t b) const {
    const auto key = [&](std::size_t edge) {
      const double length = distance(point(edge), point(edge + 1));
      const double room = std::isfinite(run_.room_m2[edge]) ? run_.room_m2[edge] : 1;
      return std::tuple(!run_.rigid[edge], std::llround(room * 1e8), std::llround(length * 1e6),
                        run_.path.edges[edge].edge);
    };
    return key(a) > key(b);
  }

  // An edge so short that its two corners passed each other becomes a point.
  void mend_turned_over() {
    for (std::size_t i = 1; i + 1 < laid_.size(); ++i) {
      if (dot(laid_[i].to - laid_[i].from, ways_[i]) > kShortest || run_.rigid[i]) continue;
      if (distance(point(i), point(i + 1)) < kShortest) continue;
      const Vec3 middle = 0.5 * (laid_[i].from + laid_[i].to);
      set(i, middle);
      set(i + 1, middle);
      laid_[i].step_from_m = laid_[i].step_to_m = 0;
    }
  }

  void add_edge(TrackPath& path, std::size_t i) const {
    const Laid& laid = laid_[i];
    const double length = dot(laid.to - laid.from, ways_[i]);
    double head = laid.step_from_m + laid.lead_from_m;
    double tail = laid.step_to_m + laid.lead_to_m;
    if (head + tail > length) {
      // Too short for slants of that length: all of it slants.
      if (head > 0 && tail > 0) {
        const double share = 0.5 * length / (head + tail);
        head *= 2 * share * 0.999;
        tail *= 2 * share * 0.999;
      } else {
        head = tail = 0;
      }
    }
    const Vec3 lane = point(i) + offsets_[i];
    const auto on_lane = [&](double along) {
      return lane + (dot(laid.from - lane, ways_[i]) + along) * ways_[i];
    };
    if (head > 0) {
      add(path, laid.from + laid.lead_from_m * ways_[i], i);
      add(path, on_lane(head), i);
    }
    if (tail > 0) {
      add(path, on_lane(length - tail), i);
      add(path, laid.to - laid.lead_to_m * ways_[i], i);
    }
    add(path, laid.to, i);
  }

  void add(TrackPath& path, const Vec3& to, std::size_t edge) const {
    if (distance(path.points.back(), to) < 1e-9) return;
    path.points.push_back(to);
    path.edges.push_back(run_.path.edges[edge]);
  }

  const LanePath& run_;
  const std::vector<Vec3>& offsets_;
  std::vector<Vec3> ways_;
  std::vector<Laid> laid_;
};

}  // namespace

TrackPath lane_line(const LanePath& run, const std::vector<Vec3>& offsets) {
  if (run.path.empty()) return {};
  return LaneLine(run, offsets).line();
}

DrawnWay drawn_way(const LanePath& run, const TrackPath& line, const Tracks& tracks) {
  DrawnWay way{run.diameter_m, run.bend_radius_m, line.points, {}};
  for (const PathEdge& step : line.edges)
    way.loose.push_back(lies_loose(tracks.edges[static_cast<std::size_t>(step.edge)]));
  return way;
}

}  // namespace roomloom
