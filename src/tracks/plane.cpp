#include "tracks/plane.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace roomloom::tracks {
namespace {

constexpr double kTouch_m = 0.0002;    ///< nearer than this is not "inside" a clearance
constexpr double kShortest_m = 0.004;  ///< pieces shorter than this are not worth a track
constexpr double kOnLine_m = 0.0001;

/// A line's own coordinates: x along it from `a`, y across.
struct LineFrame {
  Vec2 origin, along;
  Vec2 operator()(const Vec2& p) const {
    const Vec2 d = p - origin;
    return {dot(d, along), cross(along, d)};
  }
};

using Interval = std::pair<double, double>;

/// What a border piece, kept away from by `inset`, takes from the line. Empty when first > second.
Interval taken_by(const Vec2& p, const Vec2& q, double inset) {
  const double reach = inset - kTouch_m;
  Interval none{1, 0};
  if (reach <= 0) return none;
  double t0 = 0, t1 = 1;
  const double slope = q.y - p.y;
  if (std::abs(slope) < 1e-12) {
    if (std::abs(p.y) >= reach) return none;
  } else {
    const double ta = (-reach - p.y) / slope, tb = (reach - p.y) / slope;
    t0 = std::max(t0, std::min(ta, tb));
    t1 = std::min(t1, std::max(ta, tb));
    if (t0 >= t1) return none;
  }
  const double x0 = p.x + t0 * (q.x - p.x), x1 = p.x + t1 * (q.x - p.x);
  return {std::min(x0, x1) - inset, std::max(x0, x1) + inset};
}

void add_crossings(const Ring& ring, const Vec2& a, const Vec2& b, double length,
                   std::vector<double>& cuts) {
  for (const double t : crossings(ring, a, b)) cuts.push_back(t * length);
}

/// What is closed on the line a -> b, and where its nature may change.
struct Survey {
  std::vector<Interval> closed;
  std::vector<double> cuts;
};

void survey_ring(const Ring& ring, double inset, const LineFrame& frame, Survey& survey) {
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Interval taken = taken_by(frame(ring[i]), frame(ring[(i + 1) % ring.size()]), inset);
    if (taken.first < taken.second) survey.closed.push_back(taken);
  }
}

/// Its edge counts as inside: nothing lies along it, half over what is kept clear.
bool inside_keep_out(const TrackPlane& plane, const Vec2& p) {
  for (const PlaneKeepOut& keep_out : plane.keep_outs)
    if (!keep_out.open_inside &&
        (contains(keep_out.ring, p) || border_distance({keep_out.ring, {}}, p) < kTouch_m))
      return true;
  return false;
}

/// Whether the line leads into what may hold cables, instead of past it.
bool enters(const PlaneKeepOut& keep_out, const Vec2& a, const Vec2& b) {
  constexpr double kDeep_m = 0.005;
  if (!keep_out.open_inside) return false;
  double inside = 0;
  for (const auto& [t0, t1] : inside_pieces({keep_out.ring, {}}, a, b)) inside += t1 - t0;
  return inside * norm(b - a) > kDeep_m;
}

Survey survey_line(const TrackPlane& plane, const Vec2& a, const Vec2& b, const LineFrame& frame,
                   double length, Strictness strictness, int skip_seam) {
  Survey survey;
  survey.cuts = {0, length};
  for (const Border& border : plane.borders) {
    if (skip_seam >= 0 && border.seam == skip_seam) continue;
    const double inset = strictness == Strictness::track ? border.inset_m : 0;
    const Interval taken = taken_by(frame(border.a), frame(border.b), inset);
    if (taken.first < taken.second) survey.closed.push_back(taken);
  }
  for (const PlaneKeepOut& keep_out : plane.keep_outs) {
    if (enters(keep_out, a, b)) continue;
    survey_ring(keep_out.ring, strictness == Strictness::track ? keep_out.inset_m : keep_out.bare_m,
                frame, survey);
    add_crossings(keep_out.ring, a, b, length, survey.cuts);
  }
  add_crossings(plane.region.outline, a, b, length, survey.cuts);
  for (const Ring& hole : plane.region.holes) add_crossings(hole, a, b, length, survey.cuts);
  for (const Interval& interval : survey.closed) {
    survey.cuts.push_back(interval.first);
    survey.cuts.push_back(interval.second);
  }
  return survey;
}

/// The border itself counts as inside, so that tracks may run along it where nothing forbids it.
bool inside_region(const TrackPlane& plane, const Vec2& p) {
  return contains(plane.region, p) || border_distance(plane.region, p) < kTouch_m;
}

bool is_open(const TrackPlane& plane, const Survey& survey, const Vec2& p, double x) {
  for (const Interval& interval : survey.closed)
    if (x > interval.first && x < interval.second) return false;
  return inside_region(plane, p) && !inside_keep_out(plane, p);
}

}  // namespace

std::pair<Vec2, Vec2> extent(const Ring& ring) {
  constexpr double kInf = std::numeric_limits<double>::infinity();
  Vec2 low{kInf, kInf}, high{-kInf, -kInf};
  for (const Vec2& p : ring) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  return {low, high};
}

std::vector<std::pair<double, double>> allowed_pieces(const TrackPlane& plane, const Vec2& a,
                                                      const Vec2& b, Strictness strictness,
                                                      int skip_seam) {
  std::vector<std::pair<double, double>> pieces;
  const double length = norm(b - a);
  if (length < 1e-9) return pieces;
  const LineFrame frame{a, (1 / length) * (b - a)};
  Survey survey = survey_line(plane, a, b, frame, length, strictness, skip_seam);
  std::sort(survey.cuts.begin(), survey.cuts.end());
  for (std::size_t i = 1; i < survey.cuts.size(); ++i) {
    const double from = std::max(0.0, survey.cuts[i - 1]), to = std::min(length, survey.cuts[i]);
    if (to - from < 1e-9) continue;
    const double middle = 0.5 * (from + to);
    if (!is_open(plane, survey, a + middle * frame.along, middle)) continue;
    if (!pieces.empty() && from - pieces.back().second * length < 1e-7)
      pieces.back().second = to / length;
    else
      pieces.emplace_back(from / length, to / length);
  }
  std::erase_if(pieces, [&](const auto& piece) {
    return (piece.second - piece.first) * length <
           (strictness == Strictness::track ? kShortest_m : 1e-7);
  });
  return pieces;
}

std::string first_block(const TrackPlane& plane, const Vec2& a, const Vec2& b) {
  double nearest = 2;
  std::string name;
  for (const PlaneKeepOut& keep_out : plane.keep_outs)
    for (const double t : crossings(keep_out.ring, a, b))
      if (t < nearest) {
        nearest = t;
        name = keep_out.name;
      }
  return name;
}

bool nearest_line(const TrackPlane& plane, const Vec2& from, const Vec2& direction, double limit,
                  Vec2& at) {
  constexpr double kOn_m = 0.0005;
  double nearest = std::numeric_limits<double>::infinity();
  for (const PlaneLine& line : plane.lines) {
    Vec2 met;
    if (!crossing_point(from, from + limit * direction, line.a, line.b, met)) continue;
    const double away = dot(met - from, direction);
    if (away > kOn_m && away < nearest) {
      nearest = away;
      at = met;
    }
  }
  return std::isfinite(nearest);
}

namespace {

/// Draws an end of a piece to the shared line of a seam that it nearly reaches.
Vec2 drawn_to_seam(const TrackPlane& plane, const Vec2& end, const Vec2& outward) {
  double best = std::numeric_limits<double>::infinity();
  Vec2 result = end;
  for (const SeamLine& seam : plane.seam_lines) {
    const Vec2 along = seam.b - seam.a;
    const double turn = cross(outward, along);
    if (std::abs(turn) < 0.05 * norm(along)) continue;
    const double step = cross(seam.a - end, along) / turn;
    const double where = cross(seam.a - end, outward) / turn;
    const double slack = 0.02 / norm(along);
    if (std::abs(step) > seam.reach_m || where < -slack || where > 1 + slack) continue;
    if (std::abs(step) < best) {
      best = std::abs(step);
      result = end + step * outward;
    }
  }
  return result;
}

void lay_straight(TrackPlane& plane, const Vec2& a, const Vec2& b) {
  const Vec2 along = (1 / norm(b - a)) * (b - a);
  for (const auto& [t0, t1] : allowed_pieces(plane, a, b, Strictness::track)) {
    const Vec2 from = a + t0 * (b - a), to = a + t1 * (b - a);
    plane.lines.push_back({drawn_to_seam(plane, from, Vec2{-along.x, -along.y}),
                           drawn_to_seam(plane, to, along), plane.visible, false, false});
  }
}

void lay_seam_tracks(TrackPlane& plane) {
  for (const SeamLine& seam : plane.seam_lines) {
    if (!seam.is_track) continue;
    const Vec2 along = (1 / norm(seam.b - seam.a)) * (seam.b - seam.a);
    // A little longer at both ends: a corner where three sheets meet may lie past the seam's end.
    const Vec2 a = seam.a - 0.01 * along, b = seam.b + 0.01 * along;
    for (const auto& [t0, t1] : allowed_pieces(plane, a, b, Strictness::track, seam.seam)) {
      const Vec2 from = a + t0 * (b - a), to = a + t1 * (b - a);
      plane.lines.push_back({drawn_to_seam(plane, from, Vec2{-along.x, -along.y}),
                             drawn_to_seam(plane, to, along), seam.visible_weight, !seam.owner,
                             false});
    }
  }
}

/// True when a track of a seam runs where the line a -> b would.
bool follows_seam_track(const TrackPlane& plane, const Vec2& a, const Vec2& b, double t0,
                        double t1) {
  const Vec2 p = a + t0 * (b - a), q = a + t1 * (b - a);
  for (const SeamLine& seam : plane.seam_lines)
    if (seam.is_track && segment_distance(p, seam.a, seam.b) < 0.001 &&
        segment_distance(q, seam.a, seam.b) < 0.001)
      return true;
  return false;
}

}  // namespace

void lay_lines(TrackPlane& plane) {
  plane.lines.clear();
  lay_seam_tracks(plane);
  const auto own_tracks = static_cast<std::ptrdiff_t>(plane.lines.size());
  const auto [low, high] = extent(plane.region.outline);
  for (const double x : plane.values[0])
    if (x > low.x - 0.1 && x < high.x + 0.1) lay_straight(plane, {x, low.y}, {x, high.y});
  for (const double y : plane.values[1])
    if (y > low.y - 0.1 && y < high.y + 0.1) lay_straight(plane, {low.x, y}, {high.x, y});
  const auto follows = [&](const PlaneLine& line) {
    return follows_seam_track(plane, line.a, line.b, 0.1, 0.9);
  };
  plane.lines.erase(std::remove_if(plane.lines.begin() + own_tracks, plane.lines.end(), follows),
                    plane.lines.end());
  std::erase_if(plane.lines,
                [](const PlaneLine& line) { return norm(line.b - line.a) < kTouch_m; });
}

void draw_lines(const TrackPlane& plane, GraphDraft& draft) {
  const std::vector<PlaneLine>& lines = plane.lines;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    Vec2 at;
    for (std::size_t j = i + 1; j < lines.size(); ++j)
      if (crossing_point(lines[i].a, lines[i].b, lines[j].a, lines[j].b, at))
        draft.point(plane.layer, plane.frame.to_world(at));
    if (lines[i].made_elsewhere) continue;
    Stretch nature;
    nature.medium = plane.medium;
    nature.home = plane.home;
    nature.visible_weight = lines[i].visible_weight;
    draft.line(plane.layer, plane.frame.to_world(lines[i].a), plane.frame.to_world(lines[i].b),
               nature);
  }
}

}  // namespace roomloom::tracks
